package journalfile

import (
	"context"
	"encoding/json"
	"path/filepath"
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/march"
)

var morning = time.Date(2026, 3, 2, 9, 0, 0, 0, time.FixedZone("", 3600))

func clock() time.Time { return morning }

// rep is the nth rep of a morning, at the lowest rung.
func rep(n int, v ladder.Verdict, edit func(*journal.Rep)) journal.Entry {
	step := march.Step(nil)
	r := journal.Played(ladder.Played{
		Number: n, Name: step.Name, Tempo: step.Tempo.From, Chunk: step.Chunk, Verdict: v, Source: ladder.Player, Whole: true,
	}, step, "/music/runs.yaml", journal.Session{Key: 77, Start: morning}, morning.Add(time.Duration(n)*5*time.Second))
	if edit != nil {
		edit(&r)
	}
	return journal.Entry{Rep: &r}
}

// kept is what the file knows, by place.
func kept(t *testing.T, path string) map[string]journal.History {
	t.Helper()
	r, err := Read(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	all, err := r.Known(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]journal.History{}
	for _, f := range all {
		out[f.At.Step] = f.History
	}
	return out
}

// intact fails where SQLite finds fault with the file.
func intact(t *testing.T, path string) {
	t.Helper()
	db, err := connect(path, "ro", busy)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var said string
	if err := db.QueryRow("PRAGMA integrity_check").Scan(&said); err != nil || said != "ok" {
		t.Fatalf("integrity_check says %q, %v", said, err)
	}
}

func reps(t *testing.T, path string) (n int) {
	t.Helper()
	db, err := connect(path, "ro", busy)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.QueryRow("SELECT count(*) FROM rep").Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestWhatIsPutIsThereAtOnceAndTomorrow(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "journal.db")
	f := New(path, clock)
	defer f.Close()
	if known, err := f.Known(t.Context()); err != nil || len(known) != 0 {
		t.Fatalf("a new journal knows %v, %v", known, err)
	}
	for n := range 3 {
		f.Put(rep(n+1, ladder.Clean, nil))
	}
	f.Put(rep(3, ladder.Rough, nil), rep(4, ladder.Clean, nil)) // another word on the third
	left := ladder.Bookmark{Tempo: click.BPM(68), Rule: ladder.Earned}
	f.Put(journal.Entry{Left: &journal.Left{Place: journal.Place{Routine: "/music/runs.yaml", Step: "Weir Street run"}, At: morning, Stood: left}})
	f.Write(t.Context())
	if n, err := f.Trouble(); err != nil || n > 0 {
		t.Fatal(err, n)
	}
	intact(t, path)
	h := kept(t, path)["Weir Street run"]
	if len(h.Days) != 1 || h.Days[0].Day != journal.DayOf(morning) || h.Last != journal.DayOf(morning) {
		t.Fatalf("the days are %+v", h)
	}
	// 64 bpm, 2 beats, a landing and a breath of 2 beats.
	want := journal.Tally{Reps: 4, Clean: 3, Rough: 1, Best: click.BPM(64), Looped: 4 * 4687 * time.Millisecond}
	if got := h.Days[0].Tally; got.Looped.Round(10*time.Millisecond) != (4 * 5 * 60 * time.Second / 64).Round(10*time.Millisecond) {
		t.Errorf("looped for %v", got.Looped)
	} else if got.Looped = want.Looped; got != want {
		t.Errorf("the day is %+v, want %+v", got, want)
	}
	if h.Stood != left || !h.LeftAt.Equal(morning) || journal.DayOf(h.LeftAt) != journal.DayOf(morning) {
		t.Errorf("left at %+v, %v", h.Stood, h.LeftAt)
	}
	if n := reps(t, path); n != 4 {
		t.Errorf("%d reps", n)
	}
}

func lineOf(t *testing.T, e journal.Entry) string {
	t.Helper()
	data, err := json.Marshal(e)
	if err != nil {
		t.Fatal(err)
	}
	return string(data) + "\n"
}

// noTest is for what is no test itself.
var noTest = context.Background()
