package notesfile_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/conduct"
	"footing/ladder/notes/notesfile"
	"footing/ladder/routine"
)

// Played hands free, an angle goes by the notes of its step where they can be found,
// and by the slots where they cannot; steps that take none are not asked for theirs.
func TestWhereNotesBegin(t *testing.T) {
	f, err := routine.Parse("runs.yaml", []byte(`footing: 1
name: Runs
steps:
  - name: Eighths
    passage: {bars: 1-1}
    tempo: {from: 100, goal: 100}
    slots: 4
    pulse: halved
    chunk: {beats: 2, landing: false}
    count-in: 0
    breath: 0
    angle: long short
    reps: 1
    rule: steady
    unit: 1/8
    notes: CDEF GABc |
  - name: None to be found
    passage: {bars: 1-1}
    tempo: {from: 100, goal: 100}
    slots: 4
    pulse: halved
    chunk: {beats: 1, landing: false}
    count-in: 0
    breath: 0
    angle: long short
    reps: 1
    rule: steady
    score: nowhere.musicxml
`))
	if err != nil {
		t.Fatal(err)
	}
	r := f.Routine()
	begins, err := notesfile.At(t.TempDir()+"/runs.yaml").Begins(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, phrase := range conduct.HandsFree(conduct.Rendition{Routine: r, Begins: begins}.Known()) {
		var at []string
		for _, s := range phrase.Strokes {
			if s.Part == click.InChunk {
				at = append(at, s.At.String())
			}
		}
		got = append(got, strings.Join(at, " "))
	}
	if text := strings.Join(got, "; "); text != "0 3/4 1 7/4; 0 3/8 1/2 7/8" {
		t.Errorf("it clicks at %s", text)
	}
	if r.Steps[0].Begins != nil {
		t.Error("the routine itself was changed")
	}
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	r.Steps[0], r.Steps[1] = r.Steps[1], r.Steps[0]
	if _, err := notesfile.At(t.TempDir()+"/runs.yaml").Begins(gone, r); !errors.Is(err, context.Canceled) {
		t.Errorf("it is given up with %v", err)
	}
}
