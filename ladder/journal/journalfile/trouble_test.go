package journalfile

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"footing/ladder"
)

// made is a journal with three reps, closed.
func made(t *testing.T, dir string) string {
	t.Helper()
	path := filepath.Join(dir, "journal.db")
	f := New(path, clock)
	for n := range 3 {
		f.Put(rep(n+1, ladder.Clean, nil))
	}
	f.Write(t.Context())
	if _, err := f.Trouble(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func content(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// waiting is the text of what waits beside a journal, empty when nothing does.
func waiting(path string) string {
	data, _ := os.ReadFile(besideName(path))
	return string(data)
}

// A journal that can't be opened is left untouched; what is played goes beside it,
// and into it once it can be opened.
func TestAJournalThatCannotBeOpened(t *testing.T) {
	for _, tt := range []struct {
		name  string
		kind  Kind
		says  string
		spoil func(t *testing.T, path string) (mend func())
		same  bool // the journal's own bytes can be compared meanwhile
	}{
		{"locked", Locked, "is locked by another program", func(t *testing.T, path string) func() {
			db, err := connect(path, "rw", 0, "locking_mode(exclusive)")
			if err != nil {
				t.Fatal(err)
			}
			if _, err := db.Exec("BEGIN EXCLUSIVE"); err != nil {
				t.Fatal(err)
			}
			return func() { db.Close() }
		}, false},
		{"no database", Damaged, "is damaged", func(t *testing.T, path string) func() {
			before := content(t, path)
			write(t, path, bytes.Repeat([]byte("march "), 1000))
			return func() { write(t, path, before) }
		}, true},
		{"cut short", Damaged, "is damaged", func(t *testing.T, path string) func() {
			before := content(t, path)
			write(t, path, before[:len(before)/2])
			return func() { write(t, path, before) }
		}, true},
		{"cut within a page", Damaged, "is damaged", func(t *testing.T, path string) func() {
			before := content(t, path)
			write(t, path, before[:len(before)-100])
			return func() { write(t, path, before) }
		}, true},
		{"from a later version", Newer, "was written by a later version", func(t *testing.T, path string) func() {
			return pragma(t, path, "user_version = 999", "user_version = 1")
		}, true},
		{"another program's", Other, "it is another program's", func(t *testing.T, path string) func() {
			return pragma(t, path, "application_id = 7", "application_id = 1181708148")
		}, true},
		{"a folder", Other, "it is a folder", func(t *testing.T, path string) func() {
			before := content(t, path)
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
			if err := os.Mkdir(path, 0o700); err != nil {
				t.Fatal(err)
			}
			return func() { os.Remove(path); write(t, path, before) }
		}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			path := made(t, t.TempDir())
			mend := tt.spoil(t, path)
			var before []byte
			if tt.same {
				before = content(t, path)
			}
			f := New(path, clock)
			f.busy = 20 * time.Millisecond
			defer f.Close()
			if tt.kind != Locked {
				if _, err := f.Known(t.Context()); !is(err, tt.kind) {
					t.Errorf("Known answers %v", err)
				}
			}
			f.Put(rep(4, ladder.Rough, nil))
			f.Write(t.Context())
			nowhere, err := f.Trouble()
			if !is(err, tt.kind) || !strings.Contains(err.Error(), tt.says) || nowhere != 0 {
				t.Fatalf("the trouble is %v, with %d reps nowhere", err, nowhere)
			}
			if tt.same && !bytes.Equal(before, content(t, path)) {
				t.Error("the journal was written to")
			}
			if n := strings.Count(waiting(path), "\n"); n != 1 {
				t.Fatalf("%d lines wait", n)
			}

			mend()
			f.Put(rep(5, ladder.Clean, nil))
			f.Write(t.Context())
			if _, err := f.Trouble(); err != nil {
				t.Fatalf("mended, the trouble is %v", err)
			}
			if n := reps(t, path); n != 5 || waiting(path) != "" {
				t.Errorf("%d reps; %q waits", n, waiting(path))
			}
			intact(t, path)
		})
	}
}

func is(err error, k Kind) bool {
	var f *Fault
	return errors.As(err, &f) && f.Kind == k
}

func write(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// pragma sets something of a journal that is closed, and leaves it in order.
func pragma(t *testing.T, path, set, reset string) (mend func()) {
	t.Helper()
	do := func(what string) {
		db, err := connect(path, "rw", 0)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		if _, err := db.Exec("PRAGMA " + what); err != nil {
			t.Fatal(err)
		}
	}
	do(set)
	return func() { do(reset) }
}

// On a full disk the journal stays whole; what it has no room for goes beside it,
// and where there is no room either it is kept in memory and said.
func TestAFullDisk(t *testing.T) {
	path := made(t, t.TempDir())
	f := New(path, clock)
	defer f.Close()
	if _, err := f.Known(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := f.db.Exec("PRAGMA max_page_count = 1"); err != nil { // as many as there are
		t.Fatal(err)
	}
	const many = 3000
	for n := range many {
		f.Put(rep(n+4, ladder.Clean, nil))
	}
	f.Write(t.Context())
	if nowhere, err := f.Trouble(); !is(err, Full) || nowhere != 0 {
		t.Fatalf("the trouble is %v, with %d reps nowhere", err, nowhere)
	}
	intact(t, path)
	if n := reps(t, path); n != 3 {
		t.Errorf("%d reps are in the journal", n)
	}

	// No room beside it either: a folder stands in the file's place.
	if err := os.Rename(besideName(path), besideName(path)+".away"); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(besideName(path), 0o700); err != nil {
		t.Fatal(err)
	}
	for n := range many {
		f.Put(rep(many+n+4, ladder.Rough, nil))
	}
	f.Write(t.Context())
	f.Write(t.Context())
	if nowhere, err := f.Trouble(); err == nil || nowhere == 0 {
		t.Fatalf("the trouble is %v, with %d reps nowhere", err, nowhere)
	}
	if err := f.Flush(t.Context()); err == nil {
		t.Error("Flush says that all is well")
	}

	if err := os.Remove(besideName(path)); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(besideName(path)+".away", besideName(path)); err != nil {
		t.Fatal(err)
	}
	if _, err := f.db.Exec("PRAGMA max_page_count = 1000000"); err != nil {
		t.Fatal(err)
	}
	f.Write(t.Context())
	if nowhere, err := f.Trouble(); err != nil || nowhere != 0 {
		t.Fatalf("with room the trouble is %v, with %d reps nowhere", err, nowhere)
	}
	if n := reps(t, path); n != 2*many+3 || waiting(path) != "" {
		t.Errorf("%d reps are in the journal; %d bytes wait", n, len(waiting(path)))
	}
}

// What a crash has cut short costs that entry and no other; what cannot be read
// is kept.
func TestWhatWaitsMayBeCutShort(t *testing.T) {
	path := made(t, t.TempDir())
	write(t, besideName(path), []byte(`{"rep":{"session":{"key":1`))
	if err := appendTo(besideName(path), []byte(lineOf(t, rep(4, ladder.Clean, nil))+"gibberish\n"+lineOf(t, rep(5, ladder.Clean, nil))+`{"rep`)); err != nil {
		t.Fatal(err)
	}
	f := New(path, clock)
	defer f.Close()
	if _, err := f.Known(t.Context()); err != nil {
		t.Fatal(err)
	}
	if n := reps(t, path); n != 5 {
		t.Errorf("%d reps, want 5", n)
	}
	bad, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*.bad.jsonl"))
	if err != nil || len(bad) != 1 || waiting(path) != "" {
		t.Errorf("kept as %v, %v; %q waits", bad, err, waiting(path))
	}
}
