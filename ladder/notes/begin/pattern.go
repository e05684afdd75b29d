package begin

import (
	"errors"
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
	"footing/ladder/passage/tonality"
)

// Pattern is a step of a pattern, as long as the pattern is: its chunk is all of
// it, its last note the landing, and it climbs hands free. i is what it is played
// on where the words have no range of their own; the step itself names no
// instrument. The error is one sentence, as in [notes.Fault].
func Pattern(w pattern.Words, i ladder.Instrument) (ladder.Step, error) {
	s := ladder.DefaultStep()
	s.Notes.Pattern = w
	s.Passage.To = ladder.MaxBar // until it is known how long it is
	s.Tempo = ladder.Range{From: click.BPM(60), Goal: click.BPM(80), By: s.Tempo.By}
	s.Rule.Kind, s.Reps, s.Breath = ladder.Steady, 3, 3
	if w.Group > 0 {
		s.Slots = click.EvenSlots(w.Group)
	}
	if faults := s.Check(); len(faults) > 0 {
		return ladder.Step{}, faults[0]
	}
	on := s
	on.Notes.Instrument = i
	n, _, err := notes.Of(on, nil)
	if err != nil {
		return ladder.Step{}, first(err)
	}
	p, err := pattern.Parse(w)
	if err != nil {
		return ladder.Step{}, err
	}
	s.Name = ladder.Name(p.String())
	s.Passage.Piece, s.Passage.To = "", s.Passage.From+n.Last
	last := n.All[len(n.All)-1]
	s.Chunk.Length = last.From
	if last.From.Den() != 1 || last.From.Sign() == 0 {
		m, err := s.Measures()
		if err != nil {
			return ladder.Step{}, err
		}
		s.Chunk.Length, s.Chunk.Landing = m.End(), false
	}
	if most := click.Whole(ladder.MaxChunkBeats); most.Less(s.Chunk.Length) {
		s.Chunk.Length, s.Chunk.Landing = most, true
	}
	if faults := s.Check(); len(faults) > 0 {
		return ladder.Step{}, faults[0]
	}
	return s, nil
}

// first is the first fault of several.
func first(err error) error {
	var faults notes.Faults
	if errors.As(err, &faults) && len(faults) > 0 {
		return faults[0].Fault
	}
	return err
}

// Order is the order in which a warm-up goes through the keys.
type Order uint8

// The orders.
const (
	ByFifths       Order = iota // from the tonic of no signs up by fifths, twelve keys
	Chromatic                   // up by semitones, the same twelve
	EverySignature              // all fifteen that have a signature: sharps first, then flats
)

var orderNames = [...]string{"12 keys by fifths", "12 keys by semitones", "15 keys by their signs"}

// OrderNames are the words for the orders, in their order.
func OrderNames() []string { return append([]string(nil), orderNames[:]...) }

// String is the order in words.
func (o Order) String() string { return orderNames[min(int(o), len(orderNames)-1)] }

// Keys are the keys of a mode in an order, of sounds that are alike the one with
// fewer signs, of six the one with sharps.
func Keys(m tonality.Mode, o Order) []tonality.Key {
	// Signatures as they follow each other by fifths: seven flats to seven sharps.
	var circle []tonality.Key
	for letter := passage.C; letter <= passage.B; letter++ {
		for alter := passage.DoubleFlat; alter <= passage.DoubleSharp; alter += passage.Sharp {
			if k := (tonality.Key{Letter: letter, Alter: alter, Mode: m}); k.Printed() {
				circle = append(circle, k)
			}
		}
	}
	slices.SortFunc(circle, func(a, b tonality.Key) int { return a.Fifths() - b.Fifths() })
	signs := func(n int) tonality.Key { return circle[n+7] }
	var out []tonality.Key
	switch o {
	case EverySignature:
		for n := 0; n <= 7; n++ {
			out = append(out, signs(n))
		}
		for n := -1; n >= -7; n-- {
			out = append(out, signs(n))
		}
	default:
		for n := range 12 {
			if n > 6 {
				n -= 12
			}
			out = append(out, signs(n))
		}
	}
	if o == Chromatic {
		slices.SortFunc(out, func(a, b tonality.Key) int { return semitones(a) - semitones(b) })
	}
	return out
}

// semitones is how far a tonic lies above C, from 0 to 11.
func semitones(k tonality.Key) int { return (k.Tonic(4).Cents()/100%12 + 12) % 12 }

// WarmUp is a routine of a step for each key, of the pattern that the words say
// but for their key, which gives its mode. The error is that of the first key in
// which the pattern cannot be made, such as for a narrow range.
func WarmUp(w pattern.Words, i ladder.Instrument, o Order) (ladder.Routine, error) {
	p, err := pattern.Parse(w)
	if err != nil {
		return ladder.Routine{}, err
	}
	figure := p.Figure.String()
	r := ladder.Routine{Name: ladder.Name(fmt.Sprintf("Warm-up: %s %s, %s", p.Key.Mode, figure, o)), Instrument: i}
	for _, k := range Keys(p.Key.Mode, o) {
		w.Key, w.Figure = k.String(), figure
		s, err := Pattern(w, i)
		if err != nil {
			return ladder.Routine{}, fmt.Errorf("%s: %w", k, err)
		}
		r.Steps = append(r.Steps, s)
	}
	return r, nil
}
