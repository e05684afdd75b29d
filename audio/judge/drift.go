package judge

import (
	"math"

	"footing/audio/stat"
)

// driftBelow is the chance, on both sides together, of telling a steady player
// of a drift.
const driftBelow = 0.05

// drift tells by how much the take falls behind its grid or runs ahead of it,
// where that is more than the notes' own unsteadiness would show by chance.
func (e *evenness) drift() {
	e.r.DriftMsPerMinute = 0
	var at []float64
	middle, df := 0.0, -1.0
	for j, i := range e.noteAt {
		if i >= 0 {
			at = append(at, e.a.places[j].Seconds)
			middle += e.a.places[j].Seconds
		}
	}
	for _, v := range e.values {
		df += math.Max(0, float64(len(v)-1))
	}
	middle /= float64(len(at))
	spread := 0.0
	for _, x := range at {
		spread += (x - middle) * (x - middle)
	}
	// The line of medians over half the take has 25/12 of the variance of a
	// least-squares line (π/2 of a median's, 4/3 of the pairs').
	unsure := math.Sqrt(25.0/12) * e.r.InstabilityMs / 1000 / math.Sqrt(spread)
	if rate := e.a.fit.rate; df > 0 && spread > 0 && stat.TwoSided(rate/(unsure+1e-12), df) < driftBelow {
		e.r.DriftMsPerMinute = rate * 60_000
	}
}
