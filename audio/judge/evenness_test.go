package judge

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/hear"
	"footing/audio/takes"
)

// run is a made-up performance.
type run takes.Performance

func (r run) onsets() []hear.Onset { return takes.Performance(r).Onsets() }

func (r run) report() Report {
	return Evenness(r.onsets(), Grid{BPM: r.BPM, SlotsPerBeat: r.Slots, First: 1})
}

func TestPlantedChangeIsNamed(t *testing.T) {
	for _, late := range []float64{25, -25} {
		named, even := 0, 0
		for seed := range uint64(100) {
			r := run{BPM: 72, Slots: 4, Reps: 8, Scatter: 6, Late: map[int]float64{4: late}, Offset: 0.031, Drift: 0.004, Seed: seed}
			rep := r.report()
			if w := rep.Weak; w != nil && w.FromSlot == 3 && w.ToSlot == 4 && w.CatchesUp && math.Abs(w.LateMs-late) < 10 {
				named++
			}
			r.Late = nil
			if r.report().Weak == nil {
				even++
			}
		}
		if named < 95 || even < 95 {
			t.Errorf("planted %+.0f ms: named in %d of 100 takes, none named in %d of 100 even ones; want 95 each", late, named, even)
		}
	}
}

// An even take stays unnamed whatever the number of slots and reps and however
// wide its scatter.
func TestEvenTakesAreLeftAlone(t *testing.T) {
	for _, c := range []run{
		{BPM: 60, Slots: 2, Reps: 8, Scatter: 12}, {BPM: 120, Slots: 4, Reps: 4, Scatter: 15},
		{BPM: 90, Slots: 6, Reps: 12, Scatter: 20}, {BPM: 160, Slots: 4, Reps: 30, Scatter: 10},
	} {
		wrong := 0
		for seed := range uint64(200) {
			c.Seed = seed
			if c.report().Weak != nil {
				wrong++
			}
		}
		if wrong > 10 {
			t.Errorf("%+v: a change was named in %d of 200 even takes", c, wrong)
		}
	}
}

func TestFewRepsHedge(t *testing.T) {
	for reps := 1; reps <= 3; reps++ {
		rep := run{BPM: 72, Slots: 4, Reps: reps, Scatter: 6, Late: map[int]float64{3: 40}}.report()
		if rep.Weak != nil || rep.Outcome != PerhapsHabit || rep.Perhaps.ToSlot != 3 || math.Abs(rep.Perhaps.LateMs-40) > 15 {
			t.Errorf("%d reps: weak change %v, %s, perhaps %+v", reps, rep.Weak, rep.Outcome, rep.Perhaps)
		}
	}
}

func TestTheChunkToCut(t *testing.T) {
	rep := run{BPM: 72, Slots: 4, Reps: 8, Late: map[int]float64{4: 25}}.report()
	if c := rep.Cut; c == nil || *c != (Cut{FromSlot: 3, ToSlot: 4, Landing: 5, FirstBeat: 1, Beats: 1}) {
		t.Errorf("cut %+v", c)
	}
	rep = run{BPM: 72, Slots: 4, Reps: 8, Late: map[int]float64{1: 25}}.report()
	if w := rep.Weak; w == nil || w.FromSlot != 4 || w.ToSlot != 1 || *rep.Cut != (Cut{FromSlot: 4, ToSlot: 5, Landing: 9, FirstBeat: 1, Beats: 2}) {
		t.Errorf("late on the beat: %+v, cut %+v", w, rep.Cut)
	}
}

// JND by tempo: Friberg & Sundberg 1995.
func TestJustNoticeable(t *testing.T) {
	for _, c := range []struct{ interval, ms float64 }{{1, 25}, {0.5, 12.5}, {0.25, 6.25}, {0.1, 6}} {
		if got := jnd(c.interval); math.Abs(got-c.ms) > 1e-9 {
			t.Errorf("at %.2f s: %.2f ms, want %.2f", c.interval, got, c.ms)
		}
	}
	if rep := (run{BPM: 60, Slots: 1, Reps: 30, Scatter: 1, Late: nil}).report(); rep.Weak != nil || rep.Outcome != Even {
		t.Errorf("%v, %s", rep.Weak, rep.Outcome)
	}
	if rep := (run{BPM: 60, Slots: 4, Reps: 12, Late: map[int]float64{2: 5}}).report(); rep.Weak != nil {
		t.Errorf("5 ms in sixteenths at 60 is below what an ear can tell, but %+v is named", rep.Weak)
	}
}

func TestMissedDoubledExtraAndLateAreToldApart(t *testing.T) {
	base := run{BPM: 80, Slots: 4, Reps: 8, Scatter: 4, Seed: 3}.onsets()
	p := 60.0 / 80 / 4
	remove := func(i int) []hear.Onset { return append(append([]hear.Onset(nil), base[:i]...), base[i+1:]...) }
	insert := func(i int, at float64) []hear.Onset {
		o := append([]hear.Onset(nil), base[:i+1]...)
		o = append(o, hear.Onset{Seconds: at, Midi: 60})
		return append(o, base[i+1:]...)
	}
	shift := func(i int, d float64) []hear.Onset {
		o := append([]hear.Onset(nil), base...)
		o[i].Seconds += d
		return o
	}
	g := Grid{BPM: 80, SlotsPerBeat: 4, First: 1}
	for _, c := range []struct {
		name                   string
		onsets                 []hear.Onset
		missed, doubled, extra int
	}{
		{"as written", base, 0, 0, 0},
		{"one missed", remove(10), 1, 0, 0},
		{"one doubled", insert(10, base[10].Seconds+0.25*p), 0, 1, 0},
		{"one extra", insert(10, base[10].Seconds+0.5*p), 0, 0, 1},
		{"one very late", shift(10, 0.45*p), 0, 0, 0},
		{"one very early", shift(10, -0.45*p), 0, 0, 0},
	} {
		r := Evenness(c.onsets, g)
		if len(r.Missed) != c.missed || r.Doubled != c.doubled || r.Extra != c.extra {
			t.Errorf("%s: %d missed, %d doubled, %d extra", c.name, len(r.Missed), r.Doubled, r.Extra)
		}
		if c.missed == 1 && (r.Missed[0].Slot != 3 || r.Missed[0].Rep != 3) {
			t.Errorf("missed %+v, want slot 3 of rep 3", r.Missed[0])
		}
	}
}

// phrases is a routine's step: so many reps of chunk, landing and breath.
func phrases(reps, slots int, p, breath float64) []Place {
	var out []Place
	at := 4.0
	for r := range reps {
		for s := range slots + 1 {
			out = append(out, Place{Seconds: at, Slot: s + 1, Rep: r + 1})
			at += p
		}
		at += breath
	}
	return out
}

func TestPhrases(t *testing.T) {
	places := phrases(8, 8, 0.15, 1.05)
	rng := rand.New(rand.NewPCG(7, 7))
	var onsets []hear.Onset
	for _, p := range places {
		late := 0.0
		if p.Slot == 6 {
			late = 0.025
		}
		onsets = append(onsets, hear.Onset{Seconds: p.Seconds + 1.237 + late + rng.NormFloat64()*0.005})
	}
	r := Evenness(onsets, Grid{BPM: 100, SlotsPerBeat: 4, Places: places, Landing: true})
	if w := r.Weak; w == nil || w.FromSlot != 5 || w.ToSlot != 6 {
		t.Fatalf("weak change %+v, %s", w, r.Outcome)
	}
	if math.Abs(r.OffsetMs-1237) > 10 || len(r.Missed) != 0 || r.Reps != 8 {
		t.Errorf("offset %.1f ms, %d missed, %d reps", r.OffsetMs, len(r.Missed), r.Reps)
	}
	if c := r.Cut; *c != (Cut{FromSlot: 5, ToSlot: 6, Landing: 9, FirstBeat: 2, Beats: 1}) {
		t.Errorf("cut %+v", c)
	}
	for _, c := range r.Changes {
		if c.ToSlot != c.FromSlot+1 {
			t.Errorf("a change from %d to %d: across a breath there is none", c.FromSlot, c.ToSlot)
		}
	}
	// A take that stops after half the reps misses nothing.
	if half := Evenness(onsets[:36], Grid{BPM: 100, SlotsPerBeat: 4, Places: places, Landing: true}); len(half.Missed) != 0 || half.Reps != 4 {
		t.Errorf("half a take: %d missed, %d reps", len(half.Missed), half.Reps)
	}
}

// Offset and drift of the whole take change no deviation.
func TestOffsetAndDriftAreTakenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := run{
			BPM:   float64(rapid.IntRange(50, 160).Draw(t, "bpm")),
			Slots: rapid.IntRange(2, 6).Draw(t, "slots"), Reps: rapid.IntRange(6, 20).Draw(t, "reps"),
			Seed: rapid.Uint64().Draw(t, "seed"),
		}
		p := 60 / r.BPM / float64(r.Slots)
		// Of a twelfth of a slot at most: beyond that slots get mixed up.
		r.Scatter = rapid.Float64Range(0, min(8, 80*p)).Draw(t, "scatter")
		plain := r.report()
		r.Offset = rapid.Float64Range(-0.2, 0.2).Draw(t, "offset") * p
		r.Drift = rapid.Float64Range(-0.01, 0.01).Draw(t, "drift")
		moved := r.report()
		for i, n := range moved.Notes {
			if n.Slot != plain.Notes[i].Slot || n.Rep != plain.Notes[i].Rep {
				t.Fatalf("note %d went from slot %d of rep %d to slot %d of rep %d", i,
					plain.Notes[i].Slot, plain.Notes[i].Rep, n.Slot, n.Rep)
			}
			if d := math.Abs(n.DeviationMs - plain.Notes[i].DeviationMs); d > 1 {
				t.Fatalf("note %d's deviation moved by %.2f ms", i, d)
			}
		}
	})
}

func TestSystematicAndUnstableAreSplit(t *testing.T) {
	r := run{BPM: 80, Slots: 4, Reps: 200, Scatter: 8, Late: map[int]float64{2: 12, 3: -12}, Seed: 5}.report()
	if math.Abs(r.InstabilityMs-8) > 1 {
		t.Errorf("instability %.2f ms, 8 planted", r.InstabilityMs)
	}
	// The spread of 0, 12, -12, 0.
	if want := math.Sqrt(288.0 / 3); math.Abs(r.SystematicMs-want) > 1 {
		t.Errorf("systematic %.2f ms, %.2f planted", r.SystematicMs, want)
	}
}

// Nothing that comes in makes the judging fail.
func TestEvennessTakesAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := 0.0
		var onsets []hear.Onset
		for _, d := range rapid.SliceOfN(rapid.Float64Range(0.001, 3), 0, 60).Draw(t, "steps") {
			at += d
			onsets = append(onsets, hear.Onset{Seconds: at})
		}
		g := Grid{BPM: rapid.Float64Range(0, 400).Draw(t, "bpm"), SlotsPerBeat: rapid.IntRange(-1, 12).Draw(t, "slots"), First: rapid.Float64Range(-5, 50).Draw(t, "first")}
		if rapid.Bool().Draw(t, "phrases") {
			g.Places = phrases(rapid.IntRange(1, 5).Draw(t, "reps"), rapid.IntRange(1, 9).Draw(t, "n"), 0.2, 1)
		}
		r := Evenness(onsets, g)
		if concluded := r.HasGrid && len(onsets) > 0; (r.Outcome != "") != concluded || (r.Outcome == Habit) != (r.Weak != nil) || (r.Outcome == PerhapsHabit) != (r.Perhaps != nil) {
			t.Fatalf("%q with the weak change %v and perhaps %v", r.Outcome, r.Weak, r.Perhaps)
		}
		f := FindGrid(onsets, Hint{BPM: g.BPM, SlotsPerBeat: max(0, g.SlotsPerBeat)})
		if (len(f.Candidates) > 0) != (f.Search == Given || f.Search == Found) || f.Search == "" {
			t.Fatalf("%d candidates, %q", len(f.Candidates), f.Search)
		}
	})
}

// A tempo that is no tempo is no grid.
func TestATempoBeyondMusicIsNoGrid(t *testing.T) {
	for _, bpm := range []float64{1.8e-307, 0.5, 1e300} {
		r := Evenness([]hear.Onset{{Seconds: 1}}, Grid{BPM: bpm, SlotsPerBeat: 1, First: 1})
		if r.HasGrid {
			t.Errorf("%v bpm is taken for a grid", bpm)
		}
	}
}
