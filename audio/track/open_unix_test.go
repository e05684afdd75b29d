//go:build unix

package track

import (
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// Who opens a pipe without another end would wait for good.
func TestOpenWaitsForNoPipe(t *testing.T) {
	path := filepath.Join(t.TempDir(), "take\x1b[2J.wav")
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Fatal(err)
	}
	answer := make(chan error, 1)
	go func() {
		_, err := Open(path)
		answer <- err
	}()
	select {
	case err := <-answer:
		if err == nil || !strings.Contains(err.Error(), `take\x1b[2J.wav": is a device or a pipe; a WAV file`) {
			t.Errorf("a pipe: %v", err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("opening a pipe waits for somebody to write into it")
	}
}
