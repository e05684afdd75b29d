package cli

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

const readRuns = `footing: 1
name: Morning runs
instrument: clarinet in B flat
steps:
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 18-18}
    tempo: {from: 60, goal: 69, step: marks}
    slots: 4
    chunk: {start: "18:2", beats: 2, landing: true}
    count-in: 2
    breath: 2
    reps: 2
    rule: steady
    key: F
    unit: 1/16
    notes: |
      z4 EF^FA Bcde =fz3 |
`

// A step's notes name the weak change, and tell which note is wrong, in text, as JSON
// and in the picture; the clarinet sounds a tone lower than it reads.
func TestHearByTheNotes(t *testing.T) {
	file := write(t, readRuns)
	played := reps(6, 6, 30)
	for i, key := range []int{62, 63, 64, 67, 68, 70, 72, 74, 75} {
		for rep := range 6 {
			played[9*rep+i].midi = key
		}
	}
	played[9*2+3].midi++ // G sharp for the A that is read
	take := plainTake(t, played)
	path := filepath.Join(t.TempDir(), "take.png")
	code, out, err := run(t, "hear", take, "--routine", file, "--picture", path)
	if code != Done || err != "" {
		t.Fatalf("status %d, %q", code, err)
	}
	for _, want := range []string{
		"B flat is played instead of A in one of six reps. The change from B flat to C comes late by about 30 ms",
		"53 of 54 notes as written. The A lies at 440 Hz.", "Bb4 to C5", `chunk: {start: "18:3", beats: 1, landing: true}`,
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not said:\n%s", want, out)
		}
	}
	var o struct {
		Notes struct {
			Faults []struct {
				Kind, At, Heard string
				Rep             int
			}
		}
	}
	_, out, _ = run(t, "hear", take, "--routine", file, "--json")
	if e := json.Unmarshal([]byte(out), &o); e != nil || len(o.Notes.Faults) != 1 || o.Notes.Faults[0].Rep != 3 || o.Notes.Faults[0].At != "18:2+3/4" || o.Notes.Faults[0].Heard != "Bb4" {
		t.Errorf("%v, %+v", e, o)
	}
}

// Notes that cannot be found keep no take from being heard.
func TestHearWithoutTheNotes(t *testing.T) {
	file := write(t, strings.Replace(readRuns, "EF^FA", "EF^FQ", 1))
	code, out, err := run(t, "hear", plainTake(t, reps(6, 6, 30)), "--routine", file)
	if code != Done || !strings.Contains(err, "the take is heard without notes") || !strings.Contains(out, "fifth change in each rep comes late") {
		t.Errorf("status %d, %q:\n%s", code, err, out)
	}
}
