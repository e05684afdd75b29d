//go:build rig

package endtoend

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// program is the real program with its window open.
type program struct {
	t      *testing.T
	binary string
	cmd    *exec.Cmd
	window string // its id on the screen
	stderr bytes.Buffer
	ended  bool
}

// open builds the program, opens it with the arguments and waits for its
// window.
func open(t *testing.T, args ...string) *program {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "footing")
	if out, err := exec.Command("go", "build", "-o", binary, "footing").CombinedOutput(); err != nil {
		t.Fatalf("building the program: %v\n%s", err, out)
	}
	return start(t, binary, args...)
}

// start opens the program that has been built.
func start(t *testing.T, binary string, args ...string) *program {
	t.Helper()
	p := &program{t: t, binary: binary, cmd: exec.Command(binary, args...)}
	p.cmd.Stderr = &p.stderr
	p.cmd.SysProcAttr = ownSession()
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.end() })
	p.window = xdotool(t, "search", "--sync", "--onlyvisible", "--name", "Footing")
	p.window, _, _ = strings.Cut(p.window, "\n")
	xdotool(t, "windowfocus", "--sync", p.window)
	return p
}

// press presses keys, by their X names.
func (p *program) press(keys ...string) {
	p.t.Helper()
	xdotool(p.t, append([]string{"key", "--window", p.window}, keys...)...)
}

// picture presses a key that shows another view, and returns its pixels once it stays
// as it is.
func (p *program) picture(key string) []byte {
	p.t.Helper()
	look := func() []byte {
		out, err := exec.Command("import", "-window", p.window, "-depth", "8", "rgb:-").Output()
		if err != nil {
			p.t.Fatalf("taking a picture: %v", err)
		}
		return out
	}
	before := look()
	p.press(key)
	tick := time.NewTicker(300 * time.Millisecond)
	defer tick.Stop()
	late := time.After(30 * time.Second)
	for last := before; ; {
		select {
		case <-tick.C:
		case <-late:
			p.t.Fatalf("the picture after %s does not come to rest", key)
		}
		now := look()
		if different(now, before) > 0 && different(now, last) == 0 {
			return now
		}
		last = now
	}
}

// different counts the bytes in which two pictures differ.
func different(a, b []byte) (n int) {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			n++
		}
	}
	return n + max(len(a), len(b)) - min(len(a), len(b))
}

// end asks the program to end and returns what it wrote to standard error.
func (p *program) end() string {
	if p.ended {
		return p.stderr.String()
	}
	p.ended = true
	_ = p.cmd.Process.Signal(syscall.SIGTERM)
	if err := p.cmd.Wait(); err != nil {
		p.t.Errorf("the program ended with %v\n%s", err, p.stderr.String())
	}
	return p.stderr.String()
}

// ownSession parts a process from the others as a desktop does. Linux shares
// out the processor by session first, so within one session the test itself
// would starve what it measures.
func ownSession() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setsid: true} }

func xdotool(t *testing.T, args ...string) string {
	t.Helper()
	out, err := exec.Command("xdotool", args...).CombinedOutput()
	if err != nil {
		t.Fatalf("xdotool %v: %v\n%s", args, err, out)
	}
	return strings.TrimSpace(string(out))
}

// busy keeps both cores busy until the test ends.
func busy(t *testing.T) {
	t.Helper()
	for range 2 {
		cmd := exec.Command("sh", "-c", "while :; do :; done")
		cmd.SysProcAttr = ownSession()
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			_ = cmd.Process.Kill()
			_ = cmd.Wait()
		})
	}
}

// starter copies a starter routine to a folder of the test's own.
func starter(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "assets", "routines", name))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// await waits until the file holds the words, and returns it.
func await(t *testing.T, path, words string) string {
	t.Helper()
	tick := time.NewTicker(50 * time.Millisecond)
	defer tick.Stop()
	late := time.After(30 * time.Second)
	for {
		text, err := os.ReadFile(path)
		if err == nil && strings.Contains(string(text), words) {
			return string(text)
		}
		select {
		case <-tick.C:
		case <-late:
			t.Fatalf("the file does not hold %q: %v\n%s", words, err, text)
		}
	}
}
