package hear

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A sum of decaying tones obeys a linear recurrence (Prony 1795), so it is
// predicted; a tone that comes in is not.
func TestRingingIsPredicted(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	type tone struct{ f, decay, phase float64 }
	var tones []tone
	for range 12 {
		tones = append(tones, tone{0.02 + 0.4*rng.Float64(), 0.004 * rng.Float64(), 6 * rng.Float64()})
	}
	x := make([]float64, 500)
	for n := range x {
		for _, k := range tones {
			x[n] += math.Exp(-k.decay*float64(n)) * math.Cos(2*math.Pi*k.f*float64(n)+k.phase)
		}
		if n >= 400 {
			x[n] += 0.1 * math.Sin(2*math.Pi*0.0837*float64(n-400))
		}
	}
	p := newPredictor(64)
	if !p.fit(x[:240], nil) {
		t.Fatal("nothing was learnt")
	}
	power := func(a, b int) float64 {
		s := 0.0
		for n := a; n < b; n++ {
			v := p.residual(x, n)
			s += v * v
		}
		return decibels(s / float64(b-a))
	}
	if before, after := power(240, 400), power(401, 440); before > -40 || after < before+20 {
		t.Errorf("a residual of %.1f dB in the ringing and of %.1f dB in the new tone", before, after)
	}
	if p.fit(make([]float64, 240), nil) || p.fit(x[:100], nil) {
		t.Error("learnt from silence, or from too little")
	}
}
