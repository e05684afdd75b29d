package declick

import (
	"math/rand/v2"
	"testing"
)

// A minute of notes with a click on each: how many times faster than it lasts.
func BenchmarkFilter(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	keys := make([]float64, 400)
	for i := range keys {
		keys[i] = 50 + float64(i*5%13)
	}
	step := hz * 60 / len(keys)
	x := phrase(keys, step)
	for i := range len(keys) - 1 {
		tick(x, 400+float64(i*step)+rng.Float64(), 0.4, []float64{1500, 2700})
	}
	b.ReportAllocs()
	for b.Loop() {
		f := New(hz)
		var out []float32
		for n := 0; n < len(x); n += 4096 {
			out = f.Run(out[:0], x[n:min(len(x), n+4096)])
		}
	}
	b.ReportMetric(float64(b.N)*float64(len(x))/hz/b.Elapsed().Seconds(), "x-real-time")
}
