package window

import (
	"os"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2/test"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/journal/journalfile"
	"footing/ladder/routine"
	"footing/ui/window/document"
)

// climbed is a rig in which the first step was played clean on 64, 68 and 72.
func climbed(t *testing.T, r *rig) {
	t.Helper()
	r.press("Up")
	r.press("Up")
	r.press("Space")
	r.play(7.2)
	r.press("Right")
	r.play(6)
	r.press("Space")
	if got := r.view().State.Standing.Tempo(); got != click.BPM(72) {
		t.Fatalf("stands at %s", got)
	}
}

// said is the line that the Stand shows for the player's last action.
func (r *rig) said(t *testing.T, want string) {
	t.Helper()
	if got := r.stand.Said(); got != want {
		t.Errorf("it says %q, want %q", got, want)
	}
}

// A step goes on where it was left on the same day, and on another where the rule
// has it start; Y says why.
func TestAnotherDayStartsByTheRule(t *testing.T) {
	for _, tt := range []struct {
		name  string
		below int // rungs, −1 for the rule as it comes
		later time.Duration
		want  int
		why   string
	}{
		{"the same day", -1, 2 * time.Hour, 76, "Here, at 76, is where this step was left today"},
		{"the next", -1, 24 * time.Hour, 64, "Best clean 72 yesterday: two rungs below is 64"},
		{"two weeks later", -1, 14 * 24 * time.Hour, 64, "Best clean 72 on 2 March: four rungs below, for 2 weeks or the lowest there is: 64"},
		{"by the player's rule", 1, 24 * time.Hour, 68, "Best clean 72 yesterday: one rung below is 68"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "runs.yaml", runs)
			app := test.NewTempApp(t)
			r := newRigIn(t, app, dir, path)
			climbed(t, r)
			r.press("Up")
			r.wait(2 * time.Second)
			r.leave()
			if tt.below >= 0 {
				r.set.setStart(journal.StartRule{Below: tt.below})
			}
			again := newRigAt(t, app, dir, "", r.now.Add(tt.later))
			if got := again.view().State.Standing.Tempo(); got != click.BPM(tt.want) {
				t.Errorf("starts at %s, want %d", got, tt.want)
			}
			again.press("y")
			again.said(t, tt.why)
			if best := again.best("Weir Street run"); tt.later >= 24*time.Hour && best.Tempo != click.BPM(72) {
				t.Errorf("the best is pencilled as %+v", best)
			}
		})
	}
}

// What was heard to its end is in the journal before the next rep is over, with
// the player's last word on it, though the program is killed.
func TestAKilledWindowLosesNoRepThatWasHeard(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	r := newRigIn(t, app, dir, path)
	verdicts := func() (out []string) {
		r.file.Write(t.Context())
		reader, err := journalfile.Read(t.Context(), journalOf(t, app))
		if err != nil {
			t.Fatal(err)
		}
		defer reader.Close()
		err = reader.Reps(t.Context(), journalfile.Filter{}, func(p journalfile.Played) error {
			out = append(out, p.Verdict.String())
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	check := func(want ...string) {
		t.Helper()
		if got := verdicts(); strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("the journal holds %q, want %q", got, want)
		}
	}
	r.press("Space")
	r.play(4) // the count-in, and half of the rep
	check()
	r.play(1.5) // into its breath
	check("unjudged")
	r.press("Left")
	r.tick()
	check("rough")
	r.press("Right")
	r.tick()
	check("clean")
	r.play(4) // past the next
	check("clean")
	r.play(2)
	check("clean", "unjudged")
	r.press("Space")
	r.wait(time.Second)
	r.leave()
	check("clean", "unjudged")
}

// What was remembered before there was a journal is taken over, once.
func TestTheJournalTakesOldSettingsOver(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	name := path + "\x00Weir Street run"
	app.Preferences().SetStringList(keyBest+name, []string{"2026-02-26 80", "2026-02-27 88"})
	app.Preferences().SetString(keyMark+path+"\x00Slow settling", `{"Ladder":{"From":50000,"Below":0,"Goal":80000,"By":{"Kind":2,"Amount":0}},"Rule":2,"Tempo":60000,"Footing":58000,"Settled":true}`)
	r := newRigIn(t, app, dir, path)
	for range 2 {
		if got := r.best("Weir Street run"); got.Tempo != click.BPM(88) || got.When != "Fri" {
			t.Errorf("the best is %+v, want 88 on Fri", got)
		}
		if got := r.view().State.Standing.Tempo(); got != click.BPM(80) {
			t.Errorf("starts at %s, want 80", got)
		}
		r.press("n")
		if got := r.view().State.Standing; got.Tempo() != click.BPM(60) || got.Footing != click.BPM(58) {
			t.Errorf("the second stands at %s on the footing %s, want 60 and 58", got.Tempo(), got.Footing)
		}
		r.press("v")
		r.wait(2 * time.Second)
		if left := app.Preferences().StringList(keyBest + name); len(left) > 0 {
			t.Errorf("the settings still hold %q", left)
		}
		r.leave()
		r = newRigIn(t, app, dir, path)
	}
}

// A step keeps its history under another name, also one that is given while it is
// practised.
func TestARenamedStepKeepsItsHistory(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	r := newRigIn(t, app, dir, path)
	climbed(t, r)
	r.press("F3")
	r.field("Weir Street run").SetText("The run")
	r.press("F2")
	r.wait(3 * time.Second)
	if got := r.diary.of(journal.Place{Routine: path, Step: "The run"}); len(got.Days) != 1 {
		t.Errorf("of the new name is known %+v", got)
	}
	r.leave()
	again := newRigAt(t, app, dir, path, r.now.AddDate(0, 0, 1))
	if got := again.best("The run"); got.Tempo != click.BPM(72) {
		t.Errorf("the best is %+v", got)
	}
	again.leave()
	write(t, dir, "runs.yaml", strings.Replace(again.read(path), "The run", "Bar 18", 1)) // in an editor
	last := newRigAt(t, app, dir, path, r.now.AddDate(0, 0, 2))
	if got := last.best("Bar 18"); got.Tempo != click.BPM(72) {
		t.Errorf("after an edit elsewhere the best is %+v", got)
	}
}

// A routine of a passage that was practised already goes on with its history.
func TestAGivenRoutineJoinsTheHistoryOfItsPassage(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	climbed(t, r)
	r.wait(time.Second)
	f, err := routine.Load(write(t, dir, "lesson.yaml", strings.Replace(runs, "Weir Street run", "For Friday", 1)))
	if err != nil {
		t.Fatal(err)
	}
	r.now = r.now.AddDate(0, 0, 1)
	r.practise(document.Open(f), 0)
	if got := r.view().State.Standing.Tempo(); got != click.BPM(64) || r.best("For Friday").Tempo != click.BPM(72) {
		t.Errorf("it starts at %s with the best at %+v", got, r.best("For Friday"))
	}
}

// A journal that can't be written is told of in one line, and keeps nobody from
// practising.
func TestAJournalThatCannotBeWrittenIsToldOf(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	at := journalOf(t, app)
	if err := os.WriteFile(at, []byte(strings.Repeat("no journal ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	r := newRigIn(t, app, dir, path)
	climbed(t, r)
	r.wait(2 * time.Second)
	if got := r.notices.top(); got.Text != "The journal journal.db is damaged: what you play goes beside it, and in when that can be" || !got.Warm {
		t.Errorf("the notice is %+v", got)
	}
	r.leave()
	if !r.closed {
		t.Error("the window stays open")
	}
	if err := os.Remove(at); err != nil {
		t.Fatal(err)
	}
	again := newRigAt(t, app, dir, path, r.now.AddDate(0, 0, 1))
	again.wait(time.Second)
	if got := again.notices.top(); got.Text != "" {
		t.Errorf("the notice stays: %+v", got)
	}
	if got := again.best("Weir Street run"); got.Tempo != click.BPM(72) {
		t.Errorf("what was played meanwhile is lost: the best is %+v", got)
	}
}

// A pencil mark is kept once it stays as it is, and at the end in any case.
func TestPencilMarksAreKept(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	r := newRigIn(t, app, dir, path)
	pencil := func(text string) {
		r.session.Change(func(s ladder.Step) ladder.Step { s.Pencil = text; return s })
	}
	r.wait(time.Second)
	for _, text := range []string{"thumb", "thumb ear", "thumb earlier"} {
		pencil(text)
		r.second()
	}
	r.wait(2 * time.Second)
	pencil("flick on the high A")
	_ = r.close(nil)
	reader, err := journalfile.Read(t.Context(), journalOf(t, app))
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	marks, err := reader.Marks(t.Context(), journalfile.Filter{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, m := range marks {
		got = append(got, m.Text)
	}
	if strings.Join(got, " | ") != "thumb earlier | flick on the high A" {
		t.Errorf("the journal holds %q", got)
	}
}

// A rep that was broken off is kept while it has a verdict, and no longer.
func TestAVerdictThatIsTakenBackLeavesNoRep(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	reps := func() (n int) {
		r.tick()
		r.file.Write(t.Context())
		reader, err := journalfile.Read(t.Context(), journalOf(t, r.app))
		if err != nil {
			t.Fatal(err)
		}
		defer reader.Close()
		err = reader.Reps(t.Context(), journalfile.Filter{}, func(journalfile.Played) error { n++; return nil })
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	r.press("Space")
	r.play(3.5) // within the rep
	r.press("Space")
	for i, want := range []int{0, 1, 0, 1} { // without a verdict, with one, taken back, given again
		if i > 0 {
			r.now = r.now.Add(time.Second) // sooner, a pedal bounces
			r.press("Right")
		}
		if got := reps(); got != want {
			t.Errorf("after %d presses the journal holds %d reps, want %d", i, got, want)
		}
	}
}
