package engrave

import (
	"slices"
	"strconv"

	"footing/audio/click"
	"footing/ladder/passage"
)

// tuplet is events under one number.
type tuplet struct {
	evs           []*event
	ratio         passage.Ratio
	bracket, show string
	depth         int // how many tuplets it stands in
}

// tuplets finds the tuplets: as marked, else runs of one ratio.
func (l *layout) tuplets() {
	l.tupletFrom = map[*event]*tuplet{}
	open := map[int]*tuplet{}
	marked := map[*event]bool{}
	var opened []*tuplet
	for _, e := range l.evs {
		if e.grace != passage.NoGrace {
			continue
		}
		var ends []int
		for _, i := range e.notes {
			for _, m := range l.line.Notes[i].TupletMarks {
				switch {
				case m.Edge == passage.Stop:
					ends = append(ends, m.Number)
				case e.tuplet.Normal > 0 && open[m.Number] == nil:
					t := &tuplet{ratio: e.tuplet, bracket: m.Bracket, show: m.Show, depth: len(open)}
					open[m.Number] = t
					opened = append(opened, t)
				}
			}
		}
		for _, t := range open {
			t.evs = append(t.evs, e)
			marked[e] = true
		}
		for _, n := range ends {
			delete(open, n)
		}
	}
	l.tups = opened
	for i := 0; i < len(l.evs); i++ {
		if e := l.evs[i]; e.tuplet.Normal > 0 && !marked[e] && e.grace == passage.NoGrace {
			t := l.run(i)
			i += len(t.evs) - 1
			l.tups = append(l.tups, t)
		}
	}
	for _, t := range l.tups {
		if outer, ok := l.tupletFrom[t.evs[0]]; !ok || len(outer.evs) < len(t.evs) {
			l.tupletFrom[t.evs[0]] = t
		}
		t.own(l.tups)
	}
}

// run is the unmarked tuplet that begins at an event: until its ratio's notes of
// one value are full; of mixed values, until a beat ends, too.
func (l *layout) run(i int) *tuplet {
	first := l.evs[i]
	t := &tuplet{ratio: first.tuplet}
	var sum passage.Quarters
	least, mixed := first.value, false
	b := l.line.Part.Bars[first.bar]
	edges := beats(b.Meter, b.Offset.Add(b.Length))
	for _, e := range l.evs[i:] {
		if e.grace != passage.NoGrace {
			continue
		}
		if e.tuplet != first.tuplet || e.bar != first.bar {
			break
		}
		t.evs = append(t.evs, e)
		sum = sum.Add(e.duration)
		least = max(least, e.value)
		each := click.Frac(sum.Num(), sum.Den()*int64(max(1, first.tuplet.Normal)))
		mixed = mixed || e.value != first.value
		_, beat := slices.BinarySearchFunc(edges, b.Offset.Add(e.at).Add(e.duration), passage.Quarters.Cmp)
		if d := each.Den(); !each.Less(least.Length(0)) && d&(d-1) == 0 && (beat || !mixed) {
			break
		}
	}
	return t
}

// own brings the ratio of a tuplet that stands in another to what it is within
// that.
func (t *tuplet) own(all []*tuplet) {
	if t.depth == 0 {
		for _, e := range t.evs { // what is in no inner one has this ratio alone
			if e.tuplet.Actual < t.ratio.Actual && e.tuplet.Actual > 0 {
				t.ratio = e.tuplet
			}
		}
		return
	}
	for _, o := range all {
		if o != t && o.depth == t.depth-1 && contains(o.evs, t.evs[0]) && o.ratio.Actual > 0 && t.ratio.Actual%o.ratio.Actual == 0 && o.ratio != t.ratio {
			t.ratio.Actual /= o.ratio.Actual
			t.ratio.Normal = max(1, t.ratio.Normal/max(1, o.ratio.Normal))
			return
		}
	}
}

func contains(evs []*event, e *event) bool {
	for _, o := range evs {
		if o == e {
			return true
		}
	}
	return false
}

// drawTuplet draws the number, in a bracket unless one beam is exactly the tuplet.
func (l *layout) drawTuplet(t *tuplet, sys int) {
	var evs []*event
	up := 0
	for _, e := range t.evs {
		if e.system == sys {
			evs = append(evs, e)
			if e.up || e.rest {
				up++
			}
		}
	}
	if len(evs) == 0 || t.show == "none" {
		return
	}
	above := 2*up >= len(evs)
	first, last := evs[0], evs[len(evs)-1]
	g := first.group
	alone := g != nil && g == last.group && len(g.evs) == len(t.evs)
	if t.bracket == "yes" {
		alone = false
	}
	x1, x2 := first.x-0.1, last.x+last.width()+0.1
	y, gap := 0.0, 1.0
	for i, e := range evs {
		far := e.bottom
		if above {
			far = -e.top
		}
		if i == 0 || far > y {
			y = far
		}
	}
	if alone {
		x1, x2 = first.stemX(), last.stemX()
		gap = 0.4
	} else {
		y = max(y, 2)
	}
	text := strconv.Itoa(t.ratio.Actual)
	if t.show == "both" {
		text += ":" + strconv.Itoa(t.ratio.Normal)
	}
	const size = 0.9
	width, height := 0.0, 1.5*size
	var digits []Shape
	for _, d := range text {
		glyph := tuplet0 + Glyph(d-'0')
		if d == ':' {
			glyph = tupletColon
		}
		digits = append(digits, Shape{Kind: Sign, Role: Tuplet, Glyph: glyph, X: width, Size: size})
		width += inks[glyph].advance * size
	}
	mid := (x1+x2)/2 - width/2
	middle := y + gap + height/2 // of the number, outwards
	sign := 1.0
	if above {
		sign = -1
	}
	for _, d := range digits {
		d.X += mid
		d.Y = sign*middle + height/2
		l.put(d, first.first(), last.first())
	}
	if !alone && t.bracket != "no" {
		at, hook := sign*middle, sign*(middle-0.7)
		line := func(ax, ay, bx, by float64) {
			l.put(Shape{Kind: Bar, Role: Tuplet, X: ax, Y: ay, X2: bx, Y2: by, Thick: fineThick}, first.first(), last.first())
		}
		line(x1, at, x1, hook)
		line(x2, at, x2, hook)
		if left, right := mid-0.3, mid+width+0.3; left > x1 && right < x2 {
			line(x1, at, left, at)
			line(right, at, x2, at)
		}
	}
	edge := sign * (middle + height/2)
	for _, e := range evs {
		e.reach(Box{Y0: min(edge, e.top), Y1: max(edge, e.bottom)})
	}
}
