package click

import (
	"fmt"
	"strconv"
	"strings"
)

// MaxSlots is the most slots that a beat can have.
const MaxSlots = 12

// Slots says where the slots of a beat lie: evenly, or as a swung pair. The
// zero value is one slot a beat.
type Slots struct {
	n           int // even slots less one
	first, then int // the swing ratio, 0:0 when the slots are even
}

// EvenSlots returns n even slots a beat, n from 1 to [MaxSlots].
func EvenSlots(n int) Slots { return Slots{n: min(max(n, 1), MaxSlots) - 1} }

// Swing returns two slots whose lengths are as first to then, such as 2:1.
func Swing(first, then int) Slots { return Slots{n: 1, first: first, then: then} }

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
func (s Slots) Swung() (first, then int, ok bool) { return s.first, s.then, s.first > 0 }

// At is the place of slot i (from 0) within its beat.
func (s Slots) At(i int) Beats {
	if s.first > 0 && i == 1 {
		return Frac(int64(s.first), int64(s.first+s.then))
	}
	return Frac(int64(i), int64(s.Count()))
}

// From is the place n slots after b, which lies anywhere on a grid of whole
// beats; before b when n is negative. Even slots keep b's distance from the
// grid; of a swung pair, whose slots differ, the next one counts from wherever b
// lies.
func (s Slots) From(b Beats, n int) Beats {
	if s.first == 0 {
		return b.Add(Frac(int64(n), int64(s.Count())))
	}
	for ; n > 0; n-- {
		if half := Whole(b.Floor()).Add(s.At(1)); b.Less(half) {
			b = half
		} else {
			b = Whole(b.Floor() + 1)
		}
	}
	for ; n < 0; n++ {
		if half := Whole(b.Ceil() - 1).Add(s.At(1)); half.Less(b) {
			b = half
		} else {
			b = Whole(b.Ceil() - 1)
		}
	}
	return b
}

// Shortest is the length of the shortest slot of a beat.
func (s Slots) Shortest() Beats {
	if s.first == 0 {
		return Frac(1, int64(s.Count()))
	}
	return Frac(int64(min(s.first, s.then)), int64(s.first+s.then))
}

// String writes "4", or "2:1" for a swung pair.
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
// written: f on the first beat of the bar, mf on other beats, p between.
func DefaultMarks(bar Bar, s Slots, beat int) []Dynamics {
	marks := make([]Dynamics, s.Count())
	for i := range marks {
		marks[i] = Piano
	}
	marks[0] = MezzoForte
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
