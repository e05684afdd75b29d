package hear

import "math"

// curve is a normalised correlation between its lags too: value i is of lag
// i/fineSteps. What an instrument sounds high up repeats within a few lags.
type curve []float64

const (
	fineSteps = 8
	fineReach = 8 // lags to either side that a value in between rests on
)

// finely appends the curve of a correlation, by windowed sinc; a correlation is
// the same on both sides of lag 0.
func finely(out curve, norm []float64) curve {
	for i := range len(norm) - 1 {
		if first := i - fineReach + 1; first >= 0 && first+2*fineReach <= len(norm) {
			between := inner(norm[first:])
			out = append(append(out, norm[i]), between[:]...)
			continue
		}
		out = append(out, norm[i])
		for k := range fineTaps {
			sum := 0.0
			for j, t := range fineTaps[k] {
				n := i + j - fineReach + 1
				if n < 0 {
					n = -n
				}
				sum += t * norm[min(n, len(norm)-1)]
			}
			out = append(out, sum)
		}
	}
	return out
}

// inner are the places between the two lags in the middle of 2·fineReach, all worked
// out together.
func inner(norm []float64) [fineSteps - 1]float64 {
	var s0, s1, s2, s3, s4, s5, s6 float64
	for j, v := range norm[:2*fineReach] {
		s0 += fineTaps[0][j] * v
		s1 += fineTaps[1][j] * v
		s2 += fineTaps[2][j] * v
		s3 += fineTaps[3][j] * v
		s4 += fineTaps[4][j] * v
		s5 += fineTaps[5][j] * v
		s6 += fineTaps[6][j] * v
	}
	return [...]float64{s0, s1, s2, s3, s4, s5, s6}
}

// fineTaps are the weights for the places between two lags.
var fineTaps = func() (taps [fineSteps - 1][2 * fineReach]float64) {
	for k := range taps {
		for j := range taps[k] {
			x := float64(j-fineReach+1) - float64(k+1)/fineSteps
			taps[k][j] = math.Sin(math.Pi*x) / (math.Pi * x) * (0.5 + 0.5*math.Cos(math.Pi*x/fineReach))
		}
	}
	return taps
}()

// without is the curve of the sound less itself one period of the old note
// earlier, period lags long: nothing of the old note is left in it, and of the
// new one what does not repeat with that period too. It ends where the sum of
// lag and period is no longer known, and is nothing when hardly any sound is left.
func (v curve) without(out curve, period float64) curve {
	const least = 0.1
	p := int(math.Round(period * fineSteps))
	if p >= len(v) || 1-v[p] < least {
		return out
	}
	left := 2 - 2*v[p]
	for i := range len(v) - p {
		before := max(i-p, p-i)
		out = append(out, max(-1, min(1, (2*v[i]-v[before]-v[i+p])/left)))
	}
	return out
}
