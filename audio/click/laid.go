package click

import "slices"

// beats lays the beats of a loop one behind the other.
type beats struct {
	loop    Loop
	strokes []Stroke // of the beats that were laid

	bar, line int // the bar of the beat that was laid last, and the place of its line
	shape     Bar
	alike     [][]Stroke // the beats of a bar of that shape, each at 0 in bar 0; nil for one not made yet
}

// beats is the loop with no beat laid, and room for so many.
func (l Loop) beats(room int) beats {
	each := l.Slots.Count()
	if l.Pulse != OnBeat {
		each++
	}
	return beats{loop: l, strokes: make([]Stroke, 0, room*each)}
}

// lay appends one beat: n is its place in the measures, at the beat counted from the
// start of the phrase. It returns the strokes of that beat.
func (b *beats) lay(n, at int, part Part) []Stroke {
	b.enter(n)
	from := len(b.strokes)
	b.strokes = append(b.strokes, b.model(n-b.line)...)
	strokes := b.strokes[from:]
	for i := range strokes {
		s := &strokes[i]
		s.At, s.Bar, s.Part = Whole(at).Add(s.At), b.bar, part
	}
	strokes = b.loop.pulse(strokes, n, at)
	b.strokes = append(b.strokes[:from], strokes...)
	return b.strokes[from:]
}

// enter goes to the bar in which a beat lies.
func (b *beats) enter(n int) {
	if b.alike != nil && n >= b.line && n < b.line+b.shape.Beats {
		return
	}
	b.bar, _ = b.loop.Measures.Where(Whole(n))
	b.line = b.loop.Measures.Line(b.bar)
	shape := b.loop.Measures.Bar(b.bar)
	if b.alike == nil || shape != b.shape {
		b.shape, b.alike = shape, make([][]Stroke, shape.Beats)
	}
}

// model is a beat (from 0) of a bar: bars of one shape have the same.
func (b *beats) model(beat int) []Stroke {
	if b.alike[beat] == nil {
		b.alike[beat] = b.loop.beat(b.shape, beat)
	}
	return b.alike[beat]
}

// beat is one beat (from 0) of a bar as it is written, before the pulse has its say.
func (l Loop) beat(bar Bar, beat int) []Stroke {
	marks := l.Accents.Marks(bar, l.Slots, beat)
	slots := l.Slots.Count()
	strokes := slices.Grow([]Stroke(nil), slots)
	for i := range slots {
		s := Stroke{
			At: l.Slots.At(i), Beat: beat, Slot: i,
			Dynamics: marks[min(i, len(marks)-1)],
			Syllable: l.Count.In(bar, slots, i, beat),
		}
		s.Voice = voice(s.Dynamics, l.Slots.OnBeat(i))
		s.Rank = rank(beat, i, l.Slots.OnBeat(i))
		if l.Slots.cross && i > 0 {
			s.Syllable = "" // no system counts two strands
		}
		strokes = append(strokes, s)
	}
	return strokes
}
