package judge

import (
	"math"
	"math/rand/v2"
	"slices"
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

// The tempo is found at which a figure is played whose one note comes late in every
// rep, up to two fifths of a slot, and of which the ears miss some notes. What it
// could be as well is named, half or twice as many notes a beat above all.
func TestTheTempoOfALateNote(t *testing.T) {
	first, named, takes := 0, 0, 0
	for _, bpm := range []float64{120, 132, 144, 160, 176, 200} {
		for _, keys := range [][]int{eight, eight[:4]} {
			for seed := range uint64(10) {
				takes++
				slot := 2 + int(seed)%(len(keys)-1)
				onsets := loop(keys, 64/len(keys), 15/bpm, map[int]float64{slot: 20 + float64(seed)}, 0, 0, seed)
				for i := 60; i > 5; i -= 15 {
					onsets = slices.Delete(onsets, i, i+1) // not heard
				}
				f := FindGrid(onsets, Hint{})
				for i, c := range append(f.Candidates[:min(1, len(f.Candidates))], f.Rivals...) {
					if math.Abs(c.Grid.BPM/bpm-1) < 0.01 && c.Grid.SlotsPerBeat == 4 {
						named++
						if i == 0 {
							first++
						}
					}
				}
			}
		}
	}
	if first < takes*7/10 || named < takes*95/100 {
		t.Errorf("the tempo is the first in %d of %d takes, and among those named in %d", first, takes, named)
	}
}

// Notes that keep no pace have no tempo.
func TestNoPaceOfAnyNotes(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	found := 0
	for range 100 {
		at := 1.0
		var onsets []hear.Onset
		for range 40 {
			onsets = append(onsets, hear.Onset{Seconds: at, Midi: 60 + rng.IntN(12)})
			at += 0.2 * math.Exp(0.4*rng.NormFloat64())
		}
		if FindGrid(onsets, Hint{}).Search == Found {
			found++
		}
	}
	if found > 3 {
		t.Errorf("a tempo is found in %d of 100", found)
	}
}
