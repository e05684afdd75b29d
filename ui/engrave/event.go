package engrave

import (
	"cmp"
	"slices"

	"footing/audio/click"
	"footing/ladder/passage"
)

// event is what stands on one stem: a note, a chord or a rest.
type event struct {
	notes []int // indexes in the line, the lowest first
	pos   []int // where they stand
	heads []headed

	bar      int
	at       passage.Quarters // from the bar's start
	duration passage.Quarters
	value    passage.Value
	dots     int
	tuplet   passage.Ratio

	rest, whole, cross bool
	grace              passage.Grace
	size               float64

	up    bool // where the stem points
	group *group
	acc   []accidental

	system int // −1 until it is drawn
	marked bool
	x      float64 // left edge of the heads on the stem's own side
	tip    float64 // y of the stem's end
	// top and bottom are how far the ink reaches that has been drawn.
	top, bottom float64
}

// headed is a head of an event.
type headed struct {
	note, pos int
	dx        float64 // a second in a chord stands on the stem's other side
}

// accidental is a sign before a head.
type accidental struct {
	glyph   Glyph
	note    int
	pos     int
	bracket bool
	dx      float64 // of the sign's origin from the event's x; of the bracket's if it has one
}

func (e *event) first() int { return e.notes[0] }

func (e *event) stemmed() bool { return !e.rest && e.value >= passage.Half }

func (e *event) flags() int { return e.value.Flags() }

func (e *event) width() float64 {
	if e.rest {
		return inks[rest(e.value)].X1 * e.size
	}
	return inks[e.head()].X1 * e.size
}

func (e *event) head() Glyph {
	if e.cross {
		return headCross
	}
	return head(e.value)
}

// stemX is the middle of the stem.
func (e *event) stemX() float64 {
	if e.up {
		return e.x + e.width() - stemThick/2
	}
	return e.x + stemThick/2
}

// near is the position of the head that is nearest the stem's end, far of the
// one the stem begins at.
func (e *event) near() int {
	if e.up {
		return e.pos[len(e.pos)-1]
	}
	return e.pos[0]
}

func (e *event) far() int {
	if e.up {
		return e.pos[0]
	}
	return e.pos[len(e.pos)-1]
}

// middle is the middle of its heads.
func (e *event) middle() float64 { return e.x + e.width()/2 }

func (e *event) reach(b Box) { e.top, e.bottom = min(e.top, b.Y0), max(e.bottom, b.Y1) }

func yOf(pos int) float64 { return -float64(pos) / 2 }

// events are the line's notes of an excerpt, in order, with where they stand.
func (l *layout) events() {
	p := l.line.Part
	for i, n := range l.line.Notes {
		if !l.within(n) || n.Hidden {
			continue
		}
		if last := len(l.evs) - 1; n.Chord && last >= 0 && l.evs[last].bar == n.Bar && l.evs[last].at == n.At && !l.evs[last].rest && n.Kind != passage.Rest {
			l.evs[last].notes = append(l.evs[last].notes, i)
			continue
		}
		e := &event{notes: []int{i}, bar: n.Bar, at: n.At, duration: n.Duration, value: n.Value, dots: n.Dots, tuplet: n.Tuplet,
			system: -1,
			rest:   n.Kind == passage.Rest, whole: n.WholeBar, cross: n.Kind == passage.Unpitched, grace: n.Grace, size: 1}
		switch {
		case n.Grace != passage.NoGrace:
			e.size = graceSize
			if e.value == passage.NoValue {
				e.value = passage.Eighth
			}
		case n.Cue:
			e.size = cueSize
		}
		if e.whole {
			e.value, e.dots = passage.Whole, 0
			e.duration = p.Bars[n.Bar].Length
		} else if e.value == passage.NoValue {
			e.value, e.dots = valueOf(n)
		}
		l.evs = append(l.evs, e)
	}
	for _, e := range l.evs {
		l.stand(e)
		for _, i := range e.notes {
			e.marked = e.marked || len(l.line.Notes[i].Marks) > 0
		}
	}
}

// within reports whether a note is part of the excerpt. Grace notes at a bar's
// end belong to the note before them.
func (l *layout) within(n passage.Note) bool {
	bar := l.line.Part.Bars[n.Bar]
	on := bar.Start.Add(n.At)
	if n.Grace != passage.NoGrace && n.At == bar.Length && n.At.Sign() > 0 {
		return l.from.Less(on) && !l.to.Less(on)
	}
	return !on.Less(l.from) && on.Less(l.to)
}

// valueOf is the note value of a note that does not say its own: the longest that
// fits its duration, with up to two dots.
func valueOf(n passage.Note) (passage.Value, int) {
	d := n.Duration
	if t := n.Tuplet; t.Normal > 0 {
		d = click.Frac(d.Num()*int64(t.Actual), d.Den()*int64(t.Normal))
	}
	best, bestDots := passage.Value1024, 0
	for v := passage.Maxima; v <= passage.Value1024; v++ {
		for dots := range 3 {
			if v.Length(dots) == d {
				return v, dots
			}
		}
		if best == passage.Value1024 && !d.Less(v.Length(0)) {
			best = v
		}
	}
	return best, bestDots
}

// stand finds where an event's notes stand and which heads change sides.
func (l *layout) stand(e *event) {
	e.heads = nil
	for _, i := range e.notes {
		e.heads = append(e.heads, headed{note: i, pos: l.position(i, e)})
	}
	slices.SortStableFunc(e.heads, func(a, b headed) int { return cmp.Compare(a.pos, b.pos) })
	e.notes, e.pos = e.notes[:0], e.pos[:0]
	for _, h := range e.heads {
		e.notes, e.pos = append(e.notes, h.note), append(e.pos, h.pos)
	}
	low, high := e.pos[0], e.pos[len(e.pos)-1]
	e.up = low+high < 0 || e.grace != passage.NoGrace
}

// sides puts the heads of seconds on the stem's other side.
func (e *event) sides() {
	w := e.width()
	if e.up {
		for i := 1; i < len(e.heads); i++ {
			if e.heads[i].pos-e.heads[i-1].pos <= 1 && e.heads[i-1].dx == 0 {
				e.heads[i].dx = w - stemThick
			}
		}
		return
	}
	for i := len(e.heads) - 2; i >= 0; i-- {
		if e.heads[i+1].pos-e.heads[i].pos <= 1 && e.heads[i+1].dx == 0 {
			e.heads[i].dx = -(w - stemThick)
		}
	}
}

func (l *layout) position(i int, e *event) int {
	n := l.line.Notes[i]
	if n.Kind != passage.Pitched {
		return 0
	}
	now := l.clefAt(e.bar, e.at)
	middle, _ := now.Middle()
	return n.Pitch.Steps() - middle.Steps() - 7*l.shiftAt(l.line.Part.Onset(n))
}
