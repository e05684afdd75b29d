package cli

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ladder/journal/years"
	"footing/ladder/march"
)

var evening = time.Date(2026, 3, 12, 20, 0, 0, 0, time.UTC)

// filled is a journal with what was put.
func filled(t *testing.T, entries ...journal.Entry) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.db")
	f := journalfile.New(path, func() time.Time { return evening })
	defer f.Close()
	f.Put(entries...)
	f.Write(t.Context())
	if _, err := f.Trouble(); err != nil {
		t.Fatal(err)
	}
	return path
}

// aMorning is four reps and a pencil mark, days before the evening.
func aMorning(days int) (out []journal.Entry) {
	step := march.Step(nil)
	start := evening.AddDate(0, 0, -days).Add(-11 * time.Hour)
	for i, v := range []ladder.Verdict{ladder.Clean, ladder.Clean, ladder.Clean, ladder.Rough} {
		tempo := click.BPM(64)
		if v == ladder.Rough {
			tempo = click.BPM(68)
		}
		at := start.Add(time.Duration(i+1) * 5 * time.Second)
		r := journal.Played(ladder.Played{Number: i + 1, Name: step.Name, Tempo: tempo, Chunk: step.Chunk, Verdict: v, Source: ladder.Player, Whole: true},
			step, "/music/runs.yaml", journal.Session{Key: int64(days), Start: start}, at)
		out = append(out, journal.Entry{Rep: &r})
	}
	return append(out,
		journal.Entry{Met: &journal.Met{Place: out[0].Rep.Place, Piece: step.Passage.Piece, From: 17, To: 20, Goal: step.Tempo.Goal}},
		journal.Entry{Mark: &journal.Mark{Place: out[0].Rep.Place, At: start.Add(time.Minute), On: "18:3", Text: "flick:\nthumb earlier"}})
}

func journalled(t *testing.T, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e strings.Builder
	code = Run(t.Context(), World{Out: &o, Err: &e, Now: func() time.Time { return evening }}, append([]string{"journal"}, args...))
	return code, o.String(), e.String()
}

func TestTheJournalIsTold(t *testing.T) {
	path := filled(t, append(aMorning(9), aMorning(0)...)...)
	code, out, errs := journalled(t, "--file", path, "--since", "7d")
	want := `Thursday, 12 March 2026
  09:00  18 s of looping, 4 reps, 3 clean
        Weir Street run: 4 reps, 3 clean, best 64 of 104, footing 64
        pencil at 18:3, Weir Street run: flick: / thumb earlier
`
	if code != Done || out != want || errs != "" {
		t.Errorf("status %d\n%s%s\nwant\n%s", code, out, errs, want)
	}
	for _, args := range [][]string{{}, {"--passage", "weir street march"}, {"--since", "2026-03-03"}} {
		if _, out, _ := journalled(t, append(args, "--file", path)...); strings.Count(out, "09:00") != 2 {
			t.Errorf("%q: %s", args, out)
		}
	}
	if _, out, _ := journalled(t, "--file", path, "--passage", "Trio"); out != "nothing was played\n" {
		t.Errorf("of another piece: %s", out)
	}
}

func TestTheJournalForOtherPrograms(t *testing.T) {
	path := filled(t, aMorning(0)...)
	code, out, _ := journalled(t, "--file", path, "--json")
	var got struct {
		Reps []struct {
			At, Step, Verdict, By, Bars string
			Tempo                       float64
			Rung                        int
		}
		Sessions []struct {
			Start, End  string
			Minutes     float64
			Reps, Clean int
		}
		Marks []struct{ Text, Note string }
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != Done || strings.Count(out, "\n") != 1 {
		t.Fatalf("status %d, %v: %s", code, err, out)
	}
	if len(got.Reps) != 4 || len(got.Sessions) != 1 || len(got.Marks) != 1 {
		t.Fatalf("%+v", got)
	}
	if r := got.Reps[3]; r.At != "2026-03-12T09:00:20Z" || r.Step != "Weir Street run" || r.Verdict != "rough" || r.By != "player" || r.Tempo != 68 || r.Bars != "17-20" || r.Rung != 2 {
		t.Errorf("the last rep is %+v", r)
	}
	if s := got.Sessions[0]; s.Reps != 4 || s.Clean != 3 || s.End != "2026-03-12T09:00:20Z" || s.Minutes < 0.25 || s.Minutes > 0.35 {
		t.Errorf("the session is %+v", s)
	}
}

func TestAJournalThatCannotBeTold(t *testing.T) {
	dir := t.TempDir()
	broken := filepath.Join(dir, "broken.db")
	if err := os.WriteFile(broken, []byte(strings.Repeat("march", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"--file", filepath.Join(dir, "none.db")}, FaultInput, "there is no journal yet; practise in the window first"},
		{[]string{"--file", broken}, FaultInput, "the journal broken.db is damaged"},
		{[]string{"--file", dir}, FaultInput, "it is a folder"},
		{[]string{"--csv", "--json"}, FaultUsage, "leave one out"},
		{[]string{"--page", "lesson.txt"}, FaultUsage, "ends in .pdf"},
		{[]string{"--page", "lesson.pdf", "--csv"}, FaultUsage, "leave --csv"},
		{[]string{"--since", "yesterday"}, FaultUsage, `--since "yesterday" is no day`},
		{[]string{"--since", "0d"}, FaultUsage, "is no day"},
	} {
		code, out, errs := journalled(t, tt.args...)
		if code != tt.code || out != "" || !strings.Contains(errs, tt.says) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%q: status %d, %s%s", tt.args, code, out, errs)
		}
	}
}

// The values that --csv writes of ten years come back unchanged through SQLite's own
// shell.
func TestTheJournalThroughAnotherProgram(t *testing.T) {
	var entries []journal.Entry
	for some := range years.Practice(3, evening.AddDate(-10, 0, 0), 3652, 2, `/music/"Runs", and turns.yaml`) {
		entries = append(entries, some...)
	}
	path := filled(t, entries...)
	code, out, errs := journalled(t, "--file", path, "--csv")
	if code != Done {
		t.Fatal(errs)
	}
	want, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil || len(want) < 5000 {
		t.Fatalf("%d lines, %v", len(want), err)
	}
	file := filepath.Join(t.TempDir(), "reps.csv")
	if err := os.WriteFile(file, []byte(out), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("sqlite3", ":memory:", "-cmd", ".import --csv "+file+" reps", "-cmd", ".mode csv", "-cmd", ".headers on", "SELECT * FROM reps")
	back, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	got, err := csv.NewReader(strings.NewReader(string(back))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%d lines went in, %d came back, and not the same", len(want), len(got))
	}
	// And the shell can read the journal itself.
	count, err := exec.Command("sqlite3", "-readonly", path, "SELECT count(*) FROM rep; PRAGMA integrity_check").Output()
	if n := strings.Fields(string(count)); err != nil || len(n) != 2 || n[1] != "ok" {
		t.Errorf("the shell says %q, %v", count, err)
	}
}

func TestTheLessonPage(t *testing.T) {
	path := filled(t, append(aMorning(9), aMorning(0)...)...)
	page := filepath.Join(t.TempDir(), "lesson.pdf")
	code, out, errs := journalled(t, "--file", path, "--page", page)
	if code != Done || out+errs != "" {
		t.Fatalf("status %d: %s%s", code, out, errs)
	}
	text, err := exec.Command("pdftotext", page, "-").Output()
	if err != nil || !strings.Contains(string(text), "6–12 March 2026") || !strings.Contains(string(text), "in 1 session") || !strings.Contains(string(text), "Weir Street run") {
		t.Errorf("%v: %s", err, text)
	}
	code, _, errs = journalled(t, "--file", path, "--page", filepath.Join(page, "deeper.pdf"))
	if code != FaultMachine || !strings.Contains(errs, "cannot write") {
		t.Errorf("where nothing can be written: status %d, %s", code, errs)
	}
}
