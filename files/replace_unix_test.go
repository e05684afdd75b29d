//go:build unix

package files

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// listing is what the files of a folder hold, by name; of what is no file, what
// it is.
func listing(t *testing.T, dir string) map[string]string {
	t.Helper()
	found, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, e := range found {
		if !e.Type().IsRegular() {
			out[e.Name()] = e.Type().String()
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(data)
	}
	return out
}

func TestReplace(t *testing.T) {
	long := strings.Repeat("x", 255)
	for _, tt := range []struct {
		name  string
		make  func(t *testing.T, dir string) // what is there before
		path  string                         // in the folder
		r     Replacement
		want  error // nil when new stands at holds
		holds string
		mode  fs.FileMode
	}{
		{name: "a file that is not there", path: "new", holds: "new", mode: 0o644},
		{name: "one for nobody else", path: "new", r: Replacement{Mode: 0o600}, holds: "new", mode: 0o600},
		{name: "a file", make: old("file", 0o662), path: "file", holds: "file", mode: 0o662},
		{name: "a file that is read-only", make: old("file", 0o444), path: "file", holds: "file", mode: 0o444},
		{name: "the longest name there can be", make: old(long, 0o600), path: long, holds: long, mode: 0o600},
		{name: "a name that is not UTF-8", path: "t\xe4ke", holds: "t\xe4ke", mode: 0o644},
		{name: "a link", make: both(old("file", 0o640), link("file", "link")), path: "link", holds: "file", mode: 0o640},
		{name: "a link to nothing yet", make: link("file", "link"), path: "link", holds: "file", mode: 0o644},
		{name: "a link beyond a link to a folder", make: func(t *testing.T, dir string) {
			for _, sub := range []string{"a", "a/b"} {
				if err := os.Mkdir(filepath.Join(dir, sub), 0o700); err != nil {
					t.Fatal(err)
				}
			}
			linked(t, "a/b", filepath.Join(dir, "folder"))
			linked(t, "../file", filepath.Join(dir, "a/b/link"))
		}, path: "folder/link", holds: "a/file", mode: 0o644},
		{name: "only what is new", path: "new", r: Replacement{New: true}, holds: "new", mode: 0o644},
		{name: "only what is new, where a file is", make: old("file", 0o600), path: "file", r: Replacement{New: true}, want: fs.ErrExist},
		{name: "what is not allowed", make: old("file", 0o600), path: "file", r: Replacement{Allow: func(string) error { return syscall.EPERM }}, want: syscall.EPERM},
		{name: "a fill that fails", make: old("file", 0o600), path: "file", r: Replacement{Fill: func(f *os.File) error {
			_, err := f.WriteString("half")
			return errors.Join(err, syscall.ENOSPC)
		}}, want: syscall.ENOSPC},
		{name: "a folder", make: func(t *testing.T, dir string) { _ = os.Mkdir(filepath.Join(dir, "dir"), 0o700) }, path: "dir", want: ErrFolder},
		{name: "a pipe", make: func(t *testing.T, dir string) { fifo(t, filepath.Join(dir, "pipe")) }, path: "pipe", want: ErrDevice},
		{name: "a circle", make: link("circle", "circle"), path: "circle"},
		{name: "no folder", path: "none/file", want: fs.ErrNotExist},
		{name: "a name too long", path: long + "x", want: syscall.ENAMETOOLONG},
	} {
		t.Run(tt.name, func(t *testing.T) {
			defer syscall.Umask(syscall.Umask(0o022))
			dir := t.TempDir()
			if tt.make != nil {
				tt.make(t, dir)
			}
			before := listing(t, dir)
			if tt.r.Fill == nil {
				tt.r.Fill = Bytes([]byte("new"))
			}
			err := Replace(t.Context(), filepath.Join(dir, tt.path), tt.r)
			after := listing(t, dir)
			if tt.holds == "" {
				var path *fs.PathError
				if err == nil || tt.want != nil && !errors.Is(err, tt.want) || errors.As(err, &path) {
					t.Errorf("answers %v, want %v", err, tt.want)
				}
				if len(after) != len(before) || after["file"] != before["file"] {
					t.Errorf("the folder held %q and holds %q", before, after)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			info, err := os.Lstat(filepath.Join(dir, tt.holds))
			if err != nil || info.Mode() != tt.mode {
				t.Errorf("it is %v, %v; want %v", info, err, tt.mode)
			}
			if got, err := os.ReadFile(filepath.Join(dir, tt.holds)); string(got) != "new" {
				t.Errorf("it holds %q, %v", got, err)
			}
			before[tt.holds] = "new"
			if strings.Contains(tt.holds, "/") {
				delete(before, tt.holds)
			}
			if len(after) != len(before) || after["link"] != before["link"] {
				t.Errorf("the folder holds %q, want %q", after, before)
			}
		})
	}
}

func old(name string, mode fs.FileMode) func(*testing.T, string) {
	return func(t *testing.T, dir string) {
		if err := os.Chmod(written(t, filepath.Join(dir, name), "old"), mode); err != nil {
			t.Fatal(err)
		}
	}
}

func link(to, name string) func(*testing.T, string) {
	return func(t *testing.T, dir string) { linked(t, to, filepath.Join(dir, name)) }
}

func both(a, b func(*testing.T, string)) func(*testing.T, string) {
	return func(t *testing.T, dir string) { a(t, dir); b(t, dir) }
}

// Whoever writes while the new file is written is found out: the question is
// asked again at the end.
func TestReplaceAsksTwice(t *testing.T) {
	dir := t.TempDir()
	path := written(t, filepath.Join(dir, "file"), "old")
	err := Replace(t.Context(), path, Replacement{
		Allow: func(target string) error {
			if data, err := os.ReadFile(target); string(data) != "old" {
				return errors.Join(err, errors.New("changed"))
			}
			return nil
		},
		Fill: func(f *os.File) error { written(t, path, "theirs"); return nil },
	})
	if err == nil || err.Error() != "changed" {
		t.Errorf("answers %v", err)
	}
	if got := listing(t, dir); len(got) != 1 || got["file"] != "theirs" {
		t.Errorf("the folder holds %q", got)
	}
}

func TestReplaceGivesUp(t *testing.T) {
	for _, when := range []string{"before", "in the midst"} {
		dir := t.TempDir()
		path := written(t, filepath.Join(dir, "file"), "old")
		ctx, cancel := context.WithCancel(t.Context())
		if when == "before" {
			cancel()
		}
		err := Replace(ctx, path, Replacement{Fill: func(f *os.File) error {
			if when == "before" {
				t.Error("was filled")
			}
			cancel()
			return nil
		}})
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: answers %v", when, err)
		}
		if got := listing(t, dir); len(got) != 1 || got["file"] != "old" {
			t.Errorf("%s: the folder holds %q", when, got)
		}
	}
}
