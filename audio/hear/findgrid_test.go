package hear

import (
	"math"
	"strings"
	"testing"
)

func TestGridIsFound(t *testing.T) {
	for _, bpm := range []float64{60, 72, 96, 120} {
		r := run{bpm: bpm, slots: 4, reps: 8, scatter: 6, seed: 9}
		f := FindGrid(r.onsets(), Hint{})
		if len(f.Candidates) == 0 {
			t.Fatalf("%v bpm: %q", bpm, f.Sentence)
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
		if f.Ambiguous != strings.Contains(f.Sentence, "could as well be") {
			t.Errorf("ambiguous %v, %q", f.Ambiguous, f.Sentence)
		}
	}
}

func TestGivenTempo(t *testing.T) {
	r := run{bpm: 72, slots: 4, reps: 8, scatter: 6, offset: 0.05, seed: 2}
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
	for _, onsets := range [][]Onset{nil, {{Seconds: 1}}, {{Seconds: 1}, {Seconds: 1.2}, {Seconds: 1.4}}} {
		if f := FindGrid(onsets, Hint{}); len(f.Candidates) != 0 || f.Sentence == "" {
			t.Errorf("%d notes: %+v", len(onsets), f)
		}
	}
}

// A habit in every beat tells how many notes make one.
func TestHabitTellsTheBeat(t *testing.T) {
	for _, slots := range []int{3, 4} {
		for _, bpm := range []float64{60, 72, 88, 110} {
			r := run{bpm: bpm, slots: slots, reps: 12, scatter: 5, late: map[int]float64{2: 25}, seed: 3}
			f := FindGrid(r.onsets(), Hint{})
			if len(f.Candidates) == 0 || f.Candidates[0].Grid.SlotsPerBeat != slots || math.Abs(f.Candidates[0].Grid.BPM-bpm) > 0.01*bpm {
				t.Errorf("%v bpm, %d notes a beat: %q", bpm, slots, f.Sentence)
			}
		}
	}
}
