package track

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// listing is the folder's names and what the files hold.
func listing(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		files[e.Name()] = string(b)
	}
	return files
}

func TestCreate(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "take.wav")
	f := Format{48000, 1, Int16}
	for _, v := range []float32{0.5, 0.25} {
		err := Create(context.Background(), path, f, func(w *Writer) error {
			if old := listing(t, dir)["take.wav"]; v == 0.25 && old == "" {
				t.Error("the old file is gone while the new one is written")
			}
			return errors.Join(w.Write([]float32{v}), w.Mark(0, "a"))
		})
		if err != nil {
			t.Fatal(err)
		}
		want := write(t, f, []float32{v}, 1, Mark{0, "a"})
		if files := listing(t, dir); len(files) != 1 || files["take.wav"] != string(want) {
			t.Errorf("the folder holds %q", files)
		}
	}
}

// TestCreateFails: whatever goes wrong, the old file stays and nothing is left beside it.
func TestCreateFails(t *testing.T) {
	oops := errors.New("oops")
	f := Format{48000, 1, Int16}
	cancelled, cancel := context.WithCancel(context.Background())
	cancel()
	for _, c := range []struct {
		name string
		ctx  context.Context
		f    Format
		fill func(*Writer, context.CancelFunc) error
		want error
		text string
	}{
		{"fill fails", nil, f, func(w *Writer, _ context.CancelFunc) error { w.Write(make([]float32, 99999)); return oops }, oops, "oops"},
		{"cancelled before", cancelled, f, func(*Writer, context.CancelFunc) error { t.Error("filled"); return nil }, context.Canceled, "context canceled"},
		{"cancelled in the midst", nil, f, func(w *Writer, cancel context.CancelFunc) error {
			cancel()
			err := w.Write(make([]float32, 99999))
			if !errors.Is(err, context.Canceled) {
				t.Errorf("Write after cancel: %v", err)
			}
			return nil // even when fill doesn't pass it on
		}, context.Canceled, "context canceled"},
		{"cancelled at the end", nil, f, func(w *Writer, cancel context.CancelFunc) error { cancel(); return nil }, context.Canceled, "context canceled"},
		{"a bad format", nil, Format{}, func(*Writer, context.CancelFunc) error { return nil }, nil, "cannot write 0 channels"},
		{"a mark beyond the end", nil, f, func(w *Writer, _ context.CancelFunc) error { return w.Mark(1, "x") }, nil, "beyond the end"},
	} {
		for _, old := range []string{"", "old"} {
			dir := t.TempDir()
			path := filepath.Join(dir, "take.wav")
			if old != "" {
				writeFile(t, path, []byte(old))
			}
			ctx, cancel := context.WithCancel(context.Background())
			if c.ctx != nil {
				ctx = c.ctx
			}
			err := Create(ctx, path, c.f, func(w *Writer) error { return c.fill(w, cancel) })
			cancel()
			if err == nil || c.want != nil && !errors.Is(err, c.want) || !strings.HasPrefix(err.Error(), "writing "+path+": ") || !strings.Contains(err.Error(), c.text) {
				t.Errorf("%s: %v", c.name, err)
			}
			if files := listing(t, dir); files["take.wav"] != old || len(files) > 1 || old == "" && len(files) > 0 {
				t.Errorf("%s: the folder holds %q", c.name, files)
			}
		}
	}
}

func TestReplaceRefuses(t *testing.T) {
	dir := t.TempDir()
	readOnly := filepath.Join(dir, "read-only.wav")
	writeFile(t, readOnly, []byte("old"))
	if err := os.Chmod(readOnly, 0o444); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		dir:                                 "it is a folder; give the name of a file in it",
		os.DevNull:                          "it is a device or a pipe; give the name of a file",
		filepath.Join(dir, "none", "x.wav"): "there is no folder " + filepath.Join(dir, "none") + "; make it or give another name",
		readOnly:                            "the file there is read-only; make it writable or give another name",
		filepath.Join(readOnly, "x.wav"):    "not a directory",
		filepath.Join(dir, strings.Repeat("x", 300)): "file name too long",
	} {
		err := Replace(context.Background(), path, func(w io.WriteSeeker) error {
			t.Errorf("%s was written", path)
			return nil
		})
		if err == nil || err.Error() != "writing "+path+": "+want {
			t.Errorf("got %v\nwant writing %s: %s", err, path, want)
		}
	}
}

// TestReplaceKeeps: a link stays a link, and the file keeps its permissions.
func TestReplaceKeeps(t *testing.T) {
	dir := t.TempDir()
	target := filepath.Join(dir, "target")
	link := filepath.Join(t.TempDir(), "link")
	writeFile(t, target, []byte("old"))
	if err := errors.Join(os.Chmod(target, 0o640), os.Symlink(target, link)); err != nil {
		t.Fatal(err)
	}
	err := Replace(context.Background(), link, func(w io.WriteSeeker) error {
		_, err := io.Copy(w, bytes.NewReader([]byte("new")))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link: %v, %v", info, err)
	}
	if info, err := os.Stat(target); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("the permissions: %v, %v", info, err)
	}
	if files := listing(t, dir); len(files) != 1 || files["target"] != "new" {
		t.Errorf("the folder holds %q", files)
	}
}
