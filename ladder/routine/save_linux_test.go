package routine_test

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"

	"footing/ladder/routine"
)

// A child of the tests saves under a limit that the parent cannot have.
const limited = "FOOTING_TEST_SAVE_LIMITED"

func TestMain(m *testing.M) {
	if path := os.Getenv(limited); path != "" {
		if err := saveLimited(path); err != nil {
			fmt.Print(err)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// saveLimited lengthens the routine and saves it where a file may hold 300
// bytes: the write breaks off in the middle, as it does on a disk that fills
// up.
func saveLimited(path string) error {
	f, err := routine.Load(path)
	if err != nil {
		return err
	}
	r := f.Routine()
	r.Steps[0].Pencil = strings.Repeat("slowly ", 50) + "and lightly"
	if err := f.Set(r); err != nil {
		return err
	}
	signal.Ignore(syscall.SIGXFSZ)
	limit := syscall.Rlimit{Cur: 300, Max: 300}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	return f.Save()
}

func TestSaveWhereTheDiskEnds(t *testing.T) {
	path := onDisk(t)
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	child := exec.CommandContext(t.Context(), self)
	child.Env = append(os.Environ(), limited+"="+path)
	said, err := child.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	want := "cannot save " + path + ": the system allows no file of this size; what is on the disk is as it was"
	if string(said) != want {
		t.Errorf("says %q, want %q", said, want)
	}
	holds(t, path, written)
	alone(t, path)
}

// The kernel's own full device gives the error of a full disk.
func TestFullDiskSaysSo(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer full.Close()
	_, err = full.Write([]byte(written))
	failed := &routine.SaveError{Path: "runs.yaml", Err: err}
	if want := "cannot save runs.yaml: the disk is full; what is on the disk is as it was"; failed.Error() != want {
		t.Errorf("says %q of %v", failed, err)
	}
}

// A folder that may not be written. To root every folder may, so the thread's
// file accesses are made those of another user (setfsuid(2)); the thread ends
// with the goroutine, for it stays locked.
func TestSaveWhereItIsForbidden(t *testing.T) {
	path := onDisk(t)
	folder := filepath.Dir(path)
	for _, dir := range []string{filepath.Dir(folder), folder} {
		if err := os.Chmod(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Chmod(path, 0o644); err != nil {
		t.Fatal(err)
	}
	f := reps(t, load(t, path), 7)
	if err := os.Chmod(folder, 0o555); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := os.Chmod(folder, 0o755); err != nil {
			t.Error(err)
		}
	}()
	saved := make(chan error)
	go func() {
		runtime.LockOSThread()
		if os.Geteuid() == 0 {
			if err := syscall.Setfsuid(65534); err != nil {
				saved <- err
				return
			}
		}
		saved <- f.Save()
	}()
	err := <-saved
	var failed *routine.SaveError
	if !errors.As(err, &failed) || !errors.Is(err, fs.ErrPermission) {
		t.Fatalf("saved in a forbidden folder: %v", err)
	}
	if want := "cannot save " + path + ": the folder does not allow it; what is on the disk is as it was"; err.Error() != want {
		t.Errorf("says %q", err)
	}
	if !f.Changed() {
		t.Error("counts as saved")
	}
	holds(t, path, written)
	alone(t, path)
}

// The kernel's file system of processes takes no files, not even from root.
func TestSaveAsWhereNoFileCanBe(t *testing.T) {
	f := load(t, onDisk(t))
	before := f.Path()
	err := f.SaveAs("/proc/self/runs.yaml")
	if err == nil || !strings.HasPrefix(err.Error(), "cannot save /proc/self/runs.yaml: ") || strings.Contains(err.Error(), "\n") {
		t.Errorf("says %v", err)
	}
	if f.Path() != before {
		t.Errorf("the path became %s", f.Path())
	}
}
