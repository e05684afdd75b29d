package score

import (
	"math"
	"sort"
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
	offset := Median(d)
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
	t.SpreadMs = Spread(t.ErrorsMs)
	return t
}

// Median of x; 0 of nothing.
func Median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	y := sorted(x)
	return (y[(len(y)-1)/2] + y[len(y)/2]) / 2
}

// Spread is the standard deviation of x; 0 of fewer than two.
func Spread(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	mean, sum := 0.0, 0.0
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sum += (v - mean) * (v - mean)
	}
	return math.Sqrt(sum / float64(len(x)-1))
}

func sorted(x []float64) []float64 {
	y := append([]float64(nil), x...)
	sort.Float64s(y)
	return y
}

// Middle is half the width of the middle 68 % of x: the standard deviation of
// a normal spread, blind to its tails. 0 of fewer than two.
func Middle(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	y := sorted(x)
	at := func(share float64) float64 {
		i := share * float64(len(y)-1)
		k := min(int(i), len(y)-2)
		return y[k] + (i-float64(k))*(y[k+1]-y[k])
	}
	return (at(0.84) - at(0.16)) / 2
}
