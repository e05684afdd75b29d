package window

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"footing/ladder/journal/journalfile"
	"footing/ladder/journal/years"
	"footing/ladder/routine"
	"footing/ui/window/document"
	"footing/ui/window/draw"
	"footing/ui/window/look"
)

// newPractised is a window with ten weeks of practice behind it.
func newPractised(t *testing.T) *rig {
	t.Helper()
	dir := t.TempDir()
	path := dir + "/runs.yaml"
	r, err := routine.New(years.Routine())
	if err == nil {
		err = r.SaveAs(path)
	}
	if err != nil {
		t.Fatal(err)
	}
	app := test.NewTempApp(t)
	now := time.Date(2026, 3, 12, 20, 0, 0, 0, time.UTC)
	f := journalfile.New(journalOf(t, app), func() time.Time { return now })
	for entries := range years.Practice(5, now.AddDate(0, 0, -70), 70, 240, path) {
		f.Put(entries...)
	}
	f.Write(t.Context())
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	w := newRigAt(t, app, dir, path, now)
	w.set.setCautionsSeen()
	w.root.closeCard()
	return w
}

func TestJournalPictures(t *testing.T) {
	for _, palette := range []look.Choice{look.ChooseDay, look.ChooseNight} {
		for _, size := range []fyne.Size{{Width: 1200, Height: 780}, {Width: 900, Height: 600}} {
			t.Run(string(palette), func(t *testing.T) {
				r := newPractised(t)
				r.setPalette(palette)
				r.resize(size.Width, size.Height)
				r.press("F9", "Left", "Left")
				r.golden(fmt.Sprintf("journal-%s-%.0fx%.0f.png", palette, size.Width, size.Height))
				// Under the notes: how far each beat has come.
				r.press("F2")
				r.session.Change(noted)
				r.press("F5")
				r.golden(fmt.Sprintf("passage-weeks-%s-%.0fx%.0f.png", palette, size.Width, size.Height))
			})
		}
	}
}

// The keys lead from step to step and from day to day, say why and find, and Enter
// goes on with the step.
func TestTheJournalByKeys(t *testing.T) {
	r := newPractised(t)
	r.press("F9")
	if got := r.headline(); !strings.HasPrefix(got, "Weir Street run Weir Street March, bars") {
		t.Errorf("over it stands %q", got)
	}
	graph := func() string { return of[*draw.Days](r).Model().Said }
	if graph() != "" {
		t.Errorf("figures are said of no point: %q", graph())
	}
	r.press("Left")
	last := graph()
	r.press("Left")
	if before := graph(); last == "" || before == last {
		t.Errorf("the last day says %q, the one before %q", last, before)
	}
	r.press("Right")
	if graph() != last {
		t.Errorf("back on the last day it says %q, not %q", graph(), last)
	}
	r.press("y")
	if got := of[*draw.Caption](r).Model().Words; !strings.HasPrefix(got, "Best clean ") || !strings.Contains(got, " rungs below") {
		t.Errorf("why: %q", got)
	}
	r.press("Up")
	above := of[*draw.Due](r).Model()
	name := above.Rows[above.Selected].Name
	if above.Selected < 0 || name == "Weir Street run" || graph() != "" {
		t.Errorf("above is %q, and said %q", name, graph())
	}
	r.press("/")
	for _, c := range "thumb" {
		r.win.Canvas().Focused().TypedRune(c)
	}
	r.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	rows := of[*draw.Log](r).Model().Rows
	marks := 0
	for _, row := range rows {
		if row.Pencil {
			marks++
			if !strings.Contains(row.Text, "thumb") {
				// Another mark of the same day.
				marks--
			}
		}
	}
	if marks == 0 {
		t.Errorf("found %+v", rows)
	}
	r.press("Return")
	if s := r.view().State; r.root.view != viewStand || s.Step().Name != name {
		t.Errorf("view %s, step %q; want %q at the Stand", r.root.view, s.Step().Name, name)
	}
}

// Every point tells its day under the pointer.
func TestAPointOfTheJournalTellsItsDay(t *testing.T) {
	r := newPractised(t)
	r.press("F9")
	w := of[*draw.Days](r)
	test.MoveMouse(r.win.Canvas(), fyne.CurrentApp().Driver().AbsolutePositionForObject(w).Add(w.PointAt(0)))
	if got := w.Model().Said; !strings.Contains(got, "January") {
		t.Errorf("it says %q", got)
	}
}

// A step of another routine is practised from the journal, too, and one that is
// nowhere any more is told of.
func TestTheJournalOpensTheRoutineOfAStep(t *testing.T) {
	r := newPractised(t)
	other := write(t, t.TempDir(), "other.yaml", strings.Replace(runs, "Weir Street March", "Hill Road Waltz", 2))
	f, err := routine.Load(other)
	if err != nil {
		t.Fatal(err)
	}
	r.practise(document.Open(f), 0)
	r.press("F9")
	if due := of[*draw.Due](r).Model(); due.Selected != 0 || len(due.Rows) != 4 {
		t.Errorf("what is most urgent is not shown: %+v", due)
	}
	r.press("Return")
	if s := r.view().State; s.Routine.Name != "Morning runs" || s.Step().Name != "B flat in thirds" && r.root.view != viewStand {
		t.Errorf("it goes on with %q, %q", s.Routine.Name, s.Step().Name)
	}
}

func TestAnEmptyJournal(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.press("F9", "Left", "Up", "y", "Next", "Return")
	if m := of[*draw.Due](r).Model(); len(m.Rows) != 0 || m.Empty == "" {
		t.Errorf("due is %+v", m)
	}
}

func TestTheLessonPageIsWritten(t *testing.T) {
	r := newPractised(t)
	r.press("F9", "l")
	if got := of[*draw.Caption](r).Model(); got.Warm || !strings.HasPrefix(got.Words, "“Lesson page 2026-03-12.pdf” is in ") {
		t.Errorf("it says %+v", got)
	}
	if data := r0(t, filepath.Join(r.pages, "Lesson page 2026-03-12.pdf")); !strings.HasPrefix(data, "%PDF-") {
		t.Errorf("the page begins with %.9q", data)
	}
	r.Window.pages = filepath.Join(r.pages, "Lesson page 2026-03-12.pdf") // no folder
	r.press("l")
	if got := of[*draw.Caption](r).Model(); !got.Warm || !strings.Contains(got.Words, "annot write") {
		t.Errorf("where nothing can be written it says %+v", got)
	}
}
