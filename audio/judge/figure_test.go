package judge

import (
	"math"
	"math/rand/v2"
	"testing"

	"footing/audio/hear"
)

// loop plays the keys over and over at so many slots a second, with scatter; the
// slot (from 1) comes late by so many ms. After each rep it rests, and breathes
// freely for up to so many seconds more.
func loop(keys []int, reps int, slot float64, late map[int]float64, rest, free float64, seed uint64) (out []hear.Onset) {
	rng := rand.New(rand.NewPCG(seed, 4))
	at := 1.0
	for range reps {
		for i, k := range keys {
			out = append(out, hear.Onset{Seconds: at + (rng.NormFloat64()*5+late[i+1])/1000, Midi: k, Certainty: 1, PlacedMs: 2})
			at += slot
		}
		at += rest + free*rng.Float64()
	}
	return out
}

var eight = []int{60, 62, 64, 65, 67, 65, 64, 62}

// A figure longer than a beat is judged by its own notes, and only where that
// explains the take.
func TestAFigureIsFound(t *testing.T) {
	g := Grid{BPM: 75, SlotsPerBeat: 4, First: 1}
	for _, keys := range [][]int{eight, eight[:6], append([]int{70}, eight...), append(eight[:5:5], 71, 72, 67, 69, 65, 66, 58)} {
		n := len(keys)
		named, even := 0, 0
		for seed := range uint64(40) {
			slot := 2 + int(seed)%(n-1)
			r := Evenness(loop(keys, 8, 0.2, map[int]float64{slot: 25}, 0, 0, seed), g)
			if r.Weak != nil && r.Weak.ToSlot == slot && r.Grid.Cycle == n && r.Reps == 8 && len(r.Slots) == n {
				named++
			}
			if Evenness(loop(keys, 8, 0.2, nil, 0, 0, seed), g).Weak == nil {
				even++
			}
		}
		if named < 38 || even < 38 {
			t.Errorf("%d notes: the late one named in %d of 40, none in %d of 40 even takes", n, named, even)
		}
	}
	// What comes back in each beat stays the beat's.
	late := map[int]float64{3: 25, 7: 25}
	if r := Evenness(loop(eight, 8, 0.2, late, 0, 0, 1), g); r.Weak == nil || r.Weak.ToSlot != 3 || r.Grid.Cycle != 0 || r.Reps != 16 {
		t.Errorf("late in each beat: %+v in a cycle of %d", r.Weak, r.Grid.Cycle)
	}
}

// With free breaths between, a loop is still heard by its figure, and nothing is
// missing from the breaths.
func TestBreathsBetweenFigures(t *testing.T) {
	named := 0
	for seed := range uint64(40) {
		r := Evenness(loop(eight, 8, 0.2, map[int]float64{5: 25}, 0.5, 0.3, seed), Grid{BPM: 75, SlotsPerBeat: 4, First: 1})
		if r.Weak != nil && r.Weak.ToSlot == 5 && len(r.Missed) == 0 && r.Reps == 8 {
			named++
		}
	}
	if named < 38 {
		t.Errorf("named in %d of 40", named)
	}
	// Its last notes may be those of its beginning.
	again := []int{60, 64, 62, 60, 57, 55, 60, 64}
	r := Evenness(loop(again, 8, 0.2, map[int]float64{7: 25}, 0.5, 0.3, 1), Grid{BPM: 75, SlotsPerBeat: 4, First: 1})
	if r.Grid.Cycle != 8 || r.Weak == nil || r.Weak.ToSlot != 7 || len(r.Missed) != 0 {
		t.Errorf("with its beginning at its end: %d slots, %+v, %d missed", r.Grid.Cycle, r.Weak, len(r.Missed))
	}
	// Three reps are few, but each is one.
	if r := Evenness(loop(eight, 3, 0.2, nil, 0.5, 0.3, 1), Grid{BPM: 75, SlotsPerBeat: 4, First: 1}); r.Grid.Cycle != 8 || r.Reps != 3 || len(r.Missed) != 0 {
		t.Errorf("of three: %d slots, %d reps, %d missed", r.Grid.Cycle, r.Reps, len(r.Missed))
	}
}

// Another tempo than was told is heard, and told; so are notes at half and at
// double the pace.
func TestToldAnotherTempo(t *testing.T) {
	for _, c := range []struct {
		slot  float64 // seconds
		bpm   float64 // told, with four slots
		want  float64
		slots int
	}{
		{0.2, 75, 75, 4}, {0.2, 76, 76, 4}, {0.2, 71, 75, 4}, {0.2, 80, 75, 4}, {0.4, 75, 75, 2}, {0.1, 75, 75, 8},
	} {
		f := FindGrid(loop(eight, 8, c.slot, nil, 0, 0, 3), Hint{BPM: c.bpm, SlotsPerBeat: 4})
		g := f.Candidates[0].Grid
		if math.Abs(g.BPM-c.want) > 0.01*c.want || g.SlotsPerBeat != c.slots || f.Told.BPM != c.bpm || f.Otherwise() != (c.want != c.bpm || c.slots != 4) {
			t.Errorf("slots of %.1f s, told %.0f: %.1f bpm with %d slots, %v", c.slot, c.bpm, g.BPM, g.SlotsPerBeat, f.Otherwise())
		}
	}
}

// Reps are found after breaths of any length and at tempos of their own; a click
// that is heard between them is none.
func TestStarts(t *testing.T) {
	var rep []float64
	for i := range eight {
		rep = append(rep, 0.2*float64(i))
	}
	for _, stretch := range []float64{1, 0.94, 1.06, 1.2, 2} {
		onsets := loop(eight, 10, 0.2*stretch, nil, 0.4, 0.9, 7)
		s := Starts(onsets, rep)
		if len(s) != 10 {
			t.Fatalf("%v: %d reps", stretch, len(s))
		}
		for i, v := range s {
			if math.Abs(v.Seconds-onsets[8*i].Seconds) > 0.02 || math.Abs(v.Stretch/stretch-1) > 0.025 || v.Notes != 8 {
				t.Errorf("%v: rep %d is %+v, its first note lies at %.3f", stretch, i+1, v, onsets[8*i].Seconds)
			}
		}
	}
	clicked := loop(append(eight[:8:8], 57, 57, 57, 57, 57, 57, 57, 57), 8, 0.2, nil, 0, 0, 8)
	if s := Starts(clicked, rep); len(s) != 8 {
		t.Errorf("with clicks in the breaths: %d reps", len(s))
	}
	if Starts(nil, rep) != nil || Starts(clicked, nil) != nil {
		t.Error("reps of nothing")
	}
}

// How evenly the reps begin is apart from how even they are; and a tempo of
// their own within the reps is no change.
func TestEntriesAndTempoAreApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	for _, c := range []struct{ entry, faster float64 }{{0, 0}, {30, 0}, {0, 0.04}, {15, -0.04}} {
		named, even := 0, 0
		spread := 0.0
		for range 30 {
			for _, late := range []float64{0, 25} {
				var onsets []hear.Onset
				places := phrases(8, 8, 0.2, 0.8)
				begin := 0.0
				for _, p := range places {
					if p.Slot == 1 {
						begin = c.entry * max(-2, min(2, rng.NormFloat64()))
					}
					at := p.Seconds - c.faster*0.2*float64(p.Slot-1) + (begin+5*rng.NormFloat64())/1000
					if p.Slot == 4 {
						at += late / 1000
					}
					onsets = append(onsets, hear.Onset{Seconds: at, Midi: 60 + p.Slot, PlacedMs: 2})
				}
				r := Evenness(onsets, Grid{BPM: 75, SlotsPerBeat: 4, Places: places, Landing: true})
				switch {
				case late == 0 && r.Weak == nil:
					even++
					spread += r.EntryMs
				case late > 0 && r.Weak != nil && r.Weak.ToSlot == 4:
					named++
				}
			}
		}
		if named < 28 || even < 29 {
			t.Errorf("%+v: named in %d of 30, none in %d of 30 even takes", c, named, even)
		}
		if got := spread / float64(even); math.Abs(got-c.entry) > 6 {
			t.Errorf("%+v: the reps are said to begin within %.1f ms", c, got)
		}
	}
}

// Clicks that are heard in the breaths are told of, and nothing is named that may
// be theirs.
func TestClicksBesideTheNotes(t *testing.T) {
	places := phrases(8, 8, 0.2, 1.6)
	var onsets []hear.Onset
	rng := rand.New(rand.NewPCG(3, 2))
	for i, p := range places {
		onsets = append(onsets, hear.Onset{Seconds: p.Seconds + 0.004*rng.NormFloat64(), Midi: 60 + p.Slot, PlacedMs: 2})
		if p.Slot == 9 && i < len(places)-1 {
			for k := range 6 {
				onsets = append(onsets, hear.Onset{Seconds: p.Seconds + 0.2*float64(k+1), Midi: 55 + k%2, PlacedMs: 2})
			}
		}
	}
	r := Evenness(onsets, Grid{BPM: 75, SlotsPerBeat: 4, Places: places, Landing: true})
	if !r.Clicks || r.Extra != 42 {
		t.Errorf("clicks %v, %d notes beside", r.Clicks, r.Extra)
	}
	for i := range onsets {
		if m := onsets[i].Midi; m == 55 || m == 56 {
			onsets[i].Midi = 40 + rng.IntN(50)
			onsets[i].Seconds += 0.19 * rng.Float64()
		}
	}
	if r := Evenness(onsets, Grid{BPM: 75, SlotsPerBeat: 4, Places: places, Landing: true}); r.Clicks {
		t.Error("any notes beside are taken for clicks")
	}
}
