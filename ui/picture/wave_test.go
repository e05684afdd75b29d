package picture

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// However the sound comes in, and however often stretches were merged, every
// sample lies within the outline, and the outline is no higher than the sound.
func TestWaveOutlinesTheSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 300_000).Draw(t, "samples")
		seed := rapid.Uint32().Draw(t, "seed")
		samples := make([]float32, n)
		low, high := float32(0), float32(0)
		for i := range samples {
			seed = seed*1664525 + 1013904223
			samples[i] = float32(int32(seed)) / (1 << 31)
			low, high = min(low, samples[i]), max(high, samples[i])
		}
		w := NewWave(8000)
		for rest := samples; len(rest) > 0; {
			k := min(len(rest), rapid.IntRange(1, n).Draw(t, "block"))
			w.Add(rest[:k])
			rest = rest[k:]
		}
		if got := w.between(0, w.Seconds()); got.low != low || got.high != high {
			t.Fatalf("outline %v, want %v to %v", got, low, high)
		}
		if d := w.Seconds() - float64(n)/8000; math.Abs(d) > 1e-9 {
			t.Fatalf("%v s, want %v", w.Seconds(), float64(n)/8000)
		}
		i := rapid.IntRange(0, n-1).Draw(t, "at")
		at := (float64(i) + 0.5) / 8000
		if s := w.between(at-1e-4, at+1e-4); samples[i] < s.low || samples[i] > s.high {
			t.Fatalf("sample %d is %v, outside %v", i, samples[i], s)
		}
		if cap(w.bins) > 2*maxStretches {
			t.Fatalf("%d stretches are kept", cap(w.bins))
		}
	})
}

func TestWaveOfNothing(t *testing.T) {
	w := NewWave(48_000)
	w.Add([]float32{float32(math.NaN())})
	if w.Peak() != 0 || w.between(-1, 99) != (stretch{}) {
		t.Errorf("peak %v of no sound", w.Peak())
	}
}
