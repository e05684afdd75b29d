package scorefile

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"footing/ladder/passage"
)

func TestRead(t *testing.T) {
	folder := filepath.Join("..", "testdata", "made")
	for _, name := range []string{"made-38-compressed.mxl", "made-37-utf-8-with-mark.musicxml"} {
		data, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "score") // by what is in it, not by name
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		s, _, err := Read(context.Background(), path, passage.Limits{})
		if err != nil || len(s.Parts) == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestRefused(t *testing.T) {
	folder := t.TempDir()
	large := filepath.Join(folder, "large.musicxml")
	f, err := os.Create(large)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.Truncate(65<<20), f.Close()); err != nil {
		t.Fatal(err)
	}
	tune := filepath.Join(folder, "weir.ABC")
	if err := os.WriteFile(tune, []byte("X:1\nK:C\nCDEF|\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		filepath.Join(folder, "none.xml"): "none.xml: there is no such file",
		folder:                            ": it is a folder",
		tune:                              "weir.ABC: this is a tune in ABC, which is typed rather than opened; paste the notes below its K: line into the notes field of a step (notes: in a routine), and the key beside them",
		large:                             "large.musicxml: the score is too large: 65 MiB, and at most 64 are read",
		filepath.Join("..", "testdata", "bad", "bad-14-step-h.musicxml"): `bad-14-step-h.musicxml: bar 1 of Part: step "H" is not a letter from A to G`,
	} {
		if _, _, err := Read(context.Background(), path, passage.Limits{}); err == nil || !strings.HasSuffix(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, _, err := Read(ctx, large, passage.Limits{}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
