package engrave

import (
	"math"

	"footing/ladder/passage"
)

// markGap is between a mark and what it stands outside of.
const markGap = 0.4

// drawArticulations draws the marks that stand at an event's head.
func (l *layout) drawArticulations(e *event) {
	if !e.marked {
		return
	}
	above := !e.up || !e.stemmed()
	for _, a := range articulations {
		note := l.marked(e, a.name)
		if note < 0 {
			continue
		}
		l.markAt(e, note, a.glyph, above || !a.headSide, a.intoStaff)
		if a.name == "detached-legato" {
			l.markAt(e, note, 0xE4A2, above, true)
		}
	}
}

// marked is the note of an event that carries a mark, −1 where none does.
func (l *layout) marked(e *event, name string) int {
	for _, i := range e.notes {
		if l.line.Notes[i].Marked(name) {
			return i
		}
	}
	return -1
}

// markAt draws a mark outside an event, centred over its heads. In the staff it
// stands in a space.
func (l *layout) markAt(e *event, note int, g Glyph, above, intoStaff bool) {
	if !above {
		g++
	}
	ink := inks[g]
	tall := ink.Y1 - ink.Y0
	edge := e.bottom
	if above {
		edge = -e.top
	}
	middle := edge + markGap - 0.1 + tall/2
	switch {
	case intoStaff && middle < 2:
		middle = math.Ceil(middle-0.5-1e-9) + 0.5 // spaces are at halves
	case middle-tall/2 < 2+markGap:
		middle = 2 + markGap + tall/2
	}
	y := middle
	if above {
		y = -middle
	}
	s := Shape{Kind: Sign, Role: Mark, Glyph: g, X: e.middle() - (ink.X0+ink.X1)/2, Size: 1}
	s.Y = y - (ink.Y0+ink.Y1)/2
	l.put(s, note, note)
	e.reach(s.Ink())
}

// drawAbove draws what stands above the staff: ornaments, fingerings, fermata,
// breath.
func (l *layout) drawAbove(i int) {
	e := l.evs[i]
	if !e.marked {
		return
	}
	for _, k := range e.notes {
		for _, m := range l.line.Notes[k].Marks {
			if m.Name != passage.MarkFingering && m.Name != passage.MarkOther || m.Text == "" {
				continue
			}
			if len(m.Text) == 1 && m.Text[0] >= '0' && m.Text[0] <= '5' {
				l.above(e, k, Shape{Kind: Sign, Role: Mark, Glyph: finger0 + Glyph(m.Text[0]-'0'), Size: 1})
			} else {
				l.above(e, k, Shape{Kind: Text, Role: Mark, Text: m.Text, Size: 1})
			}
		}
	}
	for _, o := range ornaments {
		if k := l.marked(e, o.name); k >= 0 {
			l.above(e, k, Shape{Kind: Sign, Role: Mark, Glyph: o.glyph, Size: 1})
		}
	}
	for _, b := range [...]struct {
		name  string
		glyph Glyph
	}{{passage.MarkBreath, breath}, {passage.MarkCaesura, caesura}} {
		k := l.marked(e, b.name)
		if k < 0 {
			continue
		}
		x := e.x + e.width() + 0.9 // between the note and what follows
		if i+1 < len(l.evs) && l.evs[i+1].system == e.system {
			x = min(x, (e.x+e.width()+l.evs[i+1].x)/2)
		}
		if l.marked(e, passage.MarkFermata) >= 0 {
			x = max(x, e.middle()+1.8)
		}
		l.put(Shape{Kind: Sign, Role: Mark, Glyph: b.glyph, X: x - 0.3, Y: -2.0 + 0.15, Size: 1}, k, k)
		e.reach(Box{Y0: -3, Y1: e.bottom})
	}
}

// above draws a shape over an event, outside the staff, and centred.
func (l *layout) above(e *event, note int, s Shape) {
	ink := s.Ink()
	s.X = e.middle() - (ink.X0+ink.X1)/2
	s.Y = min(e.top, -2) - markGap - ink.Y1
	l.put(s, note, note)
	e.reach(s.Ink())
}

// dynamics are the letters of dynamics.
var dynamics = map[rune]Glyph{'p': 0xE520, 'm': 0xE521, 'f': 0xE522, 'r': 0xE523, 's': 0xE524, 'z': 0xE525}

// drawDirection draws what stands above or below the staff at a place, on the
// event that begins there or next.
func (l *layout) drawDirection(d passage.Direction, e *event) {
	switch d.Kind {
	case passage.Words, passage.Rehearsal:
		if d.Text == "" {
			return
		}
		s := Shape{Kind: Text, Role: Words, Text: d.Text, Size: 1.1}
		s.X = e.x
		s.Y = l.roofOver(s.X, s.X+textWidth(s.Text, s.Size)) - 0.8
		l.put(s, -1, -1)
	case passage.SegnoSign, passage.CodaSign:
		g := segno
		if d.Kind == passage.CodaSign {
			g = coda
		}
		l.above(e, -1, Shape{Kind: Sign, Role: Words, Glyph: g, Size: 0.8})
	case passage.Dynamics:
		x, y := e.x-0.2, max(e.bottom, 2)+1.9
		for _, r := range d.Text {
			g, ok := dynamics[r]
			if !ok {
				return
			}
			l.put(Shape{Kind: Sign, Role: Words, Glyph: g, X: x, Y: y, Size: 1}, -1, -1)
			x += inks[g].advance
		}
		e.reach(Box{Y0: e.top, Y1: y + 0.6})
	}
}

// PencilMark is a player's own mark over a note.
type PencilMark struct {
	Note int // its index in the line
	Text string
}

// drawPencil writes the player's marks above all else: each as low as it fits
// beside those that are there.
func (l *layout) drawPencil(sys int) {
	const size = 1.15
	for _, e := range l.evs {
		if e.system != sys {
			continue
		}
		for _, m := range l.o.Pencil {
			if m.Text == "" || !containsNote(e, m.Note) {
				continue
			}
			w := textWidth(m.Text, size)
			s := Shape{Kind: Text, Role: Pencil, Text: m.Text, Size: size, X: max(0, e.middle()-w/2)}
			s.Y = l.roofOver(s.X-0.5, s.X+w+0.5) - 0.7
			l.put(s, m.Note, m.Note)
		}
	}
}

func containsNote(e *event, note int) bool {
	for _, i := range e.notes {
		if i == note {
			return true
		}
	}
	return false
}
