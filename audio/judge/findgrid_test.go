package judge

import (
	"math"
	"testing"

	"footing/audio/hear"
)

func TestGridIsFound(t *testing.T) {
	for _, bpm := range []float64{60, 72, 96, 120} {
		r := run{BPM: bpm, Slots: 4, Reps: 8, Scatter: 6, Seed: 9}
		f := FindGrid(r.onsets(), Hint{})
		if len(f.Candidates) == 0 {
			t.Fatalf("%v bpm: %s", bpm, f.Search)
		}
		found := false
		for _, c := range f.Candidates {
			if math.Abs(c.Grid.BPM-bpm) < 0.01*bpm && c.Grid.SlotsPerBeat == 4 {
				found = true
			}
		}
		if !found {
			t.Errorf("%v bpm in sixteenths is not among %+v", bpm, f.Candidates)
		}
		rivals := 0
		for _, c := range f.Candidates[1:min(len(f.Candidates), 4)] {
			if c.Score >= 0.8*f.Candidates[0].Score {
				rivals++
			}
		}
		if len(f.Rivals) != rivals {
			t.Errorf("%v bpm: %d rivals, want %d of %+v", bpm, len(f.Rivals), rivals, f.Candidates)
		}
		for i, c := range f.Rivals {
			if c.Grid.BPM != f.Candidates[i+1].Grid.BPM || c.Score < nearlyAsGood*f.Candidates[0].Score {
				t.Errorf("%v bpm: %+v is a rival of %+v", bpm, c, f.Candidates[0])
			}
		}
		if f.Ambiguous() != (f.Candidates[1].Score >= nearlyAsGood*f.Candidates[0].Score) {
			t.Errorf("%v bpm: ambiguous %v, %+v", bpm, f.Ambiguous(), f.Candidates)
		}
	}
}

func TestGivenTempo(t *testing.T) {
	r := run{BPM: 72, Slots: 4, Reps: 8, Scatter: 6, Offset: 0.05, Seed: 2}
	f := FindGrid(r.onsets(), Hint{BPM: 72, SlotsPerBeat: 4})
	if len(f.Candidates) != 1 || math.Abs(f.Candidates[0].Grid.First-1.05) > 0.01 {
		t.Fatalf("%+v", f)
	}
	f = FindGrid(r.onsets(), Hint{BPM: 72, SlotsPerBeat: 4, First: 1 + 60.0/72, FirstKnown: true})
	rep := Evenness(r.onsets(), f.Candidates[0].Grid)
	if n := rep.Notes[0]; n.Slot != 1 || n.Rep != 1 {
		t.Errorf("the first note lies on slot %d of rep %d", n.Slot, n.Rep)
	}
	f = FindGrid(r.onsets(), Hint{BPM: 72})
	if len(f.Candidates) == 0 || f.Candidates[0].Grid.SlotsPerBeat != 4 {
		t.Errorf("with the tempo given: %+v", f)
	}
}

func TestNoGrid(t *testing.T) {
	for _, tt := range []struct {
		onsets []hear.Onset
		want   Search
	}{
		{nil, NoNotes},
		{[]hear.Onset{{Seconds: 1}}, TooFewNotes},
		{[]hear.Onset{{Seconds: 1}, {Seconds: 1.2}, {Seconds: 1.4}}, TooFewNotes},
		{[]hear.Onset{{Seconds: 1}, {Seconds: 1}, {Seconds: 1}, {Seconds: 1}, {Seconds: 1}, {Seconds: 1}}, NoPace},
	} {
		if f := FindGrid(tt.onsets, Hint{}); len(f.Candidates) != 0 || f.Search != tt.want {
			t.Errorf("%d notes: %+v, want %s", len(tt.onsets), f, tt.want)
		}
	}
}

// A habit in every beat tells how many notes make one.
func TestHabitTellsTheBeat(t *testing.T) {
	for _, slots := range []int{3, 4} {
		for _, bpm := range []float64{60, 72, 88, 110} {
			r := run{BPM: bpm, Slots: slots, Reps: 12, Scatter: 5, Late: map[int]float64{2: 25}, Seed: 3}
			f := FindGrid(r.onsets(), Hint{})
			if len(f.Candidates) == 0 || f.Candidates[0].Grid.SlotsPerBeat != slots || math.Abs(f.Candidates[0].Grid.BPM-bpm) > 0.01*bpm {
				t.Errorf("%v bpm, %d notes a beat: %+v", bpm, slots, f)
			}
		}
	}
}
