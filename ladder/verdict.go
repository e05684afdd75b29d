package ladder

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder/angle"
)

// Verdict is the player's word on a rep.
type Verdict uint8

// The verdicts. A rep on which nobody has spoken is Unjudged: it is recorded,
// and it moves no rule that waits for a verdict. Skip does not count at all.
const (
	Unjudged Verdict = iota
	Clean
	Rough
	Skip
)

var verdictNames = [...]string{"unjudged", "clean", "rough", "skip"}

// String is the verdict's word.
func (v Verdict) String() string { return verdictNames[min(int(v), len(verdictNames)-1)] }

// ParseVerdict reads "clean", "rough" or "skip".
func ParseVerdict(s string) (Verdict, error) {
	for i, name := range verdictNames[1:] {
		if s == name {
			return Verdict(i + 1), nil
		}
	}
	return Unjudged, fmt.Errorf("%q is not a verdict; write clean, rough or skip", s)
}

// Source says who gave a verdict.
type Source uint8

// The sources. The player's word outranks the ears; a hands-free session takes
// a rep for clean on which neither has spoken.
const (
	Nobody Source = iota
	Player
	Ears
	HandsFree
)

var sourceNames = [...]string{"nobody", "player", "ears", "hands free"}

// String is the source's word.
func (s Source) String() string { return sourceNames[min(int(s), len(sourceNames)-1)] }

// Played is one rep as it is recorded.
type Played struct {
	Number  int    // counts the reps of the session from 1
	Step    int    // index of the step in the routine
	Name    string // the step's name
	Tempo   click.Tempo
	Chunk   Chunk
	Angle   angle.Angle
	Verdict Verdict
	Source  Source // who gave the verdict; Nobody when it is Unjudged
	// Certainty is how sure the ears are of their verdict, 0 to 1; 0 when it is
	// another's.
	Certainty float64
	// Whole is false for a rep that was broken off after its verdict.
	Whole bool
}
