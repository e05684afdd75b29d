package cli

import (
	"encoding/json"
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
		{nil, FaultUsage, "expected"},
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
