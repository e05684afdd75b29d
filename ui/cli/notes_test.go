package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// score is one of the cases that the reader is tested on.
func score(name string) string {
	return filepath.Join("..", "..", "ladder", "passage", "testdata", "made", name)
}

func TestNotesListsParts(t *testing.T) {
	file := score("made-28-three-parts.musicxml")
	code, out, errs := run(t, "notes", file)
	want := file + ": 3 parts, 2 bars\n  Flute (P1): 2 notes from C5 to D5\n  Oboe (P2): 3 notes from E4 to G4\n  Bassoon (P3): 5 notes from C4 to F4\n"
	if code != Done || out != want || errs != "" {
		t.Errorf("status %d, %q\n%s\nwant\n%s", code, errs, out, want)
	}
}

func TestNotesWritesAPart(t *testing.T) {
	code, out, errs := run(t, "notes", score("made-24-marks-of-a-wind-part.musicxml"), "--part", "part")
	want := "bar 1 (4/4): C5:1 D5:1 E5:1 F5:1\nbar 2: G5:1 A5:1 B5:1 C6:1\nbar 3: C5:1/2 D5:1/2 E5:1/2 F5:1/2 G5:2\n"
	if code != Done || out != want || errs != "" {
		t.Errorf("status %d, %q\n%s\nwant\n%s", code, errs, out, want)
	}
}

func TestNotesAsJSON(t *testing.T) {
	code, out, errs := run(t, "notes", score("made-28-three-parts.musicxml"), "--json", "--part", "P2")
	var got struct {
		File  string
		Parts []struct {
			ID       string
			Sounding map[string][][3]any
		}
		Playback struct{ Bars []int }
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != Done || errs != "" {
		t.Fatalf("status %d, %v, %q", code, err, errs)
	}
	if got.File != "made-28-three-parts.musicxml" || len(got.Parts) != 1 || got.Parts[0].ID != "P2" || len(got.Parts[0].Sounding["1"]) == 0 || len(got.Playback.Bars) != 2 {
		t.Errorf("%+v", got)
	}
}

func TestNotesFaults(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"nowhere.mxl"}, FaultInput, "nowhere.mxl: there is no such file"},
		{[]string{filepath.Join("..", "..", "ladder", "passage", "testdata", "bad", "bad-15-octave-99.musicxml")}, FaultInput, `bar 1 of Part: octave "99" is not a number from 0 to 9`},
		{[]string{score("made-28-three-parts.musicxml"), "--part", "Tuba"}, FaultInput, `no part is named "Tuba"; the parts are "Flute" (P1), "Oboe" (P2), "Bassoon" (P3)`},
		{nil, FaultUsage, `there is nothing to read; write a file, or --pattern "E flat major"`},
		{[]string{"--figure", "thirds"}, FaultUsage, "belong to a pattern"},
		{[]string{"x.xml", "--pattern", "C"}, FaultUsage, "keep one of them"},
		{[]string{"x.xml", "--step", "Run"}, FaultUsage, "--step belongs to a routine"},
		{[]string{"x.yaml", "--part", "Oboe"}, FaultUsage, "--part belongs to a score"},
		{[]string{"--pattern", "E flat mayor"}, FaultUsage, `--pattern: "mayor" is not a mode; did you mean "major"?`},
		{[]string{"--pattern", "C", "--from", "H4"}, FaultUsage, `--from: "H4" is not a pitch`},
		{[]string{"--pattern", "C", "--octaves", "9"}, FaultUsage, "--octaves: 9 octaves cannot be played; write 1 to 8"},
	} {
		code, out, errs := run(t, append([]string{"notes"}, c.args...)...)
		if code != c.code || out != "" || !strings.Contains(errs, c.want) || strings.Count(errs, "\n") != 1 {
			t.Errorf("footing notes %q: status %d, %q, %q; want %d and %q", c.args, code, out, errs, c.code, c.want)
		}
	}
	code, out, errs := run(t, "notes", score("made-21-whole-bar-rest-of-wrong-length.musicxml"))
	if code != Done || out == "" || !strings.Contains(errs, "the bar's length is taken") {
		t.Errorf("status %d, %q, %q", code, out, errs)
	}
	if code, out, _ := run(t, "notes", "-h"); code != Done || !strings.Contains(out, "Example:") {
		t.Errorf("footing notes -h: status %d\n%s", code, out)
	}
}

// noted is a routine in a folder with a score, whose steps have notes of each kind.
func noted(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	data, err := os.ReadFile(score("made-28-three-parts.musicxml"))
	if err != nil {
		t.Fatal(err)
	}
	text := `footing: 1
name: Runs
instrument: clarinet
steps:
  - name: score
    score: {file: three.musicxml, part: Bassoon}
    chunk: {start: "1:1", beats: 2}
  - name: typed
    key: Bb
    marks: [{at: "1:2", text: flick, finger: fA}]
    notes: |
      (6GABcde f2 F4 |
  - name: made
    slots: 4
    passage: {bars: 1-2}
    pattern: {key: E flat major, octaves: 1}
  - name: bars alone
`
	for name, data := range map[string][]byte{"three.musicxml": data, "runs.yaml": []byte(text)} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return filepath.Join(dir, "runs.yaml")
}

func TestNotesOfARoutine(t *testing.T) {
	path := noted(t)
	code, out, errs := run(t, "notes", path)
	for _, want := range []string{
		"score: bar 1 of three.musicxml, Bassoon\nbar 1 (4/4): ",
		"typed: bar 1 of typed notes\nbar 1 (4/4): G4:1/6 ",
		"\nmark 1:2 on F5: flick fA\n",
		"made: bars 1-2 of E flat major, scale\nbar 1 (4/4): Eb4:1/4 F4:1/4 ",
		"\nchunk 1:1, 4 beats: Eb4 F4 G4 Ab4 Bb4 C5 D5 Eb5 D5 C5 Bb4 Ab4 G4 F4 Eb4\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	if code != Done || strings.Contains(out, "bars alone") || !strings.Contains(errs, path+":12:7: ") {
		t.Errorf("status %d, %q\n%s", code, errs, out)
	}
	code, out, errs = run(t, "notes", path, "--step", "typed", "--json")
	var got struct {
		Step, Source string
		Parts        []struct{ Sounding map[string][][3]any }
		Passage      [2]int
		Chunk        []struct {
			Place, Beats, Pitch string
			MIDI, Sounds        float64
		}
		Marks []struct{ Place, Pitch, Text, Finger string }
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != Done || errs != "" {
		t.Fatalf("status %d, %v, %q", code, err, errs)
	}
	if got.Step != "typed" || got.Source != "notes" || len(got.Parts) != 1 || len(got.Parts[0].Sounding["1"]) != 8 || len(got.Chunk) != 8 || len(got.Marks) != 1 ||
		got.Chunk[1].Place != "1:1+1/6" || got.Chunk[1].Beats != "1/6" || got.Chunk[0].MIDI != 67 || got.Chunk[0].Sounds != 65 || got.Marks[0].Pitch != "F5" {
		t.Errorf("%+v", got)
	}
	var all struct{ Steps []struct{ Step string } }
	code, out, _ = run(t, "notes", path, "--json")
	if err := json.Unmarshal([]byte(out), &all); err != nil || code != Done || len(all.Steps) != 3 {
		t.Errorf("status %d, %v, %+v", code, err, all)
	}
	for step, want := range map[string]string{"none": `no step is named "none"`, "bars alone": `the step "bars alone" has no notes`} {
		if code, _, errs := run(t, "notes", path, "--step", step); code != FaultInput || !strings.Contains(errs, want) {
			t.Errorf("%s: status %d, %q", step, code, errs)
		}
	}
	if err := os.Remove(filepath.Join(filepath.Dir(path), "three.musicxml")); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"notes", path}, {"check", path}} {
		code, _, errs := run(t, args...)
		if want := path + ":6:19: three.musicxml: there is no such file; put a score in MusicXML there, or write another file\n"; code != FaultInput || strings.TrimPrefix(errs, "footing: ") != want {
			t.Errorf("%q: status %d, %q", args, code, errs)
		}
	}
}

func TestNotesOfAPattern(t *testing.T) {
	code, out, errs := run(t, "notes", "--pattern", "E flat major", "--figure", "thirds up", "--octaves", "1", "--from", "E4", "--range", "E3-C6", "--json")
	var got struct {
		Pattern, Figure string
		Pitches         []string
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != Done || errs != "" {
		t.Fatalf("status %d, %v, %q", code, err, errs)
	}
	if want := "Eb4 G4 F4 Ab4 G4 Bb4 Ab4 C5 Bb4 D5 C5 Eb5 D5 F5 Eb5"; strings.Join(got.Pitches, " ") != want || got.Figure != "thirds up" {
		t.Errorf("%+v", got)
	}
	code, out, _ = run(t, "notes", "--pattern", "C", "--figure", "arpeggio up")
	if want := "C major, arpeggio up: C4 E4 G4 C5\n"; code != Done || out != want {
		t.Errorf("status %d, %q", code, out)
	}
}
