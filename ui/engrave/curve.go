package engrave

import (
	"math"

	"footing/ladder/passage"
)

// height is how high a curve of a width rises: by ratio for short ones, never to
// limit (the law that LilyPond's slurs follow, from memory).
func height(limit, ratio, width float64) float64 {
	return limit * 2 / math.Pi * math.Atan(math.Pi*ratio*width/(2*limit))
}

// drawTies draws the ties that leave an event, and what is left of those that
// come from beyond the line's start.
func (l *layout) drawTies(i int) {
	e := l.evs[i]
	for k, h := range e.heads {
		n := l.line.Notes[h.note]
		if n.TieTo && n.Kind == passage.Pitched {
			to, head := l.tiedTo(i, n)
			l.drawTie(e, k, to, head)
		}
		if n.TieFrom && n.Kind == passage.Pitched && e.grace == passage.NoGrace {
			if from := l.tiedFrom(i, n); from == nil && i == 0 || from != nil && from.system != e.system {
				l.halfTie(e, k, -1)
			}
		}
	}
}

// tiedTo is the head that a tie from note n of event i leads to: the next of its
// pitch, at its end.
func (l *layout) tiedTo(i int, n passage.Note) (*event, int) {
	end := l.line.Part.Onset(n).Add(n.Duration)
	for _, e := range l.evs[i+1:] {
		on := l.line.Part.Bars[e.bar].Start.Add(e.at)
		if end.Less(on) {
			break
		}
		for k, h := range e.heads {
			m := l.line.Notes[h.note]
			if m.Kind == passage.Pitched && m.Pitch.Cents() == n.Pitch.Cents() && (on == end || m.Grace != n.Grace) && m.TieFrom {
				return e, k
			}
		}
	}
	return nil, 0
}

func (l *layout) tiedFrom(i int, n passage.Note) *event {
	on := l.line.Part.Onset(n)
	for j := i - 1; j >= 0 && j >= i-8; j-- {
		for _, h := range l.evs[j].heads {
			m := l.line.Notes[h.note]
			if m.TieTo && m.Kind == passage.Pitched && m.Pitch.Cents() == n.Pitch.Cents() && l.line.Part.Onset(m).Add(m.Duration) == on {
				return l.evs[j]
			}
		}
	}
	return nil
}

// tieUp is the side of a head's tie: away from the stem, in a chord outwards.
func (e *event) tieUp(k int) bool {
	if len(e.heads) > 1 {
		return 2*k >= len(e.heads)
	}
	return !e.up
}

func (l *layout) drawTie(e *event, k int, to *event, head int) {
	if to == nil || to.system != e.system {
		l.halfTie(e, k, 1)
		return
	}
	from, up := e.heads[k], e.tieUp(k)
	x1, x2 := e.x+from.dx+e.width()+0.2, to.x+to.heads[head].dx-0.2
	for _, a := range to.acc {
		if a.pos == from.pos {
			x2 = min(x2, to.x+a.dx-0.1)
		}
	}
	y := 0.3
	if x2-x1 < 1.2 {
		x1, x2, y = e.x+from.dx+e.width()*0.6, to.x+to.heads[head].dx+to.width()*0.4, 0.7
	}
	l.tie(e, from.note, to.heads[head].note, x1, x2, from.pos, y, up)
}

// halfTie is a tie whose other end is not on this line.
func (l *layout) halfTie(e *event, k int, direction float64) {
	h := e.heads[k]
	x1 := e.x + h.dx + e.width() + 0.2
	x2 := x1 + 1.8
	if direction < 0 {
		x2 = e.x + h.dx - 0.2
		for _, a := range e.acc {
			x2 = min(x2, e.x+a.dx-0.1)
		}
		x1 = x2 - 1.2
	}
	l.tie(e, h.note, h.note, x1, x2, h.pos, 0.3, e.tieUp(k))
}

func (l *layout) tie(e *event, from, to int, x1, x2 float64, pos int, off float64, up bool) {
	sign := 1.0
	if up {
		sign = -1
	}
	y := yOf(pos) + sign*off
	s := Shape{Kind: Curve, Role: Tie, X: x1, Y: y, X2: x2, Y2: y, Thick: curveThick, Bend: sign * height(1, 1.0/3, x2-x1) / 0.75}
	l.put(s, from, to)
	e.reach(s.Ink())
}

// slurred is a slur, from one event to another; nil where it goes on beyond the
// excerpt.
type slurred struct{ from, to int }

// slurs pairs the slurs' ends by their numbers. An end without a start comes from
// before the excerpt, −1; a start without an end goes on behind it.
func (l *layout) slurs() []slurred {
	open := map[int]int{}
	var out []slurred
	for i, e := range l.evs {
		var starts []int
		for _, k := range e.notes {
			for _, m := range l.line.Notes[k].Marks {
				switch {
				case m.Name != passage.MarkSlur:
				case m.Edge == passage.Start:
					starts = append(starts, m.Number)
				case m.Edge == passage.Stop:
					from, ok := open[m.Number]
					if !ok {
						from = -1
					}
					delete(open, m.Number)
					out = append(out, slurred{from, i})
				}
			}
		}
		for _, n := range starts {
			open[n] = i
		}
	}
	for i := range l.evs { // in order, so that a drawing is always the same
		for _, from := range open {
			if from == i {
				out = append(out, slurred{i, -1})
			}
		}
	}
	return out
}

// drawSlur draws the part of a slur that lies on a system.
func (l *layout) drawSlur(s slurred, sys int, left, right float64) {
	from, to := max(s.from, 0), s.to
	if to < 0 {
		to = len(l.evs) - 1
	}
	var evs []*event
	ups := 0
	for _, e := range l.evs[from : to+1] {
		if e.system == sys {
			evs = append(evs, e)
			if e.stemmed() && e.up {
				ups++
			}
		}
	}
	if len(evs) == 0 {
		return
	}
	above := ups < len(evs)
	sign := 1.0
	if above {
		sign = -1
	}
	// out is how far an event reaches on the slur's side.
	out := func(e *event) float64 {
		if above {
			return -e.top
		}
		return e.bottom
	}
	first, last := evs[0], evs[len(evs)-1]
	x1, y1 := first.middle(), out(first)+0.5
	x2, y2 := last.middle(), out(last)+0.5
	if s.from < 0 || l.evs[s.from].system != sys {
		x1, y1 = max(left, first.x-3), max(y1, 2.5)
	}
	if s.to < 0 || l.evs[s.to].system != sys {
		x2, y2 = min(right, last.x+last.width()+3), max(y2, 2.5)
	}
	width := x2 - x1
	if width < 0.5 {
		return
	}
	rise := height(2, 0.3, width)
	bend := rise / 0.75
	clear := func() (need float64) {
		for _, e := range evs {
			for _, x := range [...]float64{e.x, e.middle(), e.x + e.width()} {
				u := (x - x1) / width
				if u < 0.08 || u > 0.92 {
					continue
				}
				t := curveT(u)
				need = max(need, (out(e)+0.5-(y1+(y2-y1)*u))/(3*t*(1-t)))
			}
		}
		return need
	}
	if need := clear(); need > bend {
		bend = need
		if limit := max(3, width*0.35); bend > limit { // raise the ends instead of a steep arch
			lift := (bend - limit) * 0.75
			y1, y2 = y1+lift, y2+lift
			bend = max(limit, clear())
		}
	}
	note, until := first.first(), last.first()
	l.put(Shape{Kind: Curve, Role: Slur, X: x1, Y: sign * y1, X2: x2, Y2: sign * y2, Thick: curveThick, Bend: sign * bend}, note, until)
	for _, e := range evs {
		u := min(max((e.middle()-x1)/width, 0), 1)
		t := curveT(u)
		y := sign * (y1 + (y2-y1)*u + 3*t*(1-t)*bend + 0.15)
		e.reach(Box{Y0: min(y, e.top), Y1: max(y, e.bottom)})
	}
}

// curveT is the parameter at which a curve with its pulls at a quarter and three
// quarters has done a share of its way.
func curveT(u float64) float64 {
	lo, hi := 0.0, 1.0
	for range 24 {
		t := (lo + hi) / 2
		if x := 3*(1-t)*(1-t)*t/4 + 9*(1-t)*t*t/4 + t*t*t; x < u {
			lo = t
		} else {
			hi = t
		}
	}
	return (lo + hi) / 2
}
