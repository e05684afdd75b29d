//go:build unix

package routine_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"footing/files"
	"footing/ladder/routine"
)

// A pipe among the routines has no end that anyone writes into: nobody waits
// for it, and the other routines are there.
func TestAPipeAmongTheRoutines(t *testing.T) {
	folder := t.TempDir()
	pipe := filepath.Join(folder, "pipe.yaml")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	good := filepath.Join(folder, "runs.yaml")
	if err := os.WriteFile(good, []byte(written), 0o600); err != nil {
		t.Fatal(err)
	}
	list, err := routine.List(folder)
	if err != nil || len(list) != 2 {
		t.Fatalf("lists %v, %v", list, err)
	}
	for _, e := range list {
		if (e.Path == pipe) != errors.Is(e.Err, files.ErrDevice) {
			t.Errorf("%s: %v", e.Path, e.Err)
		}
	}
	f := reps(t, load(t, good), 7)
	if err := f.SaveAs(pipe); !errors.Is(err, fs.ErrExist) {
		t.Errorf("saved as a pipe: %v", err)
	}
	if err := os.Remove(good); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(pipe, good); err != nil {
		t.Fatal(err)
	}
	if err := f.Save(); !errors.Is(err, files.ErrDevice) || !strings.Contains(err.Error(), "it is a device or a pipe") {
		t.Errorf("saved into a pipe: %v", err)
	}
}

// A name need not be UTF-8 for its file to be there.
func TestANameThatIsNotUTF8(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "t\xe4glich.yaml")
	if err := os.WriteFile(path, []byte(written), 0o600); err != nil {
		t.Fatal(err)
	}
	list, err := routine.List(folder)
	if err != nil || len(list) != 1 || list[0].Err != nil || list[0].Path != path {
		t.Fatalf("lists %+v, %v", list, err)
	}
	f := reps(t, load(t, path), 7)
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	copied, err := f.SaveCopy()
	if err != nil || filepath.Base(copied) != "t\xe4glich 2.yaml" {
		t.Errorf("the copy is %q, %v", copied, err)
	}
	_, err = routine.Load(filepath.Join(folder, "n\xe4he.yaml"))
	if err == nil || !strings.Contains(err.Error(), `n\xe4he.yaml"`) {
		t.Errorf("says %q", err)
	}
}
