package hear

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// run is a made-up performance on a regular grid.
type run struct {
	bpm           float64
	slots, reps   int
	scatter       float64         // ms
	late          map[int]float64 // slot to ms
	offset, drift float64         // seconds, share
	seed          uint64
}

func (r run) onsets() []Onset {
	rng := rand.New(rand.NewPCG(r.seed, 1))
	p := 60 / r.bpm / float64(r.slots)
	var out []Onset
	for i := range r.slots * r.reps {
		s := i%r.slots + 1
		at := 1 + r.offset + float64(i)*p*(1+r.drift) + (rng.NormFloat64()*r.scatter+r.late[s])/1000
		out = append(out, Onset{Seconds: at, Midi: 60 + s, Certainty: 1})
	}
	return out
}

func (r run) report() Report {
	return Evenness(r.onsets(), Grid{BPM: r.bpm, SlotsPerBeat: r.slots, First: 1})
}

func TestPlantedChangeIsNamed(t *testing.T) {
	for _, late := range []float64{25, -25} {
		named, even := 0, 0
		for seed := range uint64(100) {
			r := run{bpm: 72, slots: 4, reps: 8, scatter: 6, late: map[int]float64{4: late}, offset: 0.031, drift: 0.004, seed: seed}
			rep := r.report()
			if w := rep.Weak; w != nil && w.FromSlot == 3 && w.ToSlot == 4 && w.CatchesUp && math.Abs(w.LateMs-late) < 10 {
				named++
			}
			r.late = nil
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
		{bpm: 60, slots: 2, reps: 8, scatter: 12}, {bpm: 120, slots: 4, reps: 4, scatter: 15},
		{bpm: 90, slots: 6, reps: 12, scatter: 20}, {bpm: 160, slots: 4, reps: 30, scatter: 10},
	} {
		wrong := 0
		for seed := range uint64(200) {
			c.seed = seed
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
		rep := run{bpm: 72, slots: 4, reps: reps, scatter: 6, late: map[int]float64{3: 40}}.report()
		if rep.Weak != nil || !strings.Contains(rep.Sentence, "can't tell") {
			t.Errorf("%d reps: weak change %v, %q", reps, rep.Weak, rep.Sentence)
		}
	}
}

func TestTeachersSentence(t *testing.T) {
	rep := run{bpm: 72, slots: 4, reps: 8, late: map[int]float64{4: 25}}.report()
	want := "The third change in each group comes late by about 25 ms, and the one after hurries to catch up."
	if rep.Sentence != want {
		t.Errorf("said %q, want %q", rep.Sentence, want)
	}
	if c := rep.Cut; c == nil || *c != (Chunk{FromSlot: 3, ToSlot: 4, Landing: 5, FirstBeat: 1, Beats: 1, endless: true}) {
		t.Errorf("cut %+v", c)
	}
	rep = run{bpm: 72, slots: 4, reps: 8, late: map[int]float64{1: 25}}.report()
	if w := rep.Weak; w == nil || w.FromSlot != 4 || w.ToSlot != 1 || !strings.HasPrefix(rep.Sentence, "The change across to the next beat comes late") {
		t.Errorf("late on the beat: %+v %q", w, rep.Sentence)
	}
}

// JND by tempo: Friberg & Sundberg 1995.
func TestJustNoticeable(t *testing.T) {
	for _, c := range []struct{ interval, ms float64 }{{1, 25}, {0.5, 12.5}, {0.25, 6.25}, {0.1, 6}} {
		if got := jnd(c.interval); math.Abs(got-c.ms) > 1e-9 {
			t.Errorf("at %.2f s: %.2f ms, want %.2f", c.interval, got, c.ms)
		}
	}
	if rep := (run{bpm: 60, slots: 1, reps: 30, scatter: 1, late: nil}).report(); rep.Weak != nil || !strings.HasPrefix(rep.Sentence, "Even") {
		t.Errorf("%v %q", rep.Weak, rep.Sentence)
	}
	if rep := (run{bpm: 60, slots: 4, reps: 12, late: map[int]float64{2: 5}}).report(); rep.Weak != nil {
		t.Errorf("5 ms in sixteenths at 60 is below what an ear can tell, but %q", rep.Sentence)
	}
}

func TestMissedDoubledExtraAndLateAreToldApart(t *testing.T) {
	base := run{bpm: 80, slots: 4, reps: 8, scatter: 4, seed: 3}.onsets()
	p := 60.0 / 80 / 4
	remove := func(i int) []Onset { return append(append([]Onset(nil), base[:i]...), base[i+1:]...) }
	insert := func(i int, at float64) []Onset {
		o := append([]Onset(nil), base[:i+1]...)
		o = append(o, Onset{Seconds: at, Midi: 60})
		return append(o, base[i+1:]...)
	}
	shift := func(i int, d float64) []Onset {
		o := append([]Onset(nil), base...)
		o[i].Seconds += d
		return o
	}
	g := Grid{BPM: 80, SlotsPerBeat: 4, First: 1}
	for _, c := range []struct {
		name                   string
		onsets                 []Onset
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
	var onsets []Onset
	for _, p := range places {
		late := 0.0
		if p.Slot == 6 {
			late = 0.025
		}
		onsets = append(onsets, Onset{Seconds: p.Seconds + 1.237 + late + rng.NormFloat64()*0.005})
	}
	r := Evenness(onsets, Grid{BPM: 100, SlotsPerBeat: 4, Places: places, Landing: true})
	if w := r.Weak; w == nil || w.FromSlot != 5 || w.ToSlot != 6 {
		t.Fatalf("weak change %+v, %q", w, r.Sentence)
	}
	if math.Abs(r.OffsetMs-1237) > 10 || len(r.Missed) != 0 || r.Reps != 8 {
		t.Errorf("offset %.1f ms, %d missed, %d reps", r.OffsetMs, len(r.Missed), r.Reps)
	}
	if c := r.Cut; *c != (Chunk{FromSlot: 5, ToSlot: 6, Landing: 9, FirstBeat: 2, Beats: 1}) {
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
			bpm:   float64(rapid.IntRange(50, 160).Draw(t, "bpm")),
			slots: rapid.IntRange(2, 6).Draw(t, "slots"), reps: rapid.IntRange(6, 20).Draw(t, "reps"),
			seed: rapid.Uint64().Draw(t, "seed"),
		}
		p := 60 / r.bpm / float64(r.slots)
		// Of a twelfth of a slot at most: beyond that slots get mixed up.
		r.scatter = rapid.Float64Range(0, min(8, 80*p)).Draw(t, "scatter")
		plain := r.report()
		r.offset = rapid.Float64Range(-0.2, 0.2).Draw(t, "offset") * p
		r.drift = rapid.Float64Range(-0.01, 0.01).Draw(t, "drift")
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
	r := run{bpm: 80, slots: 4, reps: 200, scatter: 8, late: map[int]float64{2: 12, 3: -12}, seed: 5}.report()
	if math.Abs(r.InstabilityMs-8) > 1 {
		t.Errorf("instability %.2f ms, 8 planted", r.InstabilityMs)
	}
	// The spread of 0, 12, -12, 0.
	if want := math.Sqrt(288.0 / 3); math.Abs(r.SystematicMs-want) > 1 {
		t.Errorf("systematic %.2f ms, %.2f planted", r.SystematicMs, want)
	}
}

// Reference values: the table of Student's t (e.g. Abramowitz & Stegun 26.10).
func TestStudent(t *testing.T) {
	for _, c := range []struct{ t, df, p float64 }{
		{12.706, 1, 0.05}, {2.776, 4, 0.05}, {2.228, 10, 0.05}, {3.169, 10, 0.01}, {2.042, 30, 0.05}, {0, 5, 1}, {-2.228, 10, 0.05},
	} {
		if got := twoSided(c.t, c.df); math.Abs(got-c.p) > 2e-4 {
			t.Errorf("t %.3f with %.0f degrees: %.5f, the table has %.2f", c.t, c.df, got, c.p)
		}
	}
}

func TestJSONContract(t *testing.T) {
	var o struct {
		Onsets []map[string]any `json:"onsets"`
		Slots  []map[string]any `json:"slots"`
		Change []map[string]any `json:"changes"`
		Weak   map[string]any   `json:"weak_change"`
		Said   string           `json:"sentence"`
	}
	b, err := json.Marshal(run{bpm: 72, slots: 4, reps: 8, late: map[int]float64{4: 25}}.report())
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &o); err != nil {
		t.Fatal(err)
	}
	for _, k := range []string{"seconds", "midi", "certainty", "slot", "rep", "deviation_ms"} {
		if _, ok := o.Onsets[0][k]; !ok {
			t.Errorf("an onset has no %q: %v", k, o.Onsets[0])
		}
	}
	if o.Weak["from_slot"] != 3.0 || o.Weak["to_slot"] != 4.0 || math.Abs(o.Weak["late_ms"].(float64)-25) > 0.1 {
		t.Errorf("weak change %v", o.Weak)
	}
	if len(o.Slots) != 4 || len(o.Change) != 4 || o.Said == "" {
		t.Errorf("%s", b)
	}
	b, _ = json.Marshal(Evenness(nil, Grid{}))
	if !strings.Contains(string(b), `"weak_change":null`) || !strings.Contains(string(b), `"onsets":[]`) {
		t.Errorf("%s", b)
	}
}

// Nothing that comes in makes the judging fail.
func TestEvennessTakesAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := 0.0
		var onsets []Onset
		for _, d := range rapid.SliceOfN(rapid.Float64Range(0.001, 3), 0, 60).Draw(t, "steps") {
			at += d
			onsets = append(onsets, Onset{Seconds: at})
		}
		g := Grid{BPM: rapid.Float64Range(0, 400).Draw(t, "bpm"), SlotsPerBeat: rapid.IntRange(-1, 12).Draw(t, "slots"), First: rapid.Float64Range(-5, 50).Draw(t, "first")}
		if rapid.Bool().Draw(t, "phrases") {
			g.Places = phrases(rapid.IntRange(1, 5).Draw(t, "reps"), rapid.IntRange(1, 9).Draw(t, "n"), 0.2, 1)
		}
		r := Evenness(onsets, g)
		if r.Sentence == "" {
			t.Fatal("nothing said")
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		f := FindGrid(onsets, Hint{BPM: g.BPM, SlotsPerBeat: max(0, g.SlotsPerBeat)})
		if f.Sentence == "" {
			t.Fatal("nothing said of the grid")
		}
	})
}

// A tempo that is no tempo is no grid, and its report still marshals.
func TestATempoBeyondMusicIsNoGrid(t *testing.T) {
	for _, bpm := range []float64{1.8e-307, 0.5, 1e300} {
		r := Evenness([]Onset{{Seconds: 1}}, Grid{BPM: bpm, SlotsPerBeat: 1, First: 1})
		if r.HasGrid {
			t.Errorf("%v bpm is taken for a grid", bpm)
		}
		if _, err := json.Marshal(r); err != nil {
			t.Errorf("%v bpm: %v", bpm, err)
		}
	}
}
