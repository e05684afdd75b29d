package hearing

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/takes"
	"footing/ladder"
)

// heard is a recording of these onsets and nothing else.
func heard(onsets []hear.Onset) Recording {
	last := 0.0
	if n := len(onsets); n > 0 {
		last = onsets[n-1].Seconds + 1
	}
	return Recording{
		Name: "take.wav", Rate: 44_100, Channels: 1, Onsets: onsets,
		Hearing: hear.Hearing{Seconds: last, Peak: 0.5, Sounding: 0.9, Pitched: 0.8, Notes: len(onsets)},
	}
}

func TestCompareWithAGrid(t *testing.T) {
	late := takes.Performance{BPM: 72, Slots: 4, Reps: 8, Scatter: 2, Late: map[int]float64{3: 25}}.Onsets()
	for _, tt := range []struct {
		name     string
		onsets   []hear.Onset
		hint     judge.Hint
		source   Source
		sentence string
		text     []string
	}{
		{"given", late, judge.Hint{BPM: 72, SlotsPerBeat: 4}, Given, "The second change in each beat comes late",
			[]string{"take.wav: 0:08, 32 notes, 72 bpm, 4 slots a beat, 8 beats\n", "<- the weak change", "Cut out the beat around it"}},
		{"given, with its beginning", late, judge.Hint{BPM: 72, SlotsPerBeat: 4, First: 0.99, FirstKnown: true}, Given, "The second change",
			[]string{"The whole take lies ", " ms late on the grid, which is taken out here."}},
		{"found", late, judge.Hint{}, Found, "The second change in each beat comes late", []string{"Found 72 bpm, four notes a beat (144 bpm, if they are two a beat)."}},
		{"too few", late[:3], judge.Hint{}, "", "Three notes were heard: too few to find the tempo in. Give the tempo.", []string{"0:02, 3 notes\n"}},
		{"none", nil, judge.Hint{}, "", "No note was heard, so there is no grid to find.", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := Compare(heard(tt.onsets), Question{Hint: tt.hint})
			if r.Source != tt.source || !strings.HasPrefix(r.Sentence, tt.sentence) {
				t.Errorf("grid %q, said %q; want %q and %q", r.Source, r.Sentence, tt.source, tt.sentence)
			}
			if strings.Contains(r.Text(), "landing") {
				t.Errorf("there is no landing in\n%s", r.Text())
			}
			for _, want := range tt.text {
				if !strings.Contains(r.Text(), want) {
					t.Errorf("%q is not said:\n%s", want, r.Text())
				}
			}
		})
	}
}

// With the grid in doubt the rivals are named, and as they are asked for.
func TestCompareSaysWhatElseTheGridCouldBe(t *testing.T) {
	even := takes.Performance{BPM: 96, Slots: 3, Reps: 8, Scatter: 6, Seed: 4}.Onsets()
	for i := range even {
		even[i].Midi = 60 // so that no figure tells the beat
	}
	r := Compare(heard(even), Question{})
	if !r.Finding.Ambiguous() {
		t.Fatalf("%+v", r.Finding)
	}
	if !strings.Contains(r.Search, "could as well be") || !strings.Contains(r.Text(), "  --tempo ") || !strings.Contains(r.SmallPrint(), r.Search) {
		t.Errorf("said %q:\n%s\n%s", r.Search, r.Text(), r.SmallPrint())
	}
}

func TestCompareWithAStep(t *testing.T) {
	step := run(nil)
	rng := rand.New(rand.NewPCG(5, 6))
	onsets := take(Of(step, 0), 6, 2.1, 0.002, rng, nil)
	for i := range onsets {
		if i%9 == 5 {
			onsets[i].Seconds += 0.03
		}
	}
	before := []hear.Onset{{Seconds: 0.1}, {Seconds: 0.45}}
	r := Compare(heard(slices.Concat(before, onsets)), Question{Step: &step})
	if r.Source != FromRoutine || r.Reps != 6 || r.Weak == nil || r.Weak.ToSlot != 6 {
		t.Fatalf("%q, %d reps, weak change %+v", r.Source, r.Reps, r.Weak)
	}
	if len(r.Notes) != 56 || r.Notes[1].Kind != "" || r.Notes[2].Slot != 1 || !slices.Contains(r.Remarks, "2 notes were before or after the reps, and left out.") {
		t.Errorf("%d notes, %+v, %q", len(r.Notes), r.Notes[:3], r.Remarks)
	}
	want := ladder.Chunk{Bar: 18, At: click.Whole(2), Length: click.Whole(1), Landing: true}
	if c, ok := r.Chunk(); !ok || c != want {
		t.Errorf("the chunk to cut is %+v %v, want %+v", c, ok, want)
	}
	for _, want := range []string{"Weir Street run, 60 bpm, 4 slots a beat, 6 reps", "landing", `In the routine: chunk: {start: "18:3", beats: 1, landing: true}`} {
		if !strings.Contains(r.Text(), want) {
			t.Errorf("%q is not said:\n%s", want, r.Text())
		}
	}
	if labels := strings.Join(r.Labels(), " "); labels != "2 e & a 3 e & a 4" {
		t.Errorf("counted %q", labels)
	}
	told := Compare(heard(onsets), Question{Step: &step, Tempo: click.BPM(72)})
	if told.Weak == nil || told.Weak.ToSlot != 6 || !slices.Contains(told.Remarks, "It was played at about 60 bpm, not at 72, and is heard at that.") {
		t.Errorf("at another tempo: %q, %q", told.Sentence, told.Remarks)
	}
	rng = rand.New(rand.NewPCG(9, 9))
	var any []hear.Onset
	for at := 1.0; at < 30; at += 0.1 + 0.4*rng.Float64() {
		any = append(any, hear.Onset{Seconds: at, Midi: 60 + rng.IntN(12)})
	}
	if r := Compare(heard(any), Question{Step: &step}); r.Weak != nil || r.Cut != nil || !strings.Contains(r.Sentence, "fit") {
		t.Errorf("notes of no rep: %q, %+v", r.Sentence, r.Weak)
	}
	if r := Compare(heard(onsets), Question{Step: &step, Hint: judge.Hint{First: 90, FirstKnown: true}}); r.HasGrid || r.Sentence != `54 notes were heard. None of them fit the reps of "Weir Street run" at 60 bpm.` {
		t.Errorf("after the end: %q", r.Sentence)
	}
}

// Where a chunk lies between two slots no note is expected, and nothing fits.
func TestAChunkWithoutASlot(t *testing.T) {
	step := run(func(s *ladder.Step) {
		s.Slots = click.EvenSlots(1)
		s.Chunk = ladder.Chunk{Bar: 17, At: click.Frac(1, 2), Length: click.Frac(1, 4)}
	})
	onsets := takes.Performance{BPM: 60, Slots: 4, Reps: 4}.Onsets()
	for _, hint := range []judge.Hint{{}, {First: 1, FirstKnown: true}} {
		r := Compare(heard(onsets), Question{Step: &step, Hint: hint})
		if r.HasGrid || !strings.Contains(r.Sentence, "holds no slot of the click") {
			t.Errorf("said %q", r.Sentence)
		}
		if _, err := json.Marshal(r); err != nil {
			t.Error(err)
		}
	}
	if got := Places(step.Loop().RepPhrase(click.BPM(60)), 0, 48_000); len(got) > 0 {
		t.Errorf("notes at %v", got)
	}
	if g := Of(step, 0).Grid(2, 0); !g.Regular() {
		t.Errorf("notes at %v", g.Places)
	}
}

// By how much the take lies off the grid says something only where the player
// said where the grid begins.
func TestWhatWasRemoved(t *testing.T) {
	r := Report{Report: judge.Report{HasGrid: true, OffsetMs: -31, DriftMsPerMinute: 12}}
	if said := r.removed(); said != "The whole take falls behind by 12 ms a minute, which is taken out here." {
		t.Errorf("said %q", said)
	}
	r.placed = true
	if said := r.removed(); said != "The whole take lies 31 ms early on the grid and falls behind by 12 ms a minute, which is taken out here." {
		t.Errorf("said %q", said)
	}
}

func TestRecordingsThatHoldNothing(t *testing.T) {
	h := func(edit func(*hear.Hearing)) hear.Hearing {
		out := hear.Hearing{Seconds: 4, Peak: 0.5, Sounding: 0.9, Pitched: 0.9, Notes: 12}
		edit(&out)
		return out
	}
	for _, tt := range []struct {
		hearing hear.Hearing
		want    string
	}{
		{h(func(h *hear.Hearing) {}), ""},
		{h(func(h *hear.Hearing) { h.Seconds = 0 }), "empty"},
		{h(func(h *hear.Hearing) { h.Peak = 1e-5 }), "silent"},
		{h(func(h *hear.Hearing) { h.Notes, h.Pitched = 0, 0.01 }), "has no pitch"},
		{h(func(h *hear.Hearing) { h.Notes = 0 }), "to begin"},
		{h(func(h *hear.Hearing) { h.Notes = 1 }), "one held note"},
	} {
		if said := (Recording{Hearing: tt.hearing}).Nothing(); !strings.Contains(said, tt.want) || (said == "") != (tt.want == "") {
			t.Errorf("%+v: said %q, want %q", tt.hearing, said, tt.want)
		}
	}
	r := Recording{Notes: []string{"the file ends early"}, Clipped: true, Hearing: hear.Hearing{Broken: 2}}
	if got := r.Remarks(); len(got) != 3 || got[0] != "the file ends early" || !strings.Contains(got[1], "overloaded") || got[2] != "2 samples are no number and heard as silence" {
		t.Errorf("%q", got)
	}
}

// In one go and in parts the same is heard, and each note is placed by those after
// it too.
func TestListen(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	x := make([]float32, 3*44_100)
	for i := range x {
		s := float64(i) / 44_100
		note := math.Floor(4 * s)
		level := min(1, math.Mod(s, 0.25)/(0.01+0.002*math.Mod(note, 5)), (0.25-math.Mod(s, 0.25))/0.03)
		x[i] = float32(0.3*level*math.Sin(2*math.Pi*220*math.Exp2(math.Mod(note, 2)/6)*s) + 0.003*rng.NormFloat64())
	}
	whole, err := Listen(x, 44_100)
	if err != nil {
		t.Fatal(err)
	}
	ear, err := NewEar(44_100)
	if err != nil {
		t.Fatal(err)
	}
	for rest := x; len(rest) > 0; {
		n := min(len(rest), 1000)
		ear.Write(rest[:n])
		rest = rest[n:]
	}
	parts := ear.Close()
	l, err := hear.NewListener(44_100)
	if err != nil {
		t.Fatal(err)
	}
	l.Write(x)
	l.Close()
	refined := l.Onsets()
	atFirst := slices.Clone(refined)
	l.Refine(refined)
	if slices.Equal(atFirst, refined) || !slices.Equal(whole.Onsets, refined) {
		t.Error("the notes are not placed by those after them")
	}
	if len(whole.Onsets) != 12 || !slices.Equal(whole.Onsets, parts.Onsets) || whole.Hearing != parts.Hearing {
		t.Errorf("%d notes in one go, %d in parts", len(whole.Onsets), len(parts.Onsets))
	}
	if whole.Clipped || whole.Nothing() != "" || whole.Hearing.Seconds != 3 {
		t.Errorf("%+v", whole)
	}
	if _, err := Listen(x, 10); err == nil {
		t.Error("10 Hz was taken")
	}
}

// What other programs may rely on.
func TestJSON(t *testing.T) {
	var o struct {
		Onsets []map[string]any `json:"onsets"`
		Slots  []map[string]any `json:"slots"`
		Change []map[string]any `json:"changes"`
		Weak   map[string]any   `json:"weak_change"`
		Said   string           `json:"sentence"`
		Source string           `json:"grid_source"`
	}
	onsets := takes.Performance{BPM: 72, Slots: 4, Reps: 8, Late: map[int]float64{4: 25}}.Onsets()
	b, err := json.Marshal(Compare(heard(onsets), Question{Hint: judge.Hint{BPM: 72, SlotsPerBeat: 4}}))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &o); err != nil {
		t.Fatal(err)
	}
	for list, keys := range map[*[]map[string]any][]string{
		&o.Onsets: {"seconds", "midi", "cents", "certainty", "slurred", "kind", "slot", "rep", "deviation_ms"},
		&o.Slots:  {"slot", "notes", "mean_ms", "spread_ms", "missed", "doubled"},
		&o.Change: {"from_slot", "to_slot", "count", "mean_ms", "spread_ms", "effect", "p", "audible"},
	} {
		for _, k := range keys {
			if _, ok := (*list)[0][k]; !ok {
				t.Errorf("there is no %q in %v", k, (*list)[0])
			}
		}
	}
	if o.Weak["from_slot"] != 3.0 || o.Weak["to_slot"] != 4.0 || math.Abs(o.Weak["late_ms"].(float64)-25) > 0.1 || o.Weak["catches_up"] != true {
		t.Errorf("weak change %v", o.Weak)
	}
	if len(o.Slots) != 4 || len(o.Change) != 4 || o.Said == "" || o.Source != "given" {
		t.Errorf("%s", b)
	}
	b, _ = json.Marshal(Compare(Recording{}, Question{}))
	for _, want := range []string{`"weak_change":null`, `"onsets":[]`, `"slots":[]`, `"changes":[]`, `"missed":[]`, `"remarks":[]`, `"grid_candidates":[]`, `"grid_source":null`, `"grid":null`, `"chunk":null`, `"cut":null`} {
		if !strings.Contains(string(b), want) {
			t.Errorf("no %s in %s", want, b)
		}
	}
}

// Whatever was heard, something is said of it, and it marshals.
func TestCompareTakesAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := 0.0
		var onsets []hear.Onset
		for _, d := range rapid.SliceOfN(rapid.Float64Range(0, 3), 0, 60).Draw(t, "intervals") {
			at += d
			onsets = append(onsets, hear.Onset{Seconds: at, Certainty: 1})
		}
		q := Question{Hint: judge.Hint{
			BPM:          rapid.SampledFrom([]float64{0, 1.8e-307, 0.5, 72, 400, 1e300}).Draw(t, "bpm"),
			SlotsPerBeat: rapid.IntRange(0, 12).Draw(t, "slots"),
			First:        rapid.Float64Range(0, 50).Draw(t, "first"), FirstKnown: rapid.Bool().Draw(t, "first known"),
		}}
		if rapid.Bool().Draw(t, "step") {
			step := run(func(s *ladder.Step) { s.Slots = click.EvenSlots(rapid.IntRange(1, 12).Draw(t, "of the step")) })
			q.Step = &step
		}
		r := Compare(heard(onsets), q)
		if r.Sentence == "" || r.Text() == "" {
			t.Fatal("nothing said")
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
	})
}
