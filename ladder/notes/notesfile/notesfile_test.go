package notesfile_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footing/ladder/notes/notesfile"
	"footing/ladder/passage"
	"footing/ladder/routine"
)

// folder is a folder with a score of three parts and a routine.
func folder(t *testing.T, text string) *routine.File {
	t.Helper()
	dir := t.TempDir()
	for to, from := range map[string]string{
		"three.musicxml": "made/made-28-three-parts.musicxml", "jumps.musicxml": "made/made-01-da-capo-al-fine.musicxml",
		"broken.musicxml": "bad/bad-04-cut-off.musicxml", "folder.musicxml/x": "made/made-01-da-capo-al-fine.musicxml",
	} {
		data, err := os.ReadFile(filepath.Join("..", "..", "passage", "testdata", from))
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, to)
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(dir, "runs.yaml")
	if err := os.WriteFile(path, []byte("footing: 1\nname: Runs\nsteps:\n"+text), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := routine.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A fault of the notes is told by its place in the routine, and the routine opens
// all the same.
func TestFaultsHaveTheirPlace(t *testing.T) {
	for name, tt := range map[string]struct{ text, want string }{
		"no file": {"  - name: Run\n    score: {file: none.musicxml}\n",
			`5:19: none.musicxml: there is no such file; put a score`},
		"short": {"  - name: Run\n    score: none.musicxml\n",
			`5:12: none.musicxml: there is no such file; put a score`},
		"broken": {"  - name: Run\n    score: {file: broken.musicxml}\n",
			`5:19: broken.musicxml: `},
		"a folder": {"  - name: Run\n    score: {file: folder.musicxml}\n",
			`5:19: folder.musicxml: it is a folder; put a score`},
		"which part": {"  - name: Run\n    score: {file: three.musicxml}\n",
			`5:12: the score has 3 parts; name one: `},
		"wrong part": {"  - name: Run\n    score: {file: three.musicxml, part: Tuba}\n",
			`5:41: no part is named "Tuba"; the parts are `},
		"no such bar": {"  - name: Run\n    passage: {bars: 90-91}\n    score: jumps.musicxml\n",
			`5:21: the score has no bar 90; write bars of the score such as 1`},
		"another meter": {"  - name: Run\n    meter: 3/4\n    score: jumps.musicxml\n",
			`5:12: bar 1 is in another meter in the score, of 4 beats where the step has 3; write meter`},
		"key alone": {"  - name: Run\n    key: Bb\n",
			`5:10: there are no typed notes to be in a key; `},
		"mark alone": {"  - name: Run\n    marks: [{at: \"1:1\", text: R}]\n",
			`5:12: there are no notes to be marked; `},
		"mark on no note": {"  - name: Run\n    marks:\n      - {at: \"1:1\", text: R}\n      - {at: \"1:1+1/3\", text: L}\n    notes: C2D2 E2F2 |\n",
			`7:9: no note begins at 1:1+1/3; write where one does, such as 1:1`},
		"pickup": {"  - name: Run\n    notes: C2 | C2D2 E2F2 |\n",
			`4:11: the notes have a pickup of 1 beat, the step one of 0; write pickup: 1`},
		"too many bars": {"  - name: Run\n    notes: C8 | D8 | E8 |\n",
			`4:11: the notes go on to bar 3, the passage to bar 1; write bars: 1-3`},
		"plain": {"  - name: Run\n    notes: C2D2 Q2F2 |\n",
			`5:17: `},
		"in quotes": {"  - name: Run\n    notes: \"C2D2 Q2F2 |\"\n",
			`5:18: `},
		"block": {"  - name: Run\n    notes: | # typed\n      C2D2 E2F2 |\n        G2A2 Q2c2 |\n    passage: {bars: 1-2}\n",
			`7:14: `},
		"block after blank lines": {"  - name: Run\n    notes: |2\n\n         C2D2 Q2F2 |\n",
			`7:15: `},
		"folded": {"  - name: Run\n    notes: >\n      C2D2\n      Q2F2 |\n",
			`5:12: `},
		"braces": {"  - {name: Run, notes: C2D2 Q2F2 |}\n",
			`4:29: `},
		"pattern in two meters": {"  - name: Run\n    passage: {bars: 1-2}\n    meters: [{bar: 2, meter: 3/4}]\n    pattern: {key: C}\n",
			`7:20: a pattern is in one meter, and the meter changes in bar 2; `},
		"range too narrow": {"  - name: Run\n    passage: {bars: 1-9}\n    pattern: {key: C, figure: thirds, range: C4-D4}\n",
			`6:46: the range C4-D4 `},
		"pattern too long": {"  - name: Run\n    pattern: {key: C, octaves: 2}\n    slots: 4\n",
			`4:11: the notes go on to bar 2, the passage to bar 1; write bars: 1-2`},
	} {
		t.Run(name, func(t *testing.T) {
			f := folder(t, tt.text)
			err := notesfile.Check(context.Background(), f)
			if want := "runs.yaml:" + tt.want; err == nil || !strings.Contains(err.Error(), want) || strings.Count(err.Error(), "\n") > 1 {
				t.Errorf("says %v\nwant %s", err, want)
			}
		})
	}
}

func TestNotesOfSteps(t *testing.T) {
	f := folder(t, `  - name: from a score
    score: {file: three.musicxml, part: bassoon}
  - name: typed
    instrument: clarinet
    passage: {bars: 17-18}
    pickup: 1
    key: Bb
    marks: [{at: "16:4+1/2", text: flick}, {at: "17:1", finger: "1"}]
    notes: |
      EF | B2 d2 F2 (3GAB | c8 |]
  - name: made
    instrument: bassoon
    slots: 4
    passage: {bars: 1-4}
    pattern: {key: E flat major, octaves: 1}
  - name: bars alone
`)
	if err := notesfile.Check(context.Background(), f); err != nil {
		t.Fatal(err)
	}
	shelf := notesfile.At(f.Path())
	var got []string
	for _, s := range f.Routine().Steps {
		found, err := shelf.Notes(context.Background(), s)
		if err != nil {
			t.Fatal(err)
		}
		text := s.Name + ":"
		if n := found.Notes; n != nil {
			for i, note := range n.All {
				if i < 4 {
					text += " " + n.Place(note.From) + " " + note.Pitch.String() + " " + note.Sounds.String()
				}
			}
			for _, m := range n.Marks {
				text += " " + n.Place(m.At) + m.Text + m.Finger
			}
		}
		got = append(got, text)
	}
	if !strings.HasPrefix(got[0], "from a score: 1:1 ") {
		t.Error(got[0])
	}
	for i, want := range []string{
		1: "typed: 16:4 Eb4 Db4 16:4+1/2 F4 Eb4 17:1 Bb4 Ab4 17:2 D5 C5 16:4+1/2flick 17:11",
		2: "made: 1:1 Eb2 Eb2 1:1+1/4 F2 F2 1:1+1/2 G2 G2 1:1+3/4 Ab2 Ab2",
		3: "bars alone:",
	} {
		if want != "" && got[i] != want {
			t.Errorf("%s\nwant %s", got[i], want)
		}
	}
}

func TestGivenUp(t *testing.T) {
	f := folder(t, "  - name: Run\n    score: jumps.musicxml\n")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := notesfile.Check(ctx, f); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	shelf := notesfile.At(f.Path())
	shelf.Limits = passage.Limits{Bytes: 100}
	if _, err := shelf.Notes(context.Background(), f.Routine().Steps[0]); err == nil || !strings.Contains(err.Error(), "the score is too large") {
		t.Error(err)
	}
}
