package notesfile_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footing/ladder"
	"footing/ladder/notes/notesfile"
)

func TestAScoreIsKeptBesideTheRoutine(t *testing.T) {
	from, dir := t.TempDir(), filepath.Join(t.TempDir(), "routines")
	put := func(folder, name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	keep := func(path, want string) {
		t.Helper()
		name, err := notesfile.Keep(context.Background(), path, dir)
		if err != nil || name != want {
			t.Errorf("%s is kept as %q, %v; want %q", filepath.Base(path), name, err, want)
		}
	}
	march := put(from, "march.mxl", "one")
	keep(march, "march.mxl")
	keep(march, "march.mxl") // the same again is there already
	put(from, "march.mxl", "two")
	keep(march, "march 2.mxl")
	put(from, "march.mxl", "three")
	keep(march, "march 3.mxl")
	keep(filepath.Join(dir, "march 2.mxl"), "march 2.mxl") // it lies there itself
	if err := os.Symlink(filepath.Join(dir, "nowhere"), filepath.Join(dir, "odd.xml")); err != nil {
		t.Fatal(err)
	}
	keep(put(from, "odd.xml", "odd"), "odd 2.xml")
	keep(put(from, `a:b\c .xml`, "odd"), "a-b-c.xml")
	keep(put(from, "  .xml", "blank"), "score.xml")
	keep(put(from, strings.Repeat("é", 120)+".musicxml", "long"), strings.Repeat("é", 80)+".musicxml")
	for name, want := range map[string]string{"march.mxl": "one", "march 2.mxl": "two", "march 3.mxl": "three", "a-b-c.xml": "odd"} {
		if data, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(data) != want {
			t.Errorf("%s holds %q, %v", name, data, err)
		}
		s := ladder.DefaultStep()
		s.Notes.Score.File = name
		if faults := s.Check(); len(faults) > 0 {
			t.Errorf("%s cannot stand in a routine: %v", name, faults)
		}
	}
	left, _ := os.ReadDir(dir)
	for _, f := range left {
		if strings.HasSuffix(f.Name(), ".part") {
			t.Errorf("%s is left behind", f.Name())
		}
	}
}

func TestAScoreThatCanNotBeKept(t *testing.T) {
	dir := t.TempDir()
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	large := filepath.Join(dir, "large.xml")
	if err := os.WriteFile(large, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(large, 65<<20); err != nil {
		t.Fatal(err)
	}
	for name, tt := range map[string]struct {
		ctx  context.Context
		path string
		want string
	}{
		"none":     {context.Background(), filepath.Join(dir, "none.xml"), "none.xml: "},
		"a folder": {context.Background(), dir, "it is a folder"},
		"large":    {context.Background(), large, "large.xml: the score is too large"},
		"given up": {gone, large, context.Canceled.Error()},
	} {
		into := t.TempDir()
		if _, err := notesfile.Keep(tt.ctx, tt.path, into); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v", name, err)
		}
		if left, _ := os.ReadDir(into); len(left) > 0 {
			t.Errorf("%s: leaves %v", name, left)
		}
	}
}
