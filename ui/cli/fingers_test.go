package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const thirds = `footing: 1
name: Clarinet
instrument: clarinet in B flat
steps:
  - name: E major in thirds
    passage: {bars: 1-2}
    pattern: {key: E major, figure: thirds up, range: E4-B5}
    slots: 4
    tempo: {from: 60, goal: 100}
  - name: Break
    notes: "A2 B2 ^c2 d2 |"
    marks: [{at: "1:3", finger: L}]
`

type gotFingers struct {
	Step, Instrument string
	Notes            []struct {
		Note, Keys, Use, Side string
		Either                bool
	}
	Changes []struct {
		From, To string
		Cost     float64
		Reasons  []string
	}
}

func fingersJSON(t *testing.T, args ...string) gotFingers {
	t.Helper()
	code, out, errs := run(t, append([]string{"fingers", "--json"}, args...)...)
	var got gotFingers
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != Done {
		t.Fatalf("%v: status %d, %v, %s\n%s", args, code, err, errs, out)
	}
	return got
}

func (g gotFingers) sides() string {
	var out []string
	for _, n := range g.Notes {
		out = append(out, n.Note+":"+n.Side)
	}
	return strings.Join(out, " ")
}

func TestFingersOfTypedNotes(t *testing.T) {
	// juliealinder.com, 2019: D and A major over the break, left B, right C sharp.
	got := fingersJSON(t, "--notes", "A4 B4 C#5 D5")
	if got.sides() != "A4: B4:L C#5:R D5:" || got.Notes[2].Keys != "R T 1 2 3 4 5 6 rF#" || got.Notes[2].Use != "right" {
		t.Errorf("%+v", got)
	}
	if len(got.Changes) != 3 || got.Changes[0].From != "A4" || got.Changes[0].To != "B4" || got.Changes[0].Cost < 4 || !slices.Contains(got.Changes[0].Reasons, "both hands") {
		t.Errorf("%+v", got.Changes)
	}
	got = fingersJSON(t, "--notes", "C#5 B4 D#5") // Rose, 32 studies, no. 28, as a teacher's article on creatone.jp has it
	if got.sides() != "C#5:L B4:R>L D#5:R" || got.Notes[1].Use != "right, left C sharp held > left" {
		t.Errorf("%+v", got)
	}
	if got = fingersJSON(t, "--notes", "C5, rest, D#5 | C5 C9", "--loop"); len(got.Changes) != 1 || got.Notes[3].Keys != "" {
		t.Errorf("%+v", got)
	}
	if got = fingersJSON(t, "--notes", "D♭5 B♭4 F♯5", "--instrument", "alto sax"); got.Instrument != "saxophone" || got.Notes[1].Note != "Bb4" {
		t.Errorf("%+v", got)
	}
}

func TestFingersOfARoutine(t *testing.T) {
	path := write(t, thirds)
	got := fingersJSON(t, path, "--step", "Break")
	if got.Step != "Break" || got.sides() != "A4: B4:R C#5:L D5:" {
		t.Errorf("%s: %s", got.Step, got.sides())
	}
	code, out, _ := run(t, "fingers", path, "--json")
	var all struct {
		File  string
		Steps []gotFingers
	}
	if err := json.Unmarshal([]byte(out), &all); err != nil || code != Done || len(all.Steps) != 2 || all.File != "runs.yaml" {
		t.Fatalf("status %d, %v, %+v", code, err, all)
	}
	for i, n := range all.Steps[0].Notes { // no little finger goes from key to key
		if i > 0 && n.Side != "" && n.Side == all.Steps[0].Notes[i-1].Side && n.Keys != all.Steps[0].Notes[i-1].Keys {
			t.Errorf("%s after %s with the same little finger", n.Note, all.Steps[0].Notes[i-1].Note)
		}
	}
	code, out, _ = run(t, "fingers", path, "--step", "Break")
	for _, want := range []string{"Break: B-flat clarinet", "left  ", "your choice", "the hardest first", "A4 to B4: ", "may stay down:", "a teacher's word comes first"} {
		if code != Done || !strings.Contains(out, want) {
			t.Errorf("status %d, no %q in\n%s", code, want, out)
		}
	}
	own := filepath.Join(filepath.Dir(path), "fingerings.yaml")
	if err := os.WriteFile(own, []byte("instrument: clarinet\nfingerings:\n  - {note: D5, keys: \"R T 1 2 3 4 5 6 lC#\", use: dark}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(thirds, `finger: L}`, `finger: L}, {at: "1:4", finger: dark}`, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := fingersJSON(t, path, "--step", "Break"); got.Notes[3].Use != "dark" {
		t.Errorf("%+v", got.Notes[3])
	}
	if err := os.WriteFile(own, []byte("instrument: clarinet\nfingerings:\n  - {note: D5, keys: zz}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errs := run(t, "fingers", path); code != FaultInput || !strings.Contains(errs, `fingerings.yaml:3:22: "zz" is not a key of the clarinet; its keys are T R `) {
		t.Errorf("status %d, %s", code, errs)
	}
}

func TestFingersOfAScore(t *testing.T) {
	got := fingersJSON(t, score("made-28-three-parts.musicxml"), "--part", "Oboe")
	if got.Instrument != "oboe" || len(got.Notes) != 3 || got.Step != "Oboe" {
		t.Errorf("%+v", got)
	}
	if got = fingersJSON(t, score("made-28-three-parts.musicxml"), "--part", "Oboe", "--instrument", "flute"); got.Instrument != "flute" {
		t.Errorf("%+v", got)
	}
}

func TestFingersFaults(t *testing.T) {
	none := write(t, "footing: 1\nname: Runs\nsteps:\n  - name: Run\n    notes: C8 |\n")
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{nil, FaultUsage, `there is nothing to read; write a file, or --notes "A4 B4 C#5 D5"`},
		{[]string{"x.yaml", "--notes", "C4"}, FaultUsage, "a file and --notes are both there; keep one of them"},
		{[]string{"--notes", "H4"}, FaultUsage, `--notes: "H4" is not a pitch; write letter`},
		{[]string{"--notes", " | "}, FaultUsage, `--notes: there is no note; write`},
		{[]string{"--notes", "C4", "--instrument", "basoon"}, FaultUsage, `there is no chart of the "basoon"; did you mean bassoon?`},
		{[]string{"--notes", "C4", "--instrument", "tuba"}, FaultUsage, `there is no chart of the "tuba"; write one of clarinet in B flat, `},
		{[]string{score("made-28-three-parts.musicxml"), "--step", "x"}, FaultUsage, "--step belongs to a routine"},
		{[]string{none, "--part", "x"}, FaultUsage, "--part belongs to a score"},
		{[]string{none}, FaultUsage, `the step "Run" names no instrument; write --instrument, or instrument: in it`},
		{[]string{none, "--step", "x"}, FaultInput, `no step is named "x"; the steps are "Run"`},
		{[]string{"nowhere.mxl"}, FaultInput, "nowhere.mxl: there is no such file"},
	} {
		code, out, errs := run(t, append([]string{"fingers"}, c.args...)...)
		if code != c.code || !strings.Contains(errs, c.want) || out != "" {
			t.Errorf("%v: status %d, %q, %q; want %d, %q", c.args, code, out, errs, c.code, c.want)
		}
	}
}

// A weak change that is a hard one is said to be, in the words of the fingers.
func TestHearSaysWhatFingersDo(t *testing.T) {
	const step = `footing: 1
name: Morning runs
instrument: clarinet in B flat
steps:
  - name: Over the break
    passage: {bars: 1-1}
    notes: "EFGA ABcd e4 z4 |"
    unit: 1/16
    tempo: {from: 60, goal: 100}
    slots: 4
    chunk: {start: "1:1", beats: 2, landing: true}
    count-in: 2
    breath: 2
    reps: 2
`
	take := plainTake(t, reps(6, 6, 30))
	h := hearJSON(t, take, "--routine", write(t, step))
	if want := " That is where nine fingers move, both hands, the left first finger slides from the A key to the first hole, the register changes."; !strings.HasSuffix(h.Sentence, want) {
		t.Errorf("says %q", h.Sentence)
	}
	for name, text := range map[string]string{
		"an easy change":  strings.Replace(step, "EFGA ABcd", "EFGA cdef", 1),
		"no instrument":   strings.Replace(step, "instrument: clarinet in B flat\n", "", 1),
		"another":         strings.Replace(step, "clarinet in B flat", "tuba", 1),
		"without a chart": strings.Replace(step, "    notes: \"EFGA ABcd e4 z4 |\"\n    unit: 1/16\n", "", 1),
	} {
		if h := hearJSON(t, take, "--routine", write(t, text)); h.Sentence == "" || strings.Contains(h.Sentence, "where") {
			t.Errorf("%s: says %q", name, h.Sentence)
		}
	}
}
