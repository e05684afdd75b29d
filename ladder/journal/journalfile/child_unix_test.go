//go:build unix

package journalfile

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"footing/ladder"
)

// Some of what is tried takes a program of its own: this one, told so by the
// environment.
const childDoes, childPath = "FOOTING_TEST_CHILD", "FOOTING_TEST_PATH"

func TestMain(m *testing.M) {
	if do := os.Getenv(childDoes); do != "" {
		child(do, os.Getenv(childPath))
		return
	}
	os.Exit(m.Run())
}

func child(do, path string) {
	if do == "fill a disk" {
		if err := fillDisk(path); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		return
	}
	f := New(path, clock, filepath.Join(filepath.Dir(path), "cache"))
	switch do {
	case "write until killed":
		first, _ := strconv.Atoi(os.Getenv("FOOTING_TEST_FIRST"))
		for n := first; ; n++ {
			f.Put(rep(n, ladder.Clean, nil))
			f.Write(noTest)
			if _, err := f.Trouble(); err != nil {
				fmt.Println(err)
				return
			}
			fmt.Println(n)
		}
	case "read-only":
		known, err := f.Known(noTest)
		fmt.Println(len(known), err)
		f.Put(rep(4, ladder.Clean, nil))
		f.Write(noTest)
		nowhere, trouble := f.Trouble()
		fmt.Println(trouble, nowhere)
	}
}

// Whatever was written when the program is killed is there, and the journal is
// whole.
func TestAKilledProgramLosesNothingThatWasWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.db")
	const runs = 200
	rng := rand.New(rand.NewPCG(12, 1))
	at := 1
	for range runs {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), childDoes+"=write until killed", childPath+"="+path, fmt.Sprintf("FOOTING_TEST_FIRST=%d", at))
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		said := bufio.NewScanner(out)
		last, most := at-1, at-1+rng.IntN(7) // some die before they write
		for turns := rng.IntN(2000); ; {
			if last == most {
				// Somewhere in the next one.
				for range turns {
					runtime.Gosched()
				}
				_ = cmd.Process.Kill()
			}
			if !said.Scan() {
				break
			}
			n, err := strconv.Atoi(said.Text())
			if err != nil {
				t.Fatalf("the program says %q", said.Text())
			}
			last = n
		}
		_ = cmd.Wait()
		if last < at {
			continue
		}
		f := New(path, clock)
		if _, err := f.Known(t.Context()); err != nil {
			t.Fatal(err)
		}
		if n := reps(t, path); n < last || n > last+1 {
			t.Fatalf("%d reps are there of the %d that were written", n, last)
		} else {
			at = n + 1
		}
		intact(t, path)
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d runs, %d reps", runs, at-1)
}

// A journal that may not be written, in a folder that may not either, is read, and
// what is played goes where something may be written.
func TestAReadOnlyFolder(t *testing.T) {
	base := t.TempDir()
	dir := filepath.Join(base, "data")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	path := made(t, dir)
	cache := filepath.Join(dir, "cache")
	if err := os.Mkdir(cache, 0o777); err != nil {
		t.Fatal(err)
	}
	for name, mode := range map[string]os.FileMode{cache: 0o777, path: 0o444, dir: 0o555} {
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
	}
	defer os.Chmod(dir, 0o755)
	before := content(t, path)

	// Where the test runs as root, which may write anything, the child is somebody
	// else; it needs to reach this program, too.
	self := filepath.Join(base, "self")
	data := content(t, os.Args[0])
	if err := os.WriteFile(self, data, 0o755); err != nil {
		t.Fatal(err)
	}
	for d := base; d != os.TempDir() && d != "/"; d = filepath.Dir(d) {
		if err := os.Chmod(d, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(self)
	cmd.Dir = base
	cmd.Env = append(os.Environ(), childDoes+"=read-only", childPath+"="+path)
	if os.Geteuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if want := "1 <nil>\nthe journal journal.db may not be written 0\n"; string(out) != want {
		t.Errorf("the program says %q, want %q", out, want)
	}
	if string(before) != string(content(t, path)) {
		t.Error("the journal was written to")
	}
	there, err := filepath.Glob(filepath.Join(cache, "journal-*.waiting.jsonl"))
	if err != nil || len(there) != 1 || strings.Count(string(content(t, there[0])), "\n") != 1 {
		t.Fatalf("in the other folder are %v, %v", there, err)
	}

	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	f := New(path, clock, cache)
	defer f.Close()
	if _, err := f.Known(t.Context()); err != nil {
		t.Fatal(err)
	}
	if n := reps(t, path); n != 4 {
		t.Errorf("%d reps, want 4", n)
	}
	if there, _ := filepath.Glob(filepath.Join(cache, "*")); len(there) != 0 {
		t.Errorf("%v still wait", there)
	}
}
