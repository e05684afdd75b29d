package click

import (
	"fmt"
	"strconv"
	"strings"
)

// MaxSlots is the most slots that a beat can have.
const MaxSlots = 12

// Slots says where the slots of a beat lie: evenly, as a swung pair, or as the
// two strands of a cross-rhythm. The zero value is one slot a beat.
type Slots struct {
	n           int  // slots less one
	first, then int  // the ratio of a swing or of a cross-rhythm, 0:0 when the slots are even
	cross       bool // it is a cross-rhythm's
}

// EvenSlots returns n even slots a beat, n from 1 to [MaxSlots].
func EvenSlots(n int) Slots { return Slots{n: min(max(n, 1), MaxSlots) - 1} }

// Swing returns two slots whose lengths are as first to then, such as 2:1.
func Swing(first, then int) Slots { return Slots{n: 1, first: first, then: then} }

// Cross returns the slots of a cross-rhythm: where a even strokes fall, and b even
// strokes, in the same beat. They are to have no common divisor, and no more than
// [MaxSlots] slots together.
func Cross(a, b int) Slots { return Slots{n: a + b - 2, first: a, then: b, cross: true} }

// ParseCross reads a cross-rhythm such as "3:2".
func ParseCross(s string) (Slots, error) {
	before, after, _ := strings.Cut(s, ":")
	a, _ := strconv.Atoi(strings.TrimSpace(before)) // what is no number comes out of range
	b, _ := strconv.Atoi(strings.TrimSpace(after))
	if min(a, b) < 2 || a+b-1 > MaxSlots || gcd(int64(a), int64(b)) != 1 {
		return Slots{}, fmt.Errorf("%q is not a cross-rhythm; write two numbers from 2 without a common divisor, %d together at most, such as 3:2 or 4:3", s, MaxSlots+1)
	}
	return Cross(a, b), nil
}

// ParseSwing reads a ratio such as "2:1"; each side is 1 to 12.
func ParseSwing(s string) (Slots, error) {
	a, b, _ := strings.Cut(s, ":")
	first, _ := strconv.Atoi(strings.TrimSpace(a)) // what is no number comes out of range
	then, _ := strconv.Atoi(strings.TrimSpace(b))
	if first < 1 || then < 1 || first > 12 || then > 12 {
		return Slots{}, fmt.Errorf("%q is not a swing ratio; write long:short such as 2:1 or 3:2", s)
	}
	return Swing(first, then), nil
}

// Count is the number of slots in a beat.
func (s Slots) Count() int { return s.n + 1 }

// Swung reports the ratio, and whether the slots are swung at all.
func (s Slots) Swung() (first, then int, ok bool) { return s.first, s.then, s.first > 0 && !s.cross }

// Crossed reports the strands of a cross-rhythm, and whether it is one.
func (s Slots) Crossed() (a, b int, ok bool) { return s.first, s.then, s.cross }

// At is the place of slot i (from 0) within its beat.
func (s Slots) At(i int) Beats {
	switch {
	case s.cross:
		return s.crossing(i)
	case s.first > 0 && i == 1:
		return Frac(int64(s.first), int64(s.first+s.then))
	}
	return Frac(int64(i), int64(s.Count()))
}

// crossing is the place of slot i of a cross-rhythm: the i-th of the strokes of
// both strands in order, of which only the first two meet.
func (s Slots) crossing(i int) (at Beats) {
	a, b := int64(1), int64(1)
	for range i {
		at = Frac(b, int64(s.then))
		if one := Frac(a, int64(s.first)); one.Less(at) {
			at = one
			a++
		} else {
			b++
		}
	}
	return at
}

// OnBeat reports whether slot i is struck as the beat is: the first, and of a
// cross-rhythm the whole strand that is named last. So both strands are heard
// apart.
func (s Slots) OnBeat(i int) bool {
	return i == 0 || s.cross && int64(s.then)%s.At(i).Den() == 0
}

// From is the place n slots after b, which lies anywhere on a grid of whole
// beats; before b when n is negative. Even slots keep b's distance from the
// grid; where slots differ, the next one counts from wherever b lies.
func (s Slots) From(b Beats, n int) Beats {
	if s.first == 0 {
		return b.Add(Frac(int64(n), int64(s.Count())))
	}
	for ; n > 0; n-- {
		beat, i := Whole(b.Floor()), 1
		for !b.Less(beat.Add(s.At(i))) {
			i++
		}
		b = beat.Add(s.At(i))
	}
	for ; n < 0; n++ {
		beat, i := Whole(b.Ceil()-1), s.n
		for !beat.Add(s.At(i)).Less(b) {
			i--
		}
		b = beat.Add(s.At(i))
	}
	return b
}

// Shortest is the length of the shortest slot of a beat.
func (s Slots) Shortest() Beats {
	least := s.At(1)
	for i := range s.n {
		if length := s.At(i + 2).Sub(s.At(i + 1)); length.Less(least) {
			least = length
		}
	}
	return least
}

// String writes "4", "2:1" for a swung pair, or "3:2" for a cross-rhythm.
func (s Slots) String() string {
	if s.first > 0 {
		return fmt.Sprintf("%d:%d", s.first, s.then)
	}
	return strconv.Itoa(s.Count())
}

// Accents is the dynamics of every slot: one line for all beats, or one line
// for each beat of the bar. Where bars differ there is a line for each beat of
// the longest, and a shorter bar takes the first of them. Nil is the default,
// see [DefaultMarks].
type Accents [][]Dynamics

// DefaultMarks is what a beat (from 0) of the bar gets when no dynamics are
// written: f on the first beat of the bar, mf on other beats and on the strand of a
// cross-rhythm that is struck as they are, p between.
func DefaultMarks(bar Bar, s Slots, beat int) []Dynamics {
	marks := make([]Dynamics, s.Count())
	for i := range marks {
		marks[i] = Piano
		if s.OnBeat(i) {
			marks[i] = MezzoForte
		}
	}
	if bar.GroupStart(beat) {
		marks[0] = Forte
	}
	return marks
}

// Marks is the dynamics of the slots of one beat (from 0) of the bar.
func (a Accents) Marks(bar Bar, s Slots, beat int) []Dynamics {
	switch {
	case len(a) == 0:
		return DefaultMarks(bar, s, beat)
	case len(a) == 1:
		return a[0]
	}
	return a[beat%len(a)]
}

// Pulse says how the click's beats relate to the beats of the passage, which
// themselves stay as they are.
type Pulse uint8

// The pulses. Doubled clicks twice a beat with equal strength; halved on every
// second beat; offbeat only halfway through each beat.
const (
	OnBeat Pulse = iota
	Doubled
	Halved
	Offbeat
)

var pulseNames = [...]string{"beat", "doubled", "halved", "offbeat"}

// String is the word in a routine file.
func (p Pulse) String() string { return pulseNames[min(int(p), len(pulseNames)-1)] }

// ParsePulse reads "beat", "doubled", "halved" or "offbeat".
func ParsePulse(s string) (Pulse, error) {
	for i, name := range pulseNames {
		if s == name {
			return Pulse(i), nil
		}
	}
	return 0, fmt.Errorf("%q is not a pulse; write one of %s", s, strings.Join(pulseNames[:], ", "))
}
