package stat

import (
	"math"
	"slices"
)

// Median is the middle of x, which is left as it is: the mean of the two middle
// values where their number is even, 0 of nothing.
func Median(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	y := slices.Clone(x)
	slices.Sort(y)
	return (y[(len(y)-1)/2] + y[len(y)/2]) / 2
}

// MeanSpread is the mean of x, 0 of nothing, and its standard deviation about
// it, 0 of fewer than two values.
func MeanSpread(x []float64) (mean, spread float64) {
	if len(x) == 0 {
		return 0, 0
	}
	for _, v := range x {
		mean += v / float64(len(x))
	}
	if len(x) < 2 {
		return mean, 0
	}
	for _, v := range x {
		spread += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(spread / float64(len(x)-1))
}

// Middle is half the width of the middle 68 % of x: the standard deviation of a
// normal spread, blind to its tails. 0 of fewer than two values.
func Middle(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	y := slices.Clone(x)
	slices.Sort(y)
	at := func(share float64) float64 {
		i := share * float64(len(y)-1)
		k := min(int(i), len(y)-2)
		return y[k] + (i-float64(k))*(y[k+1]-y[k])
	}
	return (at(0.84) - at(0.16)) / 2
}
