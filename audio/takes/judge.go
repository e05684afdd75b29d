package takes

import (
	"footing/audio/hear"
	"footing/audio/stat"
	"footing/audio/takes/score"
)

// Window is half the width, in seconds, of the window onsets are scored in.
const Window = 0.025

// Result is how well a take was heard.
type Result struct {
	score.Timing
	// Pitches counts the matched notes whose pitch is right.
	Pitches int
}

// Hear listens to a take in one go.
func Hear(t Take) ([]hear.Onset, error) {
	l, err := hear.NewListener(Rate)
	if err != nil {
		return nil, err
	}
	l.Write(t.Samples)
	l.Close()
	onsets := l.Onsets()
	l.Refine(onsets)
	return onsets, nil
}

// Judge scores onsets against the take's truth.
func Judge(t Take, onsets []hear.Onset) Result {
	est := make([]float64, len(onsets))
	for i, o := range onsets {
		est[i] = o.Seconds
	}
	r := Result{Timing: score.Take(t.Seconds(), est, Window)}
	for _, p := range r.Pairs {
		if onsets[p.Est].Midi == t.Notes[p.Ref].Midi {
			r.Pitches++
		}
	}
	return r
}

// Seconds are the true onsets.
func (t Take) Seconds() []float64 {
	ref := make([]float64, len(t.Notes))
	for i, n := range t.Notes {
		ref[i] = n.Seconds
	}
	return ref
}

// Total adds up results.
type Total struct {
	Matched, Reference, Estimated, Pitches int
	errors                                 []float64
	offsets                                []float64
}

// Add takes one result in.
func (t *Total) Add(r Result) {
	t.Matched += r.Matched
	t.Reference += r.Reference
	t.Estimated += r.Estimated
	t.Pitches += r.Pitches
	t.errors = append(t.errors, r.ErrorsMs...)
	t.offsets = append(t.offsets, r.OffsetMs)
}

// Score is the score over all results together.
func (t *Total) Score() score.Score { return score.Of(t.Matched, t.Reference, t.Estimated) }

// SpreadMs is the standard deviation of all timing errors, each about its own
// take's median.
func (t *Total) SpreadMs() float64 {
	_, spread := stat.MeanSpread(t.errors)
	return spread
}

// MiddleMs is half the width of the middle 68 % of the errors: the standard
// deviation they would have without their tails.
func (t *Total) MiddleMs() float64 { return stat.Middle(t.errors) }

// OffsetMs is the median of the takes' offsets.
func (t *Total) OffsetMs() float64 { return stat.Median(t.offsets) }

// Pitch is the share of the matched notes whose pitch is right, 0 to 1.
func (t *Total) Pitch() float64 { return float64(t.Pitches) / float64(max(1, t.Matched)) }
