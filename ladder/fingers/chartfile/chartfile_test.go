package chartfile_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"footing/assets"
	"footing/ladder/fingers"
	"footing/ladder/fingers/chartfile"
)

func TestBeside(t *testing.T) {
	l, err := fingers.Load(assets.Fingerings, "fingerings")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if got, err := chartfile.Beside(context.Background(), l, dir); err != nil || got != l {
		t.Errorf("without a file: %v", err)
	}
	path := filepath.Join(dir, fingers.OwnFile)
	for text, want := range map[string]string{
		"instrument: clarinet\nfingerings:\n  - {note: C4, keys: \"T 5\", use: weird}\n": "",
		"instrument: clarinet\nfingerings:\n  - {note: C4, keys: zz}\n":                  path + `:3:22: "zz" is not a key of the clarinet; its keys are `,
	} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := chartfile.Beside(context.Background(), l, dir)
		if want == "" {
			if c, ok := got.For("clarinet"); err != nil || !ok || c == nil {
				t.Errorf("%v", err)
			}
			continue
		}
		if errs := (fingers.Errors)(nil); !errors.As(err, &errs) || len(errs.Error()) < len(want) || errs.Error()[:len(want)] != want {
			t.Errorf("says %v, want %s", err, want)
		}
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := chartfile.Beside(gone, l, dir); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(path, 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := chartfile.Beside(context.Background(), l, dir); err == nil {
		t.Error("a folder is read")
	}
}
