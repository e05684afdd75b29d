package judge

import (
	"math"
	"testing"

	"footing/audio/hear"
)

// A slip in one rep is no habit, and hides none.
func TestASlipIsNoHabitAndHidesNone(t *testing.T) {
	for _, slip := range []float64{-0.08, 0.08} {
		accused, named := 0, 0
		for seed := range uint64(100) {
			r := run{BPM: 72, Slots: 4, Reps: 8, Scatter: 6, Seed: seed}
			judge := func() *WeakChange {
				o := r.onsets()
				o[9].Seconds += slip // slot 2 of rep 3
				return Evenness(o, Grid{BPM: r.BPM, SlotsPerBeat: r.Slots, First: 1}).Weak
			}
			if judge() != nil {
				accused++
			}
			r.Late = map[int]float64{4: 25}
			if w := judge(); w != nil && w.ToSlot == 4 && math.Abs(w.LateMs-25) < 10 {
				named++
			}
		}
		if accused > 5 || named < 95 {
			t.Errorf("a slip of %+.0f ms: taken for a habit in %d of 100 takes; the habit beside it named in %d", slip*1000, accused, named)
		}
	}
}

// Whichever slot is late or early, the change into it is named, and not the one
// after that makes good for it; nor does one slot move the others.
func TestTheChangeIntoTheSlotIsNamed(t *testing.T) {
	for slots := 3; slots <= 6; slots++ {
		for slot := 1; slot <= slots; slot++ {
			for _, late := range []float64{25, -25} {
				right := 0
				for seed := range uint64(40) {
					rep := run{BPM: 84, Slots: slots, Reps: 8, Scatter: 6, Late: map[int]float64{slot: late}, Seed: seed}.report()
					if w := rep.Weak; w != nil && w.ToSlot == slot && w.FromSlot == (slot+slots-2)%slots+1 &&
						w.CatchesUp && math.Abs(w.LateMs-late) < 10 {
						right++
					}
				}
				if right < 38 {
					t.Errorf("slot %d of %d planted %+.0f ms: named rightly in %d of 40 takes", slot, slots, late, right)
				}
			}
		}
	}
}

// A slot that is hardly ever heard is no measure for the others.
func TestASlotHardlyHeardAccusesNoOther(t *testing.T) {
	for seed := range uint64(40) {
		var heard []hear.Onset
		for i, o := range (run{BPM: 84, Slots: 3, Reps: 8, Scatter: 3, Late: map[int]float64{1: -40}, Seed: seed}).onsets() {
			if i%3 != 0 || i == 6 {
				heard = append(heard, o)
			}
		}
		if w := Evenness(heard, Grid{BPM: 84, SlotsPerBeat: 3, First: 1}).Weak; w != nil {
			t.Errorf("seed %d: %+v, with the first slot heard once", seed, w)
		}
	}
}

// Where the same notes meet in every rep, the placing of soft attacks stays in
// a slot's mean and more is asked of it than where they change.
func TestRecurringNotesAskForMore(t *testing.T) {
	p := func(recurring bool) float64 {
		o := run{BPM: 84, Slots: 4, Reps: 8, Scatter: 4, Late: map[int]float64{3: 14}, Seed: 4}.onsets()
		if !recurring {
			for i := range o {
				o[i].Midi = 60 + i*5%17
			}
		}
		r := Report{Grid: Grid{BPM: 84, SlotsPerBeat: 4, First: 1}}
		for _, v := range o {
			r.Notes = append(r.Notes, Note{Onset: v})
		}
		e := newEvenness(&r, align(o, r.Grid))
		e.place()
		e.slots()
		e.changes()
		s, _ := e.foremost()
		return s.p
	}
	if same, other := p(true), p(false); same < 2*other {
		t.Errorf("chance of an even player %.4f with the same notes in every rep, %.4f with others", same, other)
	}
}
