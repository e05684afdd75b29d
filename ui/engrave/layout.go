package engrave

import (
	"fmt"
	"math"
	"strconv"

	"footing/ladder/passage"
)

// Excerpt is what to draw: the notes of a line that begin from one place up to
// another, counted from the start of the piece. Bar lines stand where bars end
// within it.
type Excerpt struct {
	Line     passage.Line
	From, To passage.Quarters
}

// Bars is the excerpt of a line's bars from first to last, by index and both
// included, as far as the part has them.
func Bars(l passage.Line, first, last int) Excerpt {
	b := l.Part.Bars
	first, last = max(first, 0), min(last, len(b)-1)
	if first > last {
		return Excerpt{Line: l}
	}
	return Excerpt{l, b[first].Start, b[last].Start.Add(b[last].Length)}
}

// Options are how to lay an excerpt out.
type Options struct {
	// Width is how wide a line may be, in spaces; 0 for one line as long as it
	// gets. Lines but the last are filled.
	Width float64
	// Even spaces notes by their time, so that a cursor glides evenly, where the
	// shortest notes leave room for it; else by the root of their time.
	Even bool
	// KeepFrom and KeepTo are the chunk, which is not broken where it fits a line.
	KeepFrom, KeepTo passage.Quarters
	// Numbers prints the bar's number at the start of every line.
	Numbers bool
	// Between is room below each line for what the view draws there.
	Between float64
	// Fingers are what fingers take notes, Arches the hard changes.
	Fingers []FingerMark
	Arches  []Arch
	// Pencil is the player's marks.
	Pencil []PencilMark
}

// layout is an excerpt on its way to a drawing.
type layout struct {
	force
	line       passage.Line
	from, to   passage.Quarters
	o          Options
	even       float64 // spaces a quarter where notes are spaced by time
	evs        []*event
	tups       []*tuplet
	tupletFrom map[*event]*tuplet
	slurList   []slurred
	bars       [2]int // first and last index
	d          *Drawing
	first      int // shape of the system that is being drawn
	drawn      int // events of the systems before it
}

// Layout draws an excerpt in lines. The error, one sentence, says what cannot be
// drawn on a staff and where. It may be called from several goroutines.
func Layout(e Excerpt, o Options) (*Drawing, error) {
	l, err := newLayout(e, o)
	if err != nil {
		return nil, err
	}
	if o.Even {
		l.even = l.evenSpace()
	}
	lines := l.lines()
	if l.even > 0 && l.pressed(lines) {
		l.even = 0
		lines = l.lines()
	}
	for _, line := range lines {
		l.system(line)
	}
	l.stack()
	return l.d, nil
}

func newLayout(e Excerpt, o Options) (*layout, error) {
	l := &layout{force: newForce(e.Line), line: e.Line, from: e.From, to: e.To, o: o, d: &Drawing{}}
	b := e.Line.Part.Bars
	if len(b) == 0 || !e.From.Less(e.To) {
		return nil, fmt.Errorf("there is nothing to draw from %v to %v quarters", e.From, e.To)
	}
	l.bars[0], l.bars[1] = len(b), -1
	for i := range b {
		if end := b[i].Start.Add(b[i].Length); b[i].Start.Less(e.To) && e.From.Less(end) {
			l.bars[0], l.bars[1] = min(l.bars[0], i), i
		}
	}
	if l.bars[1] < 0 {
		return nil, fmt.Errorf("the part has no bars from %v to %v quarters", e.From, e.To)
	}
	if err := l.drawable(); err != nil {
		return nil, err
	}
	l.events()
	for _, e := range l.evs {
		if !e.rest && e.value < passage.Breve {
			return nil, fmt.Errorf("bar %s: a note of the value %s is not drawn; the longest is a breve", l.barName(e.bar), e.value)
		}
	}
	l.tuplets()
	l.groups()
	for _, e := range l.evs {
		e.sides()
	}
	l.accidentals()
	l.slurList = l.slurs()
	return l, nil
}

// drawable says what in the excerpt cannot stand on a staff.
func (l *layout) drawable() error {
	check := func(bar int, at passage.Quarters) error {
		name := l.barName(bar)
		if c := l.clefAt(bar, at); c.Sign != "none" && c.Sign != "" {
			if _, ok := c.Middle(); !ok || c.Line < 1 || c.Line > 5 {
				return fmt.Errorf("bar %s: a %s clef gives no pitches to its lines; only G, F and C clefs are drawn", name, c)
			}
		} else {
			return fmt.Errorf("bar %s: there is no clef to draw pitches by", name)
		}
		if k := l.keyAt(bar, at); k.Fifths < -7 || k.Fifths > 7 {
			return fmt.Errorf("bar %s: a key of %d signs cannot be drawn; at most 7 are", name, max(k.Fifths, -k.Fifths))
		}
		return nil
	}
	for bar := l.bars[0]; bar <= l.bars[1]; bar++ {
		if err := check(bar, passage.Quarters{}); err != nil {
			return err
		}
	}
	for _, c := range l.line.Part.Changes {
		if c.Bar >= l.bars[0] && c.Bar <= l.bars[1] && (c.Staff == 0 || c.Staff == l.line.Staff) {
			if err := check(c.Bar, c.At); err != nil {
				return err
			}
		}
	}
	return nil
}

// barName is what a bar is called in a sentence.
func (l *layout) barName(bar int) string {
	if n := l.line.Part.Bars[bar].Number; n != "" {
		return strconv.Quote(n)[1 : len(strconv.Quote(n))-1]
	}
	return "at index " + strconv.Itoa(bar)
}

// evenSpace is how many spaces a quarter takes where notes are spaced by time: the
// shortest note as much as it takes otherwise.
func (l *layout) evenSpace() float64 {
	out := 0.0
	for i, e := range l.evs {
		if e.grace != passage.NoGrace || i+1 == len(l.evs) || l.evs[i+1].bar != e.bar {
			continue
		}
		if d := l.evs[i+1].at.Sub(e.at).Float(); d > 0 {
			out = max(out, quarterSpace*math.Sqrt(d)/d)
		}
	}
	return out
}

// put adds a shape that belongs to the notes from first to last.
func (l *layout) put(s Shape, first, last int) {
	s.Note, s.Last = first, last
	l.d.Shapes = append(l.d.Shapes, s)
}

// roofOver is how far up the ink of the system reaches between two x, at least to
// the top line.
func (l *layout) roofOver(x0, x1 float64) float64 {
	top := -2.0
	for i := l.first; i < len(l.d.Shapes); i++ {
		s := &l.d.Shapes[i]
		if s.Role == StaffLine {
			continue
		}
		ink := s.Ink()
		if ink.X0 >= x1 || ink.X1 <= x0 {
			continue
		}
		if s.Kind != Curve {
			top = min(top, ink.Y0)
			continue
		}
		for k := range 17 {
			u := float64(k) / 16
			if x := s.X + u*(s.X2-s.X); x >= x0-1 && x <= x1+1 {
				t := curveT(u)
				top = min(top, s.Y+u*(s.Y2-s.Y)+3*t*(1-t)*s.Bend-s.Thick/2)
			}
		}
	}
	return top
}

func itoa(n int) string { return strconv.Itoa(n) }
