package journalfile

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"footing/ladder/journal/years"
)

// practised is a journal with made-up practice, of about reps in all.
func practised(t testing.TB, days, perSession int) (path string, n int) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "journal.db")
	f := New(path, clock)
	for entries := range years.Practice(1, time.Date(2016, 3, 3, 0, 0, 0, 0, time.UTC), days, perSession, "/music/runs.yaml") {
		f.Put(entries...)
		if f.Waiting() > 20_000 {
			f.Write(noTest)
		}
	}
	f.Write(noTest)
	if _, err := f.Trouble(); err != nil {
		t.Fatal(err)
	}
	if err := f.db.QueryRow("SELECT count(*) FROM rep").Scan(&n); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path, n
}

// A rep takes less than 120 bytes of the file, all that is counted from it
// included.
func TestARepIsSmall(t *testing.T) {
	path, n := practised(t, 120, 90)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if each := float64(info.Size()) / float64(n); each >= 120 {
		t.Errorf("%.1f bytes for each of %d reps", each, n)
	} else {
		t.Logf("%.1f bytes for each of %d reps", each, n)
	}
}

// opened opens a journal as the window does when it starts.
func opened(b *testing.B, path string) error {
	f := New(path, clock)
	defer f.Close()
	_, err := f.Known(b.Context())
	return err
}

// BenchmarkTenYears asks a million reps over ten years whatever the window asks,
// and opens them.
func BenchmarkTenYears(b *testing.B) {
	path, n := practised(b, 3653, 240)
	week, few := practised(b, 7, 240)
	if info, err := os.Stat(path); err == nil {
		b.Logf("%d reps, %.1f bytes for each; %d in a week", n, float64(info.Size())/float64(n), few)
	}
	r, err := Read(b.Context(), path)
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	known, err := r.Known(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	id := known[0].ID
	// As the Journal view asks: the minutes of four weeks, the days of a step from its
	// first.
	weeks := known[0].Last - 4*7 + 1
	for _, q := range []struct {
		name string
		ask  func() error
	}{
		{"open", func() error { return opened(b, path) }},
		{"open a week", func() error { return opened(b, week) }}, // is no faster
		{"known", func() error { _, err := r.Known(b.Context()); return err }},
		{"days", func() error { _, err := r.Days(b.Context(), id, 0); return err }},
		{"chunks", func() error { _, err := r.Chunks(b.Context(), id); return err }},
		{"minutes", func() error { _, err := r.Minutes(b.Context(), weeks); return err }},
		{"latest sessions", func() error { _, err := r.Latest(b.Context(), id, "", 50); return err }},
		{"search", func() error { _, err := r.Latest(b.Context(), 0, "thumb", 50); return err }},
	} {
		b.Run(q.name, func(b *testing.B) {
			for b.Loop() {
				if err := q.ask(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
