package journalfile

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
)

// What the Journal asks, of a journal small enough to be told by hand.
func TestQuestions(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.db")
	f := New(path, clock)
	defer f.Close()
	run := journal.Place{Routine: "/music/runs.yaml", Step: "Weir Street run"}
	trio := journal.Place{Routine: "/music/runs.yaml", Step: "Trio"}
	// Three evenings near midnight, east of UTC: the day is that of the player.
	evening := func(day int) time.Time { return time.Date(2026, 3, day, 0, 15, 0, 0, time.FixedZone("", 3600)) }
	number := 0
	for day, reps := range map[int]string{2: "64c 64c 64c 68r", 4: "68c 68c 68c 72c", 5: "72c 72r"} {
		for _, word := range strings.Fields(reps) {
			number++
			at := evening(day).Add(time.Duration(number) * time.Second)
			tempo, err := click.ParseTempo(word[:2])
			if err != nil {
				t.Fatal(err)
			}
			verdict := map[byte]ladder.Verdict{'c': ladder.Clean, 'r': ladder.Rough}[word[2]]
			f.Put(rep(number, verdict, func(r *journal.Rep) {
				r.Session, r.At, r.Tempo = journal.Session{Key: int64(day), Start: evening(day)}, at, tempo
			}))
		}
	}
	f.Put(rep(100, ladder.Clean, func(r *journal.Rep) {
		r.Place, r.Form.Piece = trio, "Hill Road Waltz"
		r.Session, r.At = journal.Session{Key: 5, Start: evening(5)}, evening(5).Add(time.Hour)
	}))
	f.Put(
		journal.Entry{Mark: &journal.Mark{Place: run, At: evening(4), Text: "thumb 100% earlier"}},
		journal.Entry{Mark: &journal.Mark{Place: run, At: evening(3), On: "18:2", Text: "flick"}},
		journal.Entry{Mark: &journal.Mark{Place: run, At: evening(5), Text: ""}},
		journal.Entry{Met: &journal.Met{Place: trio, Piece: "Hill Road Waltz", From: 17, To: 20, Goal: click.BPM(90)}},
	)
	f.Write(t.Context())
	if _, err := f.Trouble(); err != nil {
		t.Fatal(err)
	}
	r, err := Read(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	id := map[string]int64{}
	known, err := r.Known(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range known {
		id[k.At.Step] = k.ID
	}

	days := func(all []journal.DayTally, err error) string {
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, d := range all {
			out = append(out, fmt.Sprintf("%s %d/%d best %s footing %s", d.Day.Time().Format("2"), d.Clean, d.Reps, d.Best, d.Footing))
		}
		return strings.Join(out, ", ")
	}
	latest := func(step, text string, most int) string {
		all, err := r.Latest(t.Context(), id[step], text, most)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, d := range all {
			line := fmt.Sprintf("%s %s %d", d.Day.Time().Format("2"), d.Name, d.Tally.Reps)
			for _, m := range d.Marks {
				line += " (" + strings.TrimSpace(m.On+" "+m.Text) + ")"
			}
			out = append(out, line)
		}
		return strings.Join(out, ", ")
	}
	chunks := func() string {
		all, err := r.Chunks(t.Context(), id["Weir Street run"])
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(all)
	}
	sessions := func(which Filter) string {
		all, err := r.Sessions(t.Context(), which)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, s := range all {
			line := fmt.Sprintf("%s to %s %d", s.Start.Format("2 15:04:05"), s.End.Format("15:04:05"), s.Total.Reps)
			for _, p := range s.Steps {
				line += fmt.Sprintf(" %s %d", p.Name, p.Reps)
			}
			out = append(out, line)
		}
		return strings.Join(out, ", ")
	}
	from := journal.DayOf(evening(4))
	for _, tt := range []struct{ name, got, want string }{
		{"days", days(r.Days(t.Context(), id["Weir Street run"], 0)), "2 3/4 best 64 footing 64, 4 4/4 best 72 footing 68, 5 1/2 best 72 footing 0"},
		{"days from one on", days(r.Days(t.Context(), id["Weir Street run"], from)), "4 4/4 best 72 footing 68, 5 1/2 best 72 footing 0"},
		{"minutes", days(r.Minutes(t.Context(), from)), "4 4/4 best 0 footing 0, 5 2/3 best 0 footing 0"},
		{"chunks", chunks(), "[{18:2 2 true 72}]"},
		{"latest", latest("Weir Street run", "", 9), "5 Weir Street run 2, 4 Weir Street run 4 (thumb 100% earlier), 3 Weir Street run 0 (18:2 flick), 2 Weir Street run 4"},
		{"the last two", latest("Weir Street run", "", 2), "5 Weir Street run 2, 4 Weir Street run 4 (thumb 100% earlier)"},
		{"with a text", latest("", "THUMB", 9), "4 Weir Street run 4 (thumb 100% earlier)"},
		{"with signs", latest("", "0% e", 9), "4 Weir Street run 4 (thumb 100% earlier)"},
		{"with another sign", latest("", "_", 9), ""},
		{"of a piece", latest("", "waltz", 9), "5 Trio 1"},
		{"sessions since", sessions(Filter{Since: evening(5)}), "5 00:15:00 to 01:15:00 3 Weir Street run 2 Trio 1"},
		{"sessions of a piece", sessions(Filter{Passage: "hill road waltz"}), "5 00:15:00 to 01:15:00 1 Trio 1"},
	} {
		if tt.got != tt.want {
			t.Errorf("%s: %s\nwant %s", tt.name, tt.got, tt.want)
		}
	}
}
