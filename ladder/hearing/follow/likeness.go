package follow

import "math"

// likeness is how a pitch that was heard stands to one that was to be played.
type likeness int

const (
	unknown  likeness = iota // nothing was heard
	same                     // it is that, in whatever intonation
	harmonic                 // an ear may have taken the one for the other
	other
)

const (
	// inTune is how far, in semitones, a note of a player lies from its place at most.
	inTune = 0.6
	// nearHarmonic is how near to a harmonic, in semitones, an ear's error lies.
	nearHarmonic = 0.6
	// highestHarmonic is the highest that an ear takes for its note, or its note for.
	highestHarmonic = 6
)

// how a pitch stands to the nearest of a want.
func how(w Want, note float64) likeness {
	best := unknown
	if note == 0 {
		return best
	}
	best = other
	for _, s := range w.Sounds {
		best = min(best, liken(note, s))
	}
	return best
}

// off is how far a pitch lies from the nearest of a want, in semitones.
func (w Want) off(note float64) float64 {
	best := math.Inf(1)
	for _, s := range w.Sounds {
		best = min(best, math.Abs(note-s))
	}
	return best
}

// liken sets one pitch against another.
func liken(a, b float64) likeness {
	d := math.Abs(a - b)
	if d <= inTune {
		return same
	}
	for k := 2; k <= highestHarmonic; k++ {
		if math.Abs(d-12*math.Log2(float64(k))) <= nearHarmonic {
			return harmonic
		}
	}
	return other
}

// of reports whether a pitch may be one of some notes, as an ear may hear it.
func of(note float64, list []float64) bool {
	for _, s := range list {
		if liken(note, s) != other {
			return true
		}
	}
	return false
}
