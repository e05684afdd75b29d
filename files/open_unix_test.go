//go:build unix

package files

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// fifo makes a pipe that nobody writes into.
func fifo(t *testing.T, path string) string {
	t.Helper()
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func written(t *testing.T, path, text string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func linked(t *testing.T, to, path string) string {
	t.Helper()
	if err := os.Symlink(to, path); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	for _, tt := range []struct {
		name, path string
		want       error // nil when it holds "text"
	}{
		{"a file", written(t, in("file"), "text"), nil},
		{"a link to a file", linked(t, in("file"), in("link")), nil},
		{"a name that is not UTF-8", written(t, in("t\xe4ke"), "text"), nil},
		{"nothing", in("none"), fs.ErrNotExist},
		{"a link to nothing", linked(t, in("none"), in("dangling")), fs.ErrNotExist},
		{"a folder", dir, ErrFolder},
		{"a pipe", fifo(t, in("pipe")), ErrDevice},
		{"a link to a pipe", linked(t, in("pipe"), in("to pipe")), ErrDevice},
		{"a device", os.DevNull, ErrDevice},
		{"a file as a folder", in("file/x"), syscall.ENOTDIR},
		{"a circle", linked(t, in("circle"), in("circle")), syscall.ELOOP},
	} {
		t.Run(tt.name, func(t *testing.T) {
			// Should it wait, it is told to stop; it answers with another error then.
			ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
			defer cancel()
			f, err := Open(ctx, tt.path)
			data, size, err2 := Read(ctx, tt.path, 3)
			if tt.want != nil {
				var path *fs.PathError
				if !errors.Is(err, tt.want) || !errors.Is(err2, tt.want) || !errors.As(err, &path) || f != nil || data != nil {
					t.Errorf("answers %v and %v, want %v", err, err2, tt.want)
				}
				return
			}
			if err != nil || err2 != nil {
				t.Fatal(err, err2)
			}
			defer f.Close()
			if all, err := io.ReadAll(f); string(all) != "text" || err != nil {
				t.Errorf("holds %q, %v", all, err)
			}
			if string(data) != "tex" || size != 4 {
				t.Errorf("reads %q of %d bytes", data, size)
			}
		})
	}
}

// What was looked at can be exchanged before it is opened.
func TestTheDescriptorIsLookedAt(t *testing.T) {
	dir := t.TempDir()
	path := fifo(t, filepath.Join(dir, "pipe"))
	was := written(t, filepath.Join(dir, "file"), "text")
	f, err := open(func(string) (fs.FileInfo, error) { return os.Stat(was) }, path)
	if !errors.Is(err, ErrDevice) || f != nil {
		t.Errorf("a pipe in place of a file: %v, %v", f, err)
	}
}

func TestGivesUpWhenTheContextEnds(t *testing.T) {
	path := written(t, filepath.Join(t.TempDir(), "file"), "text")
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	if f, err := Open(ended, path); !errors.Is(err, context.Canceled) || f != nil {
		t.Errorf("before: %v, %v", f, err)
	}

	// A disk that does not answer before the end.
	ctx, cancel := context.WithCancel(t.Context())
	asked, answer, late := make(chan struct{}), make(chan struct{}), make(chan string, 1)
	go func() { <-asked; cancel() }()
	got, err := within(ctx, func() (string, error) {
		close(asked)
		<-answer
		return "file", nil
	}, func(s string) { late <- s })
	if got != "" || !errors.Is(err, context.Canceled) {
		t.Errorf("in the midst: %q, %v", got, err)
	}
	close(answer)
	if got := <-late; got != "file" {
		t.Errorf("what came late is %q", got)
	}
}

func TestCause(t *testing.T) {
	for err, want := range map[error]error{
		&fs.PathError{Op: "open", Path: "x", Err: syscall.ENOENT}:                 syscall.ENOENT,
		&os.LinkError{Op: "rename", Old: "x", New: "y", Err: syscall.EXDEV}:       syscall.EXDEV,
		&fs.PathError{Op: "open", Path: strings.Repeat("x", 300), Err: ErrDevice}: ErrDevice,
		context.Canceled: context.Canceled,
	} {
		if got := Cause(err); got != want {
			t.Errorf("%v comes of %v, want %v", err, got, want)
		}
	}
}
