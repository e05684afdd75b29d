package judge

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/hear"
)

// placedTake is eight reps of eight notes with breaths, every note of a slot as well
// placed as told and moved by what off says, in milliseconds.
func placedTake(seed uint64, told map[int]float64, off func(rng *rand.Rand, slot, rep int) float64) Report {
	rng := rand.New(rand.NewPCG(seed, 5))
	places := phrases(8, 7, 0.15, 0.6)
	var onsets []hear.Onset
	for _, p := range places {
		o := hear.Onset{Seconds: p.Seconds + (rng.NormFloat64()*5+off(rng, p.Slot, p.Rep))/1000, Midi: 60 + p.Slot*5%11, Certainty: 1, PlacedMs: 2.5}
		if ms, ok := told[p.Slot]; ok {
			o.PlacedMs = ms
		}
		onsets = append(onsets, o)
	}
	return Evenness(onsets, Grid{BPM: 100, SlotsPerBeat: 4, Places: places})
}

func named(t *testing.T, of func(seed uint64) Report, slot int) (n int) {
	t.Helper()
	for seed := range uint64(60) {
		if w := of(seed).Weak; w != nil && (slot == 0 || w.ToSlot == slot) {
			n++
		}
	}
	return n
}

// Where an ear takes now this moment for a beginning and now that one, the mean of a
// slot lies between the two, and is no habit. A habit of the same size is one.
func TestASlotHeardInTwoWaysIsNoHabit(t *testing.T) {
	told := map[int]float64{5: 5}
	twoWays := func(seed uint64) Report {
		return placedTake(seed, told, func(rng *rand.Rand, slot, _ int) float64 {
			if slot == 5 && rng.IntN(2) > 0 {
				return -36
			}
			return 0
		})
	}
	habit := func(seed uint64) Report {
		return placedTake(seed, told, func(_ *rand.Rand, slot, _ int) float64 { return map[int]float64{5: -25}[slot] })
	}
	if n := named(t, twoWays, 0); n > 16 {
		t.Errorf("named in %d of 60 takes with a slot that is heard in two ways", n)
	}
	if n := named(t, habit, 5); n < 57 {
		t.Errorf("a habit is named in %d of 60 takes", n)
	}
}

// Slots that are known badly are no measure for the others, and hide no habit.
func TestSlotsKnownBadlyHideNoHabit(t *testing.T) {
	told := map[int]float64{4: 40, 5: 28, 7: 37}
	of := func(seed uint64) Report {
		return placedTake(seed, told, func(_ *rand.Rand, slot, _ int) float64 {
			return map[int]float64{3: 25, 4: 9, 5: 8, 7: 9}[slot]
		})
	}
	if n := named(t, of, 3); n < 57 {
		t.Errorf("the habit is named in %d of 60 takes", n)
	}
}

// Where the notes of a slot were misheard, what lies off elsewhere by little may have
// been as well; a single slip makes nothing less sure.
func TestWhatWasMisheardMakesOthersLessSure(t *testing.T) {
	of := func(wild func(rng *rand.Rand, rep int) float64) func(seed uint64) Report {
		return func(seed uint64) Report {
			return placedTake(seed, nil, func(rng *rand.Rand, slot, rep int) float64 {
				switch slot {
				case 3:
					return 15
				case 6:
					return wild(rng, rep)
				}
				return 0
			})
		}
	}
	calm := named(t, of(func(*rand.Rand, int) float64 { return 0 }), 3)
	slip := named(t, of(func(_ *rand.Rand, rep int) float64 { return map[int]float64{4: 60}[rep] }), 3)
	wild := named(t, of(func(rng *rand.Rand, rep int) float64 { return 60 * float64(rep%3-1) }), 3)
	if wild > 6 || calm < 50 || slip < 50 {
		t.Errorf("named in %d of 60 takes beside a slot that was misheard, in %d beside one with a slip, in %d without", wild, slip, calm)
	}
}

// Of slots' means the middle lies among them, and no single one decides it, however
// well it is known.
func TestTheMiddleOfSlots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []centre
		n := rapid.IntRange(1, 9).Draw(t, "slots")
		for range n {
			list = append(list, centre{mean: rapid.Float64Range(-9, 9).Draw(t, "mean"), variance: rapid.Float64Range(0.1, 400).Draw(t, "variance"), n: 1})
		}
		far := rapid.Float64Range(100, 1000).Draw(t, "far")
		middle, variance := middleOf(list, 1)
		if middle < -9 || middle > 9 || variance <= 0 || math.IsNaN(variance) {
			t.Fatalf("middle %.2f, variance %.2f of %+v", middle, variance, list)
		}
		if n < 3 {
			return
		}
		list[rapid.IntRange(0, n-1).Draw(t, "which")] = centre{mean: far, variance: 1e-3, n: 1}
		if middle, _ := middleOf(list, 1e-3); middle > 9 {
			t.Errorf("one slot at %.0f ms moves the middle to %.1f", far, middle)
		}
	})
}

// Reps that go at a tempo of their own, and begin late, have no habit.
func TestATempoShowsBesideALateFirstNote(t *testing.T) {
	of := func(seed uint64) Report {
		return placedTake(seed, nil, func(_ *rand.Rand, slot, _ int) float64 {
			if slot == 1 {
				return 40
			}
			return 3 * float64(slot)
		})
	}
	if n := named(t, of, 0); n > 4 {
		t.Errorf("named in %d of 60 takes", n)
	}
}

// Where the last note of each rep is not heard, the reps begin with the first all the
// same.
func TestStartsWithoutTheLastNotes(t *testing.T) {
	rep := []float64{0, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9, 1.05}
	rng := rand.New(rand.NewPCG(1, 9))
	var onsets []hear.Onset
	for k := range 8 {
		for i, at := range rep[:7] {
			onsets = append(onsets, hear.Onset{Seconds: 1 + 2*float64(k) + at + rng.NormFloat64()*0.008, Midi: 60 + i*3%7})
		}
	}
	starts := Starts(onsets, rep)
	if len(starts) != 8 {
		t.Fatalf("%d reps", len(starts))
	}
	for k, s := range starts {
		if math.Abs(s.Seconds-1-2*float64(k)) > 0.03 {
			t.Errorf("rep %d is taken to begin at %.3f s", k+1, s.Seconds)
		}
	}
}

// A first note that comes late after every breath is told, but not by so little as an
// attack and a slur may be heard apart.
func TestEntriesAreTold(t *testing.T) {
	for _, c := range []struct {
		late        float64
		least, most int
	}{{27, 55, 60}, {8, 0, 3}} {
		told := 0
		for seed := range uint64(60) {
			r := placedTake(seed, nil, func(_ *rand.Rand, slot, _ int) float64 { return map[int]float64{1: c.late}[slot] })
			if r.Entry != nil && math.Abs(r.Entry.LateMs-c.late) < 8 {
				told++
			}
		}
		if told < c.least || told > c.most {
			t.Errorf("an entry %.0f ms late is told in %d of 60 takes, want %d to %d", c.late, told, c.least, c.most)
		}
	}
}
