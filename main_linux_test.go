//go:build linux

package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The tests run the program itself, which this test binary becomes when it is told to.
const become = "FOOTING_TEST_MAIN"

func TestMain(m *testing.M) {
	if os.Getenv(become) != "" {
		main()
	}
	os.Exit(m.Run())
}

// endless is a take of a day of silence, of which the disk holds the header.
func endless(t *testing.T) string {
	t.Helper()
	const bytes = 4_000_000_000
	le := binary.LittleEndian
	head := le.AppendUint32([]byte("RIFF"), bytes+36)
	head = append(head, "WAVEfmt \x10\x00\x00\x00\x01\x00\x01\x00"...)
	head = le.AppendUint32(head, 24_000)
	head = le.AppendUint32(head, 48_000)
	head = append(head, "\x02\x00\x10\x00data"...)
	head = le.AppendUint32(head, bytes)
	path := filepath.Join(t.TempDir(), "day.wav")
	if err := errors.Join(os.WriteFile(path, head, 0o600), os.Truncate(path, bytes+44)); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestASignalEndsACommand(t *testing.T) {
	take := endless(t)
	for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		t.Run(sig.String(), func(t *testing.T) {
			cmd := exec.CommandContext(t.Context(), os.Args[0], "hear", take)
			cmd.Env = append(os.Environ(), become+"=1")
			var said bytes.Buffer
			cmd.Stderr = &said
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			opened(t, cmd.Process.Pid, take)
			if err := cmd.Process.Signal(sig); err != nil {
				t.Fatal(err)
			}
			late := time.AfterFunc(30*time.Second, func() { _ = cmd.Process.Kill() })
			defer late.Stop()
			err := cmd.Wait()
			var exit *exec.ExitError
			if !errors.As(err, &exit) || exit.ExitCode() != 3 || said.String() != "footing: stopped\n" {
				t.Errorf("%v, %q", err, said.String())
			}
		})
	}
}

// opened waits until the process has the file open.
func opened(t *testing.T, pid int, path string) {
	t.Helper()
	tick := time.NewTicker(5 * time.Millisecond)
	defer tick.Stop()
	late := time.After(30 * time.Second)
	for {
		out, err := filepath.Glob(filepath.Join("/proc", strconv.Itoa(pid), "fd", "*"))
		if err != nil {
			t.Fatal(err)
		}
		for _, fd := range out {
			if to, err := os.Readlink(fd); err == nil && strings.HasSuffix(to, filepath.Base(path)) {
				return
			}
		}
		select {
		case <-tick.C:
		case <-late:
			t.Fatal("the program did not open the take")
		}
	}
}
