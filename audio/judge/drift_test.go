package judge

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A steady player is told of a drift in about one take of twenty at most.
func TestSteadyPlayersHaveNoDrift(t *testing.T) {
	takes, told := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		r := run{
			BPM:   float64(rapid.IntRange(50, 160).Draw(t, "bpm")),
			Slots: rapid.IntRange(1, 6).Draw(t, "slots"), Reps: rapid.IntRange(3, 20).Draw(t, "reps"),
			Seed: rapid.Uint64().Draw(t, "seed"),
		}
		// Beyond a tenth of a slot slots get mixed up.
		slot := 60_000 / r.BPM / float64(r.Slots)
		r.Scatter = rapid.Float64Range(1, min(15, 0.1*slot)).Draw(t, "scatter")
		if rapid.Bool().Draw(t, "habit") {
			r.Late = map[int]float64{r.Slots: min(25, 0.2*slot)}
		}
		// A habit makes no drift, whichever way the reps fall on the take.
		here := 0
		for range 40 {
			r.Seed++
			takes++
			if r.report().DriftMsPerMinute != 0 {
				here++
			}
		}
		told += here
		if here > 10 {
			t.Fatalf("a drift was told in %d of 40 steady takes", here)
		}
	})
	if float64(told) > 0.06*float64(takes) {
		t.Errorf("a drift was told in %d of %d steady takes", told, takes)
	}
}

// A drift of 1 % over half a minute is told, and as large as it is.
func TestDriftIsTold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slots := rapid.IntRange(2, 6).Draw(t, "slots")
		bpm := rapid.IntRange(50, 160).Draw(t, "bpm")
		sign := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "sign")
		// Of a tenth of a slot at most: beyond that slots get mixed up.
		tenth := 6000 / bpm / slots
		r := run{
			BPM: float64(bpm), Slots: slots, Reps: bpm / 2, Scatter: float64(rapid.IntRange(0, min(15, tenth)).Draw(t, "scatter")),
			Drift: 0.01 * sign, Seed: rapid.Uint64().Draw(t, "seed"),
		}
		if got := r.report().DriftMsPerMinute; math.Abs(got-600*sign) > 100 {
			t.Fatalf("1 %% over half a minute is told as %.0f ms a minute, not %.0f", got, 600*sign)
		}
	})
}
