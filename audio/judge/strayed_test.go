package judge

import (
	"slices"
	"testing"

	"footing/audio/hear"
)

// A note that lies far off in every rep is a habit, but not where another one is
// heard in its slot as well: then one of them stood in for it.
func TestAnotherNoteStandsIn(t *testing.T) {
	r := run{BPM: 66, Slots: 4, Reps: 10, Scatter: 4, Late: map[int]float64{3: -68}, Seed: 3}
	if w := r.report().Weak; w == nil || w.ToSlot != 3 {
		t.Errorf("68 ms early in every rep is not named: %+v", w)
	}
	onsets := r.onsets()
	for i, o := range r.onsets() {
		if i%4 == 2 && i/4%2 == 0 {
			o.Seconds += 0.150
			o.Midi++
			onsets = append(onsets, o)
		}
	}
	slices.SortFunc(onsets, func(a, b hear.Onset) int {
		if a.Seconds < b.Seconds {
			return -1
		}
		return 1
	})
	rep := Evenness(onsets, Grid{BPM: r.BPM, SlotsPerBeat: r.Slots, First: 1})
	if rep.Weak != nil && rep.Weak.ToSlot == 3 {
		t.Errorf("with another note in its slot it is named all the same: %+v", rep.Weak)
	}
}

// Notes that were never played, half way after one of four, do not make eight of the
// four slots told; eight notes do.
func TestHalfSlotsArePlayed(t *testing.T) {
	for _, c := range []struct {
		name  string
		extra func(i int) bool
		slots int
	}{
		{"four", func(int) bool { return false }, 4},
		{"four and one that was not played", func(i int) bool { return i%4 == 3 }, 4},
		{"four and one in every second rep", func(i int) bool { return i%8 == 3 }, 4},
		{"eight", func(int) bool { return true }, 8},
	} {
		var onsets []hear.Onset
		for i := range 48 {
			at := 1 + float64(i)*60/64.0/4
			onsets = append(onsets, hear.Onset{Seconds: at, Midi: 60 + i%4, Certainty: 1})
			if c.extra(i) {
				onsets = append(onsets, hear.Onset{Seconds: at + 60/64.0/8, Midi: 72, Certainty: 1})
			}
		}
		g := FindGrid(onsets, Hint{BPM: 64, SlotsPerBeat: 4, First: 1, FirstKnown: true}).Candidates[0].Grid
		if g.SlotsPerBeat != c.slots {
			t.Errorf("%s notes a beat: %d slots a beat are found", c.name, g.SlotsPerBeat)
		}
	}
}
