package hear

import (
	"math"
	"math/rand/v2"
	"testing"

	"footing/audio/declick"
)

// What is worked out several values at a time is the same as one by one, whatever the
// number of values.
func TestSeveralAtATime(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	noise := func(n int) []float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		return x
	}
	same := func(what string, at int, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-4 {
			t.Errorf("%s: number %d is %v, want %v", what, at, got, want)
		}
	}

	for n := range 30 {
		norm := noise(n + 1)
		fine := finely(nil, norm)
		for i, v := range fine {
			want := norm[i/fineSteps]
			if k := i % fineSteps; k > 0 {
				want = 0
				for j, tap := range fineTaps[k-1] {
					lag := i/fineSteps - fineReach + 1 + j
					if lag = max(lag, -lag); lag < len(norm) {
						want += tap * norm[lag]
					}
				}
			}
			if i/fineSteps+fineReach < len(norm) { // beyond, a curve ends in its own way
				same("a finer curve", i, v, want)
			}
		}
	}

	envelope := func(rows int) onsetEnvelope {
		e := make(onsetEnvelope, rows)
		for k := range e {
			copy(e[k][:], noise(envHarmonics))
		}
		return e
	}
	for rows := 1; rows <= alongside; rows++ {
		one, other := envelope(9), envelope(9+rows-1)
		both, own := one.along(other, rows)
		for i := range rows {
			at := other[i : i+9]
			same("two envelopes", i, both[i], one.times(at))
			same("an envelope", i, own[i], at.times(at))
		}
	}

	for n := range 90 {
		x := noise(n)
		p := &placer{thin: map[int][]float64{2: lowPass(2)}, cleared: &declick.Cleared{Sound: x}}
		taps := p.thin[2]
		for k, v := range p.thinClick(2) {
			want := 0.0
			for j, tap := range taps {
				if i := 2*k + j - len(taps)/2; i >= 0 && i < n {
					want += clickWeight * tap * x[i]
				}
			}
			same("a thinned click", k, v, want)
		}
		if got, want := len(p.thinClick(2)), (n+1)/2; got != want {
			t.Errorf("a click of %d values is thinned to %d, want %d", n, got, want)
		}
	}

	for factor := 2; factor < 6; factor++ {
		d := newDecimator(factor)
		x := make([]float32, 400)
		for i := range x {
			x[i] = float32(rng.NormFloat64())
		}
		for k, v := range d.run(nil, x) {
			want := 0.0
			for j, tap := range d.taps {
				if i := k*factor + j - len(d.taps)/2; i >= 0 {
					want += float64(tap) * float64(x[i])
				}
			}
			same("a decimated stream", k, float64(v), want)
		}
	}
}
