package routine_test

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"footing/ladder/routine"
)

var update = flag.Bool("update", false, "write the messages as they are now")

// Each file in testdata/bad has its exact messages beside it.
func TestBadInput(t *testing.T) {
	files, err := filepath.Glob("testdata/bad/*.yaml")
	if err != nil || len(files) < 80 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, path := range files {
		name := filepath.Base(path)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			f, err := routine.Parse(name, data)
			if err == nil {
				t.Fatalf("read as %+v", f.Routine())
			}
			sound(t, data, err)
			got := err.Error() + "\n"
			golden := strings.TrimSuffix(path, ".yaml") + ".want"
			if *update {
				if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("says\n%swant\n%s", got, want)
			}
			left, err := os.ReadFile(path)
			if err != nil || !bytes.Equal(left, data) {
				t.Error("the file was not left alone")
			}
		})
	}
}

// sound checks that errors are complete, in one line each, and point into the
// file.
func sound(t *testing.T, data []byte, err error) {
	t.Helper()
	var errs routine.Errors
	if !errors.As(err, &errs) || len(errs) == 0 || len(errs) > routine.MaxErrors {
		t.Fatalf("not a list of errors: %v", err)
	}
	lines := strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(data)), "\n")
	for _, e := range errs {
		text := e.Error()
		if e.What == "" || e.Want == "" || strings.ContainsAny(text, "\n\r\t\x1b\x00") || !utf8.ValidString(text) {
			t.Errorf("message %q", text)
		}
		if e.Line < 1 || e.Line > len(lines) || e.Col < 1 || e.Col > utf8.RuneCountInString(lines[e.Line-1])+1 {
			t.Errorf("%q points outside the file of %d lines", text, len(lines))
		}
		if len(text) > 600 {
			t.Errorf("a message of %d bytes", len(text))
		}
		if excerpt := routine.Excerpt(data, e.Line, e.Col); strings.Count(excerpt, "^") < 1 || len(excerpt) > 2500 {
			t.Errorf("excerpt of %d bytes:\n%s", len(excerpt), excerpt)
		}
	}
}

func TestTooLarge(t *testing.T) {
	path := filepath.Join(t.TempDir(), "large.yaml")
	line := []byte("# ten million bytes of remarks\n")
	data := append([]byte("footing: 1\n"), bytes.Repeat(line, 10<<20/len(line)+1)...)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := routine.Load(path)
	want := path + ":1:1: the file holds 10 485 792 bytes; a routine holds at most 1 048 576 bytes (1 MiB)"
	if err == nil || err.Error() != want {
		t.Errorf("says %v, want %s", err, want)
	}
}

func TestNoFile(t *testing.T) {
	dir := t.TempDir()
	if _, err := routine.Load(filepath.Join(dir, "none.yaml")); !errors.Is(err, fs.ErrNotExist) || !strings.HasSuffix(err.Error(), "none.yaml: there is no such file") {
		t.Errorf("no file: %v", err)
	}
	if _, err := routine.Load(dir); err == nil || !strings.HasSuffix(err.Error(), "it is a folder") {
		t.Errorf("a folder: %v", err)
	}
}
