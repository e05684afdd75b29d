package score

import (
	"slices"

	"footing/audio/stat"
)

// Timing scores the onsets of one take once the take's median offset is out of
// the way: a soft attack is heard late by its nature.
type Timing struct {
	Score
	// OffsetMs is the median of estimate minus reference, SpreadMs the
	// standard deviation of what remains, over the matched onsets.
	OffsetMs, SpreadMs float64
	// Pairs are the matched onsets.
	Pairs []Pair
	// ErrorsMs are what remains of the offset for each pair.
	ErrorsMs []float64
}

// wide is the window, in seconds, in which the offset is looked for.
const wide = 0.050

// Take scores est against ref, both in ascending seconds, at ±window seconds
// about the median offset.
func Take(ref, est []float64, window float64) Timing {
	var t Timing
	var d []float64
	for _, p := range Match(ref, est, wide) {
		d = append(d, est[p.Est]-ref[p.Ref])
	}
	offset := stat.Median(d)
	moved := make([]float64, len(est))
	for i, v := range est {
		moved[i] = v - offset
	}
	t.OffsetMs = offset * 1000
	t.Pairs = Match(ref, moved, window)
	t.Score = Of(len(t.Pairs), len(ref), len(est))
	for _, p := range t.Pairs {
		t.ErrorsMs = append(t.ErrorsMs, (moved[p.Est]-ref[p.Ref])*1000)
	}
	_, t.SpreadMs = stat.MeanSpread(t.ErrorsMs)
	return t
}

func sorted(x []float64) []float64 {
	y := slices.Clone(x)
	slices.Sort(y)
	return y
}
