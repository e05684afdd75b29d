package follow

import (
	"cmp"
	"math"

	"footing/audio/stat"
)

// Tuned is how a take lies to the notes that were to be played.
type Tuned struct {
	// Semitones by which it sounds higher, with their fraction: −0.3 for an A of 432
	// Hz. It holds Shift.
	Semitones float64
	// Shift is what of it is no tuning: whole semitones by which the whole take is
	// higher, as when an instrument is another than was thought.
	Shift int
	// Notes is how many it rests on.
	Notes int
}

const (
	// tuneReach is how far, in semitones, a player's A may lie off: from 415 to 466.
	tuneReach = 1.1
	// A shift is told from a wrong note here and there where so many of the notes share
	// it, and leastShifted of them there are.
	shiftedShare = 0.7
	leastShifted = 6
	// farthestShift is how far one is looked for, in semitones.
	farthestShift = 25
)

// Tuning measures how far a take lies off from the differences between what was heard
// and what was to be played, in semitones, one for each note: the middle of those
// within an octave's error of none, or of the shift that nearly all share.
func Tuning(differences []float64) Tuned {
	at := func(centre, reach float64) (list []float64) {
		for _, d := range differences {
			if math.Abs(d-centre) <= reach {
				list = append(list, d)
			}
		}
		return list
	}
	near := at(0, tuneReach)
	best, most := 0, 0
	for k := -farthestShift; k <= farthestShift; k++ {
		if n := len(at(float64(k), 0.5)); n > most || n == most && abs(k) < abs(best) {
			best, most = k, n
		}
	}
	if abs(best) > 1 && most >= leastShifted && float64(most) >= shiftedShare*float64(len(differences)) {
		near = at(float64(best), 0.5)
		mid := stat.Median(near)
		return Tuned{mid, best, len(near)}
	}
	if len(near) == 0 {
		return Tuned{}
	}
	// Wrong notes a semitone off are among them: what most have in common counts.
	mid := densest(near)
	list := at(mid, 0.5)
	return Tuned{stat.Median(list), 0, len(list)}
}

// densest is the place with the most values within a quarter tone of it, the nearest
// to 0 of several, and the lower of two as near, whatever order they come in.
func densest(list []float64) float64 {
	best, most := 0.0, 0
	for _, c := range list {
		n := 0
		for _, d := range list {
			if math.Abs(d-c) <= 0.25 {
				n++
			}
		}
		nearer := cmp.Or(cmp.Compare(math.Abs(c), math.Abs(best)), cmp.Compare(c, best)) < 0
		if n > most || n == most && nearer {
			best, most = c, n
		}
	}
	return best
}

func abs(n int) int { return max(n, -n) }
