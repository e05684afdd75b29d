package routines

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct/export"
	"footing/ladder/routine"
	"footing/ui/window/document"
	"footing/ui/window/look"
)

const morning = `footing: 1
name: Morning runs # before breakfast
steps:
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 17-20}
    tempo: {from: 64, goal: 104, step: 4 bpm}
    slots: 4
  - name: Slow settling
    tempo: {from: 50, goal: 80, step: marks}
`

// rig is a view in a test window on real files.
type rig struct {
	*View
	t         *testing.T
	dir       string
	atStand   *document.Document // what is practised
	stepAt    int                // the step that is played
	applied   []ladder.Routine   // to what is practised
	practised []string
	open      *document.Document // in the view
	step      int
	begun     *document.Document // of a score
	keys      []string           // that no input had a use for
	exports   []Export           // what was to be written into files, and of the last:
	exporting context.Context
	progress  func(export.Progress)
	exported  func([]export.Made, error)
}

func newRig(t *testing.T) *rig {
	t.Helper()
	test.NewTempApp(t)
	test.ApplyTheme(t, look.New(look.ChooseDay))
	r := &rig{t: t, dir: t.TempDir(), step: -1}
	r.write("morning.yaml", morning)
	r.write("other.yaml", "footing: 1\nname: Other\nsteps:\n  - name: Only\n")
	w := test.NewTempWindow(t, nil)
	r.View = New(Options{
		Dir: r.dir, Window: w,
		AtStand: func() (*document.Document, int) { return r.atStand, r.stepAt },
		Change: func(d *document.Document, rt ladder.Routine) {
			if d == r.atStand {
				r.applied = append(r.applied, rt)
			}
			d.Change(rt, time.Time{})
		},
		Save: func(d *document.Document, done func(error)) { done(d.Save(time.Time{})) },
		Open: func(d *document.Document) { r.open = d },
		Read: func(read, show func()) { read(); show() },
		Practise: func(d *document.Document, step int) {
			r.practised = append(r.practised, d.Routine().Name)
			r.step = step
		},
		Begun: func(d *document.Document) { r.begun = d },
		Draft: func(string) Draft { return Draft{} },
		Export: func(ctx context.Context, e Export, progress func(export.Progress), done func([]export.Made, error)) {
			r.exports = append(r.exports, e)
			r.exporting, r.progress, r.exported = ctx, progress, done
		},
		Out:     filepath.Join(r.dir, "music"),
		Changed: func() {}, Title: func() (string, string, string) { return "", "", "" },
		Key: func(key string, repeat bool) {
			if !repeat {
				r.keys = append(r.keys, key)
			}
		},
	})
	r.Enter()
	w.SetContent(r.Object())
	w.Resize(fyne.NewSize(1200, 716))
	return r
}

// lay puts a file of the folder on the Stand.
func (r *rig) lay(path string) {
	r.t.Helper()
	f, err := routine.Load(path)
	if err != nil {
		r.t.Fatal(err)
	}
	r.atStand = document.Open(f)
	r.Enter()
}

func (r *rig) write(name, text string) {
	r.t.Helper()
	if err := os.WriteFile(filepath.Join(r.dir, name), []byte(text), 0o600); err != nil {
		r.t.Fatal(err)
	}
}

func (r *rig) read(name string) string {
	r.t.Helper()
	data, err := os.ReadFile(filepath.Join(r.dir, name))
	if err != nil {
		r.t.Fatal(err)
	}
	return string(data)
}

// words is all that stands on labels.
func (r *rig) words() string {
	var words []string
	for _, o := range test.LaidOutObjects(r.Object()) {
		if l, ok := o.(*widget.Label); ok {
			words = append(words, l.Text)
		}
	}
	return strings.Join(words, "\n")
}

// pick selects a file of the list by the routine's name.
func (r *rig) pick(name string) {
	r.t.Helper()
	for i, e := range r.entries {
		if e.Name == name {
			r.files.Select(i)
			return
		}
	}
	r.t.Fatalf("no routine %q in the list", name)
}

// headline is the name in the header.
func (r *rig) headline() string {
	name, _, _ := r.Title()
	return name
}

func (r *rig) stepNames() string {
	var names []string
	for _, s := range r.desk.now.Steps {
		names = append(names, s.Name)
	}
	return strings.Join(names, ", ")
}

func TestEditAStepInTheWordsOfTheFile(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.form.inputs["tempo goal"].set("108")
	r.form.inputs["pulse"].set("doubled")
	if !r.desk.changed() || r.save.Disabled() {
		t.Fatal("an edit leaves nothing to save")
	}
	r.Save()
	want := strings.Replace(morning, "goal: 104", "goal: 108", 1)
	want = strings.Replace(want, "slots: 4\n", "slots: 4\n    pulse: doubled\n", 1)
	if got := r.read("morning.yaml"); got != want {
		t.Errorf("the file is\n%s\nwant\n%s", got, want)
	}
	if r.desk.changed() || !r.save.Disabled() {
		t.Error("there is still something to save")
	}
}

func TestKeysThatAreNotForAnInputReachTheWindow(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	type typing interface {
		fyne.Focusable
		desktop.Keyable
	}
	entry := r.form.inputs["tempo goal"].object.(typing)
	for name, in := range map[string]typing{
		"an entry": entry, "a choice": r.form.inputs["pulse"].object.(typing),
		"the files": r.files, "the steps": r.steps, "a button": r.save,
	} {
		r.keys = nil
		for _, name := range []fyne.KeyName{fyne.KeyF1, fyne.KeyF2, fyne.KeyF3, fyne.KeyF11, fyne.KeyEscape, fyne.KeySpace, fyne.KeyUp} {
			in.KeyDown(&fyne.KeyEvent{Name: name})
			in.TypedKey(&fyne.KeyEvent{Name: name})
		}
		in.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace}) // held down
		in.TypedRune('?')
		want := "F1 F2 F3 F11 Escape Space"
		switch in {
		case entry:
			want = "F1 F2 F3 F11 Escape"
		case r.save:
			want += " Up"
		}
		if in != entry {
			want += " ?"
		}
		if got := strings.Join(r.keys, " "); got != want {
			t.Errorf("%s let %s out, want %s", name, got, want)
		}
	}
	entry.(interface{ SetText(string) }).SetText("104")
	r.form.inputs["tempo goal"].set("100")
	r.form.inputs["tempo goal"].object.(fyne.Shortcutable).TypedShortcut(SaveShortcut())
	if !strings.Contains(r.read("morning.yaml"), "goal: 100") {
		t.Error("the save key does nothing within an input")
	}
}

func TestAFaultIsSaidAndNotSaved(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.form.inputs["tempo step"].set("4 bmp")
	if r.form.fault == nil || !strings.Contains(r.line.Text, "did you mean 4 bpm?") {
		t.Errorf("the line says %q", r.line.Text)
	}
	r.Save()
	r.practise()
	if r.read("morning.yaml") != morning || r.step != -1 {
		t.Error("a step with a fault was saved or practised")
	}
	r.form.inputs["tempo step"].set("5%")
	if r.form.fault != nil {
		t.Errorf("mended, it still says %v", r.form.fault)
	}
	r.Save()
	if !strings.Contains(r.read("morning.yaml"), "step: 5%") {
		t.Error("the mended step was not saved")
	}
}

func TestStepsAreAddedDuplicatedMovedAndRemoved(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.editSteps(func(d *desk) { d.add(d.now.Steps[d.step]) })
	r.editSteps(func(d *desk) { d.move(1) })
	r.editSteps(func(d *desk) { d.move(1) }) // past the end: nothing
	if got := r.stepNames(); got != "Weir Street run, Slow settling, Weir Street run 2" {
		t.Errorf("the steps are %s", got)
	}
	r.steps.Select(0)
	r.editSteps(func(d *desk) { d.add(newStep(d.now.Steps[d.step])) })
	if got := r.desk.now.Steps[1]; got.Name != "New step" || got.Passage.From != 17 || len(got.Check()) != 0 {
		t.Errorf("the added step is %+v", got)
	}
	r.editSteps((*desk).remove)
	r.Save()
	f, err := routine.Load(filepath.Join(r.dir, "morning.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if n := len(f.Routine().Steps); n != 3 {
		t.Errorf("%d steps in the file, want 3", n)
	}
	if !strings.Contains(r.read("morning.yaml"), "# before breakfast") {
		t.Error("the comment is lost")
	}
	for range 5 {
		r.editSteps((*desk).remove)
	}
	if len(r.desk.now.Steps) != 1 {
		t.Errorf("%d steps left, want the last one kept", len(r.desk.now.Steps))
	}
}

func TestNewAndDuplicateBecomeFilesOfTheirOwn(t *testing.T) {
	r := newRig(t)
	r.fresh()
	r.name.SetText("Évening: runs!")
	r.Save()
	if got := r.read("évening-runs.yaml"); !strings.Contains(got, "vening: runs!") {
		t.Errorf("the new file is\n%s", got)
	}
	r.pick("Morning runs")
	r.duplicate()
	r.Save()
	f, err := routine.Load(filepath.Join(r.dir, "morning-runs-copy.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Routine(); got.Name != "Morning runs copy" || len(got.Steps) != 2 {
		t.Errorf("the copy is %+v", got)
	}
	r.fresh()
	r.name.SetText("Morning runs copy")
	r.Save()
	if _, err := routine.Load(filepath.Join(r.dir, "morning-runs-copy 2.yaml")); err != nil {
		t.Errorf("a name that is taken: %v", err)
	}
	if r.read("morning.yaml") != morning {
		t.Error("the first file changed")
	}
}

func TestAnotherFileIsOpenedOnlyAfterTheEditsAreSafe(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.form.inputs["reps"].set("9")
	r.pick("Other")
	if !strings.Contains(r.read("morning.yaml"), "reps: 9") {
		t.Error("the edit was lost on the way to another file")
	}
	if r.desk.now.Name != "Other" {
		t.Errorf("%q is open", r.desk.now.Name)
	}
}

func TestAFileChangedElsewhereIsNotWrittenOver(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.form.inputs["reps"].set("9")
	theirs := strings.Replace(morning, "goal: 104", "goal: 96", 1)
	r.write("morning.yaml", theirs)
	r.Save()
	if r.read("morning.yaml") != theirs {
		t.Fatal("the other's work was written over")
	}
	if !errors.Is(r.open.Trouble(), routine.ErrChanged) {
		t.Fatalf("the document tells of %v", r.open.Trouble())
	}
	if err := r.open.KeepBoth(time.Time{}); err != nil {
		t.Fatal(err)
	}
	r.Refresh()
	if got := r.read("morning 2.yaml"); !strings.Contains(got, "reps: 9") || !strings.Contains(got, "goal: 104") {
		t.Errorf("mine is kept as\n%s", got)
	}
	if r.read("morning.yaml") != theirs {
		t.Error("theirs changed")
	}
	if r.desk.changed() || r.line.Text != "morning 2.yaml" {
		t.Errorf("after that there is something to save (%v), and the line says %q", r.desk.changed(), r.line.Text)
	}
}

func TestTheRoutineAtTheStandIsSavedThroughTheStand(t *testing.T) {
	r := newRig(t)
	r.lay(filepath.Join(r.dir, "morning.yaml"))
	r.form.inputs["count"].set("takadimi")
	r.Save()
	if len(r.applied) != 1 || r.applied[0].Steps[0].Count != click.CountTakadimi {
		t.Errorf("applied %+v", r.applied)
	}
	r.steps.Select(1)
	r.practise()
	if r.step != 1 {
		t.Errorf("practised step %d of %v, want step 1 of what is there", r.step, r.practised)
	}
	r.pick("Other")
	r.practise()
	if len(r.practised) != 2 || r.practised[1] != "Other" {
		t.Errorf("practised %v", r.practised)
	}
}

// Who leaves the Stand for the Routines finds the step open that was played.
func TestTheStepThatIsPlayedIsOpen(t *testing.T) {
	r := newRig(t)
	r.stepAt = 1
	r.lay(filepath.Join(r.dir, "morning.yaml"))
	if r.desk.step != 1 || r.filled != (filled{r.desk, 1}) {
		t.Errorf("step %d is open, want 1", r.desk.step)
	}
	r.pick("Other")
	r.pick("Morning runs")
	if r.desk.step != 1 {
		t.Errorf("step %d is open after another file was, want 1", r.desk.step)
	}
}

func TestWhatIsOpenFromElsewhereIsListedToo(t *testing.T) {
	r := newRig(t)
	elsewhere := filepath.Join(t.TempDir(), "away.yaml")
	if err := os.WriteFile(elsewhere, []byte(strings.Replace(morning, "Morning runs", "Away", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	r.lay(elsewhere)
	if r.entries[0].Name != "Away" || len(r.entries) != 3 {
		t.Errorf("the list is %+v", r.entries)
	}
	r.pick("Other")
	r.pick("Away")
	if r.desk.now.Name != "Away" {
		t.Errorf("%q is open", r.desk.now.Name)
	}
}

func TestAFaultyFileShowsThePlaceAndTheTextAroundIt(t *testing.T) {
	r := newRig(t)
	text := strings.Replace(strings.Replace(morning, "4 bpm", "4 bmp", 1), "slots: 4", "slots: 99", 1)
	r.write("bad.yaml", text)
	r.Enter()
	r.pick("bad")
	said := r.words()
	for _, want := range []string{"bad.yaml:6:", "did you mean 4 bpm?", "4 bmp}", "bad.yaml:7:", "7 |     slots: 99"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said:\n%s", want, said)
		}
	}
	if n := strings.Count(said, "^"); n != 2 || r.headline() != "bad.yaml" {
		t.Errorf("%d places are marked, want 2; the fault is of %q", n, r.headline())
	}
	if r.read("bad.yaml") != text {
		t.Error("the file was changed")
	}
	r.write("bad.yaml", morning)
	tapButton(t, r.detail, "Read it again")
	if r.bad != nil || r.desk == nil {
		t.Error("a mended file is not read")
	}
}

// A file that is not there is said to be missing, not to be damaged.
func TestAFileThatIsNotThereIsSaidToBeMissing(t *testing.T) {
	r := newRig(t)
	path := filepath.Join(r.dir, "nothere.yaml")
	_, err := routine.Load(path)
	r.Trouble(path, err)
	said := r.words()
	for _, want := range []string{"Looked for: nothere.yaml", "not found: nothere.yaml"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not say %q in\n%s", want, said)
		}
	}
	if strings.Contains(said, "left as it is") || strings.Contains(said, "has a fault") {
		t.Errorf("it speaks of a damaged file in\n%s", said)
	}
}

// tapButton taps the button of that label.
func tapButton(t *testing.T, in fyne.CanvasObject, label string) {
	t.Helper()
	for _, o := range test.LaidOutObjects(in) {
		switch b := o.(type) {
		case *button:
			if b.Text == label {
				b.OnTapped()
				return
			}
		case *widget.Button:
			if b.Text == label {
				b.OnTapped()
				return
			}
		}
	}
	t.Fatalf("no button %q", label)
}

func TestAButtonTakesTheFocusFromTheName(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.o.Window.Canvas().Focus(r.name)
	tapButton(t, r.Object(), "New")
	if r.o.Window.Canvas().Focused() != nil {
		t.Error("what is typed goes into the new routine's name")
	}
}

func TestThePaletteReachesEveryLabel(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	test.ApplyTheme(t, look.New(look.ChooseNight))
	r.Recolour()
	p := look.Current()
	if r.form.labels[0].Color != p.Soft || r.form.groups[0].Color != p.Accent || r.divider.FillColor != p.Hair {
		t.Error("a colour of the day stays at night")
	}
}
