package speaker

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Whatever is set and when, no sample differs from the one before by more than the ramp allows, and 10 ms after the last
// change the level is the one that was set.
func TestTheLevelIsReachedOnARamp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]int{8_000, 44_100, 48_000, 192_000}).Draw(t, "rate")
		l, before := newLevel(), float32(1)
		var dB float64
		for range rapid.IntRange(1, 20).Draw(t, "changes") {
			dB = rapid.Float64Range(-80, 20).Draw(t, "dB")
			l.set(dB)
			samples := make([]float32, 2*rapid.IntRange(1, rate/50).Draw(t, "frames"))
			for i := range samples {
				samples[i] = 1
			}
			l.apply(samples, rate)
			for i := 0; i < len(samples); i += 2 {
				if d := math.Abs(float64(samples[i] - before)); d > 1.001/(0.010*float64(rate)) || samples[i] != samples[i+1] {
					t.Fatalf("a sample differs from the one before by %v, and from its neighbour by %v", d, samples[i]-samples[i+1])
				}
				before = samples[i]
			}
		}
		l.apply(make([]float32, 2*(rate/100+1)), rate)
		last := []float32{1, 1}
		l.apply(last, rate)
		want := math.Pow(10, min(max(dB, LeastLevel), MostLevel)/20)
		if dB <= LeastLevel {
			want = 0
		}
		if math.Abs(float64(last[0])-want) > 1e-5 {
			t.Fatalf("at %v dB the level is %v, want %v", dB, last[0], want)
		}
	})
}
