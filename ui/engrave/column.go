package engrave

import (
	"math"

	"footing/ladder/passage"
)

// column is what stands above each other at one place of a line.
type column struct {
	kind   columnKind
	bar    int
	at     passage.Quarters // from the bar's start
	spring float64          // natural distance to the next column
	fill   float64          // natural distance from the bar line before, where nothing begins the bar
	ev     *event
	shapes []Shape // of signs and bar lines, left edge at 0
	box    []Box   // of ink, from the column's x
	left   float64 // how far the ink reaches to the left of x, and to the right
	right  float64
	x      float64
}

type columnKind uint8

const (
	noteColumn columnKind = iota
	graceColumn
	signColumn
	barColumn
	endColumn // the end of a line within a bar
)

// The distances of a line, ours.
const (
	quarterSpace = 3.5  // from a quarter to the next note
	clefLeft     = 0.75 // before the clef
	signGap      = 1.0  // between clef, key and meter
	firstGap     = 1.5  // from them to the first note
	barNote      = 1.25 // from a bar line to a note
	noteBar      = 1.0  // from a note to a bar line
	inkGap       = 0.3  // between notes
	emptyBar     = 6.0
)

// natural is the distance that a time takes: √2 as much for twice as long.
func (l *layout) natural(d passage.Quarters) float64 {
	if d.Sign() <= 0 {
		return 0
	}
	if l.even > 0 {
		return d.Float() * l.even
	}
	return quarterSpace * math.Sqrt(d.Float())
}

// noteCol is the column of an event.
func (l *layout) noteCol(e *event) *column {
	c := &column{kind: noteColumn, bar: e.bar, at: e.at, ev: e}
	if e.grace != passage.NoGrace {
		c.kind = graceColumn
	}
	c.box = l.inkBoxes(e)
	for _, b := range c.box {
		c.left, c.right = max(c.left, -b.X0), max(c.right, b.X1)
	}
	return c
}

// inkBoxes are the boxes of an event's ink, its heads' left edge at 0.
func (l *layout) inkBoxes(e *event) []Box {
	var out []Box
	if e.rest {
		b := inks[rest(e.value)].scaled(e.size).at(0, e.restY())
		out = append(out, b)
		for i := range e.dots {
			out = append(out, inks[augDot].at(e.dotX(i), -0.5))
		}
		return out
	}
	for _, h := range e.heads {
		out = append(out, inks[e.head()].scaled(e.size).at(h.dx, yOf(h.pos)))
	}
	for _, a := range e.acc {
		out = append(out, a.ink().scaled(e.size).at(a.dx, yOf(a.pos)))
	}
	for _, y := range e.dotYs() {
		for i := range e.dots {
			out = append(out, inks[augDot].scaled(e.size).at(e.dotX(i), y))
		}
	}
	if e.stemmed() {
		x, far := stemThick/2, yOf(e.far())
		if e.up {
			x = e.width() - stemThick/2
		}
		tip := e.freeTip()
		if e.group != nil {
			tip = e.group.farthest()
		}
		out = append(out, Box{x - stemThick/2, min(far, tip), x + stemThick/2, max(far, tip)})
		if e.group == nil && e.flags() > 0 {
			out = append(out, inks[flag(e.flags(), e.up)].scaled(e.size).at(x-stemThick/2, tip))
		}
	}
	return out
}

// rod is the least distance from one column to the next.
func rod(a, b *column) float64 {
	switch {
	case a.kind == signColumn && b.kind == signColumn:
		return a.right + signGap
	case a.kind == signColumn && b.kind == barColumn:
		return a.right + 0.5
	case a.kind == signColumn:
		return a.right + max(firstGap, b.left+0.6)
	case a.kind == barColumn && (b.kind == noteColumn || b.kind == graceColumn):
		return a.right + max(barNote, b.left+0.6)
	case a.kind == barColumn && b.kind == signColumn:
		return a.right + signGap
	case a.kind == barColumn:
		return a.right + emptyBar
	case b.kind == signColumn:
		return a.right + 0.6
	case b.kind == barColumn || b.kind == endColumn:
		return a.right + noteBar
	}
	least := 0.0
	heads := func(c *column) int { return max(1, len(c.ev.heads)) }
	for i, p := range a.box {
		for j, q := range b.box {
			// Heads never stand above each other, whatever their height.
			if i < heads(a) && j < heads(b) || p.Y0 < q.Y1+0.15 && q.Y0 < p.Y1+0.15 {
				gap := inkGap
				if a.kind == graceColumn {
					gap *= graceSize * 1.4
				}
				least = max(least, p.X1+gap-q.X0)
			}
		}
	}
	return least
}

// link is the distance from a column to the next: a rod and a spring.
type link struct{ rod, spring float64 }

func linkOf(a, b *column) link {
	s := a.spring
	if a.kind == barColumn {
		s = b.fill
	}
	return link{rod(a, b), s}
}
