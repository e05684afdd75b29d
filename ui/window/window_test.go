package window

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/routine"
	"footing/ui/window/document"
	"footing/ui/window/keys"
	"footing/ui/window/look"
)

func TestPractiseFromAFileToAFile(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	if got := r.view().State.Step().Name; got != "Weir Street run" {
		t.Fatalf("the window opened on %q", got)
	}
	r.press("Space")
	r.play(7.2)
	r.press("Right")
	r.play(5)
	r.press("Next")
	r.play(5)
	r.press("Right")
	if got := r.view().State.Standing.Tempo(); got != click.BPM(68) {
		t.Errorf("three clean reps led to %s, want 68", got)
	}
	r.press("]", "s")
	r.press("Space")
	r.wait(3 * time.Second)
	f, err := routine.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	step := f.Routine().Steps[0]
	if step.Chunk.Length != click.Whole(3) || step.Slots.Count() != 5 {
		t.Errorf("the file holds a chunk of %s and %s slots", step.Chunk.Length, step.Slots)
	}
	if text := r.read(path); !strings.Contains(text, "# found by ear") {
		t.Errorf("the comment is lost:\n%s", text)
	}
	r.leave()
	if len(r.played) != 3 || r.played[0].Verdict != ladder.Clean {
		t.Errorf("recorded %+v", r.played)
	}
}

func TestAnUntouchedRoutineIsNotWritten(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	before, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	r := newRig(t, dir, path)
	r.press("Space")
	r.play(9)
	r.press("Right", "Space", "n", "F3", "F2", "F1", "Escape")
	r.wait(5 * time.Second)
	r.leave()
	after, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if after.ModTime() != before.ModTime() || r.read(path) != runs {
		t.Error("the file was written though nothing was edited")
	}
}

func TestTwoWindowsLoseNobodysWork(t *testing.T) {
	for _, tt := range []struct {
		key    string
		mine   click.Beats // chunk in my window afterwards
		others int         // routine files beside the first
	}{{"F6", click.Whole(3), 1}, {"F7", click.Whole(1), 0}} {
		t.Run(tt.key, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "runs.yaml", runs)
			r := newRig(t, dir, path)
			theirs := strings.Replace(runs, "beats: 2", "beats: 1", 1)
			write(t, dir, "runs.yaml", theirs)
			r.press("]")
			r.wait(3 * time.Second)
			if got := r.read(path); got != theirs {
				t.Fatalf("the other's work was written over:\n%s", got)
			}
			if top := r.notices.top(); len(top.Choices) != 2 {
				t.Fatalf("no choice is offered: %+v", top)
			}
			r.press("Space")
			if !r.view().State.Running {
				t.Error("the notice stands between the player and the click")
			}
			r.press("Space", tt.key)
			if got := r.view().State.Step().Chunk.Length; got != tt.mine {
				t.Errorf("the chunk is %s, want %s", got, tt.mine)
			}
			if r.notices.top().Text != "" {
				t.Errorf("the notice stays: %+v", r.notices.top())
			}
			entries, err := routine.List(dir)
			if err != nil {
				t.Fatal(err)
			}
			if len(entries) != 1+tt.others {
				t.Errorf("%d routines in the folder, want %d", len(entries), 1+tt.others)
			}
			r.press("]")
			r.wait(3 * time.Second)
			if r.notices.top().Text != "" {
				t.Errorf("the next save fails: %+v", r.notices.top())
			}
			if tt.others == 1 && r.read(path) != theirs {
				t.Error("the other's file changed after all")
			}
		})
	}
}

func TestLeavingWithAConflictKeepsBoth(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	theirs := strings.Replace(runs, "beats: 2", "beats: 1", 1)
	write(t, dir, "runs.yaml", theirs)
	r.press("]")
	r.leave()
	if got := r.read(path); got != theirs {
		t.Errorf("the other's work was written over:\n%s", got)
	}
	if got := r.read(filepath.Join(dir, "runs 2.yaml")); !strings.Contains(got, "beats: 3") {
		t.Errorf("mine is not kept:\n%s", got)
	}
}

func TestASaveThatFailsIsSaidAndTriedAgain(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	away := dir + ".away"
	if err := os.Rename(dir, away); err != nil {
		t.Fatal(err)
	}
	r.press("]")
	r.wait(2 * time.Second)
	if got := r.notices.top(); !got.Warm || !strings.Contains(got.Text, "Not saved") {
		t.Errorf("the notice is %+v", got)
	}
	r.leave()
	if r.closed || !r.doc.Load().Unsaved() {
		t.Fatal("the save went well though the folder is gone")
	}
	if err := os.Rename(away, dir); err != nil {
		t.Fatal(err)
	}
	r.wait(15 * time.Second)
	if got := r.notices.top(); got.Text != "" {
		t.Errorf("the notice stays: %+v", got)
	}
	if !strings.Contains(r.read(path), "beats: 3") {
		t.Error("the edit was never saved")
	}
}

func TestAFileWithAFaultIsShownAndLeftAlone(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "good.yaml", runs)
	bad := write(t, dir, "bad.yaml", "footing: 1\nname: x\nsteps:\n  - name: Run\n    tempo: {step: 4 bmp}\n")
	before := r0(t, bad)
	r := newRig(t, dir, bad)
	if r.root.view != viewRoutines {
		t.Error("the fault is not shown")
	}
	if got := r.headline(); !strings.HasPrefix(got, "bad.yaml") {
		t.Errorf("over the faults of bad.yaml stands %q", got)
	}
	if got := r.view().State.Routine.Name; got != "Morning runs" {
		t.Errorf("meanwhile %q lies at the Stand", got)
	}
	r.press("Space")
	if r.view().State.Running || r.root.view != viewStand {
		t.Errorf("the click starts (%v) before the cautions are seen, in view %s", r.view().State.Running, r.root.view)
	}
	r.press("Space")
	if !r.view().State.Running {
		t.Error("the cautions stand between the player and the click")
	}
	if got := r.headline(); !strings.HasPrefix(got, "Weir Street run") {
		t.Errorf("over the Stand stands %q", got)
	}
	r.press("Space", "Return", "F3", "Space")
	if !r.view().State.Running {
		t.Error("the player cannot practise meanwhile")
	}
	if r0(t, bad) != before {
		t.Error("the file was changed")
	}
}

// headline is what stands in the header, the views left out.
func (r *rig) headline() string {
	var words []string
	for _, o := range test.WidgetRenderer(r.root.header).Objects() {
		if o, ok := o.(*canvas.Text); ok && o.Position().X < r.root.header.TabAt(0).X-70 {
			words = append(words, o.Text)
		}
	}
	return strings.Join(words, " ")
}

func r0(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestAnEmptyFolderBeginsANewRoutine(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "routines")
	r := newRig(t, dir, "")
	r.press("Space")
	r.play(3)
	r.press("p")
	r.wait(3 * time.Second)
	entries, err := routine.List(dir)
	if err != nil || len(entries) != 1 {
		t.Fatalf("%d routines, %v; the new one is not kept", len(entries), err)
	}
	if entries[0].Err != nil || filepath.Base(entries[0].Path) != "new-routine.yaml" {
		t.Errorf("kept as %+v", entries[0])
	}
}

// What README tells a newcomer, on the very first start: a count-in of two
// beats, the chunk, its landing and a breath; three cleans climb, two roughs go
// down.
func TestTheFirstStartDoesWhatIsPromised(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "routines")
	if _, err := routine.CopyStarters(dir); err != nil {
		t.Fatal(err)
	}
	r := newRig(t, dir, "")
	var heard []click.Kind
	at := func(v string) click.Tempo {
		for seq := r.view().Now.Part.Seq; r.view().Now.Part.Seq == seq || r.view().Now.Part.Kind != click.Breath; {
			r.play(0.2)
			if k := r.view().Now.Part.Kind; len(heard) == 0 || heard[len(heard)-1] != k {
				heard = append(heard, k)
			}
		}
		r.press(v)
		return r.view().State.Standing.Tempo()
	}
	lowest := r.view().State.Standing.Tempo()
	r.press("Space")
	if at("Right"); !slices.Equal(heard, []click.Kind{click.CountIn, click.Rep, click.Breath}) {
		t.Errorf("it begins with %v", heard)
	}
	if step := r.view().State.Step(); step.CountIn != 2 || !step.Chunk.Landing || step.Name != "Weir Street run, bar 18" {
		t.Errorf("the first step is %+v", step)
	}
	at("Next")
	if up := at("Right"); up <= lowest {
		t.Errorf("after three cleans the tempo is %s, was %s", up, lowest)
	}
	at("Left")
	if down := at("Prior"); down != lowest {
		t.Errorf("after two roughs the tempo is %s, want %s", down, lowest)
	}
}

func TestWhatIsRemembered(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "a.yaml", strings.Replace(runs, "Morning runs", "Another", 1))
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	r := newRigIn(t, app, dir, path)
	if r.root.card == nil {
		t.Error("the first start says no cautions")
	}
	r.press("Space")
	if !r.view().State.Running {
		t.Error("the cautions stand between the player and the click")
	}
	r.press("Space", "Return", "n", "F4", "=", "o")
	r.resize(1000, 700)
	r.leave()

	again := newRigIn(t, app, dir, "")
	if again.root.card != nil {
		t.Error("the cautions come again")
	}
	if got := again.view().State; got.Routine.Name != "Morning runs" || got.StepAt != 1 {
		t.Errorf("opened on %q, step %d", got.Routine.Name, got.StepAt)
	}
	if got := again.set.palette(); got != look.ChooseDay {
		t.Errorf("the palette is %s", got)
	}
	if got := again.win.Canvas().Size(); got != fyne.NewSize(1000, 700) {
		t.Errorf("the window is %v", got)
	}
	if again.sound.Level() != 45 || again.sound.Name() != again.sound.Names()[1] {
		t.Errorf("the sound is %s at %d", again.sound.Name(), again.sound.Level())
	}
}

func TestKeysCanBeChanged(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	r := newRigIn(t, app, dir, path)
	r.press("F1")
	r.help.pick("clean")
	r.press("F9") // what this pedal sends
	if got := r.keys.Label("clean"); got != "F9" {
		t.Errorf("clean is on %q", got)
	}
	r.help.pick("rough")
	r.press("5")
	if !strings.Contains(r.help.note, "types a tempo") {
		t.Errorf("a digit was taken: %q", r.help.note)
	}
	r.press("Escape", "Escape")
	if r.root.view != viewStand {
		t.Error("Escape does not lead back")
	}
	again := newRigIn(t, app, dir, path)
	again.press("Space")
	again.play(7.2)
	again.press("F9")
	if got := again.view().State.Standing.CleanRun; got != 1 {
		t.Errorf("the pedal gave %d clean", got)
	}
}

func TestTheHelpIsReadWhole(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.resize(900, 600)
	r.press("F1")
	said := ""
	for _, o := range test.WidgetRenderer(r.help.page).Objects() {
		if o, ok := o.(*canvas.Text); ok {
			said += o.Text + "\n"
			if strings.HasSuffix(o.Text, "…") && !strings.HasSuffix(o.Text, " …") {
				t.Errorf("%q is cut", o.Text)
			}
		}
	}
	for _, want := range []string{"takes the place of the first", "takes it back"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said", want)
		}
	}
}

func TestTheDeviceAndTheRestAreOneLineEach(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.out.line = "No sound device: the picture goes on without sound."
	r.wait(time.Second)
	if got := r.notices.top().Text; got != r.out.line {
		t.Errorf("the notice is %q", got)
	}
	r.press("Space")
	for range 26 * 6 {
		r.now = r.now.Add(10 * time.Second)
		r.second()
	}
	if got := r.notices.top().Text; !strings.HasPrefix(got, "25 minutes") {
		t.Errorf("no rest is proposed after 26 minutes: %q", got)
	}
	if !r.view().State.Running {
		t.Error("the reminder stopped the click")
	}
	r.chosen("")
	if got := r.notices.top().Text; got != r.out.line {
		t.Errorf("waved away, the notice is %q", got)
	}
	r.out.line = ""
	r.wait(time.Second)
	if got := r.notices.top().Text; got != "" {
		t.Errorf("with the device back the notice is %q", got)
	}
}

func TestTheCountOfTapsGoesByItself(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	resting := r.win.Canvas().Capture()
	r.press("t")
	if different(resting, r.win.Canvas().Capture()) == 0 {
		t.Fatal("the tap is not shown")
	}
	r.wait(8 * time.Second)
	if n := different(resting, r.win.Canvas().Capture()); n > 0 {
		t.Errorf("%d pixels of the count of taps stay", n)
	}
}

func TestTheLadderShowsLastTimesBest(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	r.press("Space")
	r.play(7.2)
	r.press("Right")
	r.play(6)
	r.press("Space")
	r.wait(time.Second)
	if got := r.best("Weir Street run"); got.When != "" {
		t.Errorf("today's best shows already: %+v", got)
	}
	r.now = r.now.AddDate(0, 0, 3)
	if got := r.best("Weir Street run"); got.Tempo != click.BPM(64) || got.When != "Mon" {
		t.Errorf("three days later the best is %+v, want 64 on Mon", got)
	}
}

func TestAnotherRoutineStartsAtItsOwnBeginning(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	waltz := strings.NewReplacer("from: 64", "from: 56", "Weir Street March", "Hill Road Waltz")
	other := write(t, dir, "other.yaml", waltz.Replace(runs))
	r := newRig(t, dir, path)
	r.press("Up", "Up", "Up")
	f, err := routine.Load(other)
	if err != nil {
		t.Fatal(err)
	}
	r.practise(document.Open(f), 0)
	if got := r.view().State.Standing.Tempo(); got != click.BPM(56) {
		t.Errorf("the other routine starts at %s, want its lowest rung 56", got)
	}
	r.press("]")
	r.wait(3 * time.Second)
	if r.read(path) != runs {
		t.Error("the edit went to the first file")
	}
	if !strings.Contains(r.read(other), "beats: 3") {
		t.Error("the edit is in no file")
	}
}

func TestErrChangedIsWrapped(t *testing.T) {
	if !errors.Is(&routine.SaveError{Path: "x", Err: routine.ErrChanged}, routine.ErrChanged) {
		t.Fatal("a save that another stopped cannot be told from others")
	}
}

// Fyne runs what is left for the main goroutine on any goroutine, once its loop has ended.
func TestNothingIsShownOnceTheWindowIsShut(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	shown := 0
	r.do(func() { shown++ })
	r.shut()
	r.do(func() { shown++ })
	if shown != 1 {
		t.Errorf("%d of two requests to show something were heeded, want only the one before the window was shut", shown)
	}
}

// BenchmarkOpen is what the window adds to the start of a Fyne program.
func BenchmarkOpen(b *testing.B) {
	dir := b.TempDir()
	path := filepath.Join(dir, "runs.yaml")
	if err := os.WriteFile(path, []byte(runs), 0o600); err != nil {
		b.Fatal(err)
	}
	kit, err := timbre.Make(timbre.Names()[0], rate)
	if err != nil {
		b.Fatal(err)
	}
	app := test.NewApp()
	defer app.Quit()
	app.Settings().SetTheme(look.New(look.ChooseDay))
	for b.Loop() {
		renderer := click.NewRenderer(rate, &kit)
		w := open(app, app.NewWindow("Footing"), parts{
			renderer: renderer, audible: renderer.Frames, out: &testSpeaker{},
			clock: time.Now, record: func(ladder.Played) {}, dir: dir, do: func(f func()) { f() }, work: func(f func()) { f() }, quit: func() {},
		}, path)
		w.win.Close()
	}
}

func TestEditsInTheRoutinesViewOutliveTheWindow(t *testing.T) {
	for _, tt := range []struct {
		name string
		keys []string
	}{{"closed there", nil}, {"left for the Stand", []string{"F2"}}} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "runs.yaml", runs)
			r := newRig(t, dir, path)
			r.press("F3")
			tapButton(t, r.routines.Object(), "Add")
			r.press(tt.keys...)
			if len(tt.keys) == 0 {
				r.leave()
			}
			if !strings.Contains(r.read(path), "name: New step") {
				t.Errorf("the step is lost:\n%s", r.read(path))
			}
		})
	}
}

// tapButton taps the button of that label.
func tapButton(t *testing.T, in fyne.CanvasObject, label string) {
	t.Helper()
	for _, o := range test.LaidOutObjects(in) {
		if b, ok := o.(fyne.Tappable); ok && buttonText(o) == label {
			b.Tapped(&fyne.PointEvent{})
			return
		}
	}
	t.Fatalf("no button %q", label)
}

// buttonText is what stands on a button, if o is one.
func buttonText(o fyne.CanvasObject) string {
	w, ok := o.(fyne.Widget)
	if !ok {
		return ""
	}
	for _, o := range test.WidgetRenderer(w).Objects() {
		if label, ok := o.(*widget.RichText); ok {
			return label.String()
		}
	}
	return ""
}

func TestARunningClickIsShownAndStoppedInEveryView(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	tabs := func() int { return r.root.header.Tabs() }
	views := tabs()
	r.press("Space", "F3", "Space")
	if r.view().State.Running {
		t.Error("space does not stop a click that was started under the cautions")
	}
	r.press("F2", "Return", "Space", "F3")
	if tabs() != views+1 {
		t.Fatalf("%d tabs, want one that stops the click too", tabs())
	}
	pressOn := func(o fyne.Focusable, name fyne.KeyName) {
		r.win.Canvas().Focus(o)
		o.(desktop.Keyable).KeyDown(&fyne.KeyEvent{Name: name})
		o.TypedKey(&fyne.KeyEvent{Name: name})
	}
	button := focusable(t, r.routines.Object(), "New")
	pressOn(button, fyne.KeySpace)
	if r.view().State.Running || tabs() != views {
		t.Error("space does not stop the click while a button has the focus")
	}
	r.press("Space")
	r.root.header.Tapped(&fyne.PointEvent{Position: r.root.header.TabAt(0)})
	if r.view().State.Running || tabs() != views {
		t.Error("the header does not stop the click")
	}
	pressOn(button, fyne.KeyF2)
	if r.root.view != viewStand {
		t.Error("F2 does not lead to the Stand while a button has the focus")
	}
}

// focusable is the button of that label.
func focusable(t *testing.T, in fyne.CanvasObject, label string) fyne.Focusable {
	t.Helper()
	for _, o := range test.LaidOutObjects(in) {
		if f, ok := o.(fyne.Focusable); ok && buttonText(o) == label {
			return f
		}
	}
	t.Fatalf("no button %q", label)
	return nil
}

func TestSlotsThereAndBackLeaveTheFile(t *testing.T) {
	dir := t.TempDir()
	text := strings.Replace(runs, "slots: 4\n    pulse", "slots: 4 # sixteenths\n    dynamics: f pp mf - # as the teacher hears it\n    pulse", 1)
	path := write(t, dir, "runs.yaml", text)
	r := newRig(t, dir, path)
	for _, saved := range []bool{false, true} {
		r.press("s", "s")
		if saved {
			r.wait(3 * time.Second)
			if r.read(path) == text {
				t.Fatal("the edit was not saved")
			}
		}
		r.press("S", "S")
		r.wait(3 * time.Second)
		if got := r.read(path); got != text {
			t.Errorf("saved between: %v; the file is\n%s", saved, got)
		}
	}
}

func TestThePaletteChangesInTheRoutinesViewToo(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.setPalette(look.ChooseDay)
	r.resize(1200, 780)
	r.press("F3")
	r.setPalette(look.ChooseNight)
	got := r.win.Canvas().Capture()
	r.press("F2", "F3")
	if n := different(got, r.win.Canvas().Capture()); n > 0 {
		t.Errorf("%d pixels are of the day still", n)
	}
}

func TestAStepWithAFaultKeepsTheWindowOpenOnce(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	r.press("F3")
	for _, o := range test.LaidOutObjects(r.routines.Object()) {
		if e, ok := o.(interface {
			SetText(string)
			SetPlaceHolder(string)
		}); ok {
			e.SetText("") // a routine has a name
			break
		}
	}
	r.leave()
	if r.closed || r.root.view != viewRoutines {
		t.Fatalf("closed %v, view %s: the window closed over edits that are not saved", r.closed, r.root.view)
	}
	r.leave()
	if !r.closed || r.read(path) != runs {
		t.Error("the second try does not close it")
	}
}

// A gap in silence is heard by nobody, and told to nobody.
func TestGapsInSilenceAreNotTold(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.out.dry = 7
	r.second()
	if got := r.notices.of[noticeGaps].Text; got != "" {
		t.Errorf("in silence it says %q", got)
	}
	r.press("Space")
	r.out.dry = 8
	r.second()
	if got := r.notices.of[noticeGaps].Text; !strings.Contains(got, "once") {
		t.Errorf("while the click runs it says %q", got)
	}
}

// The help shows keys; it does not let them edit what is not seen.
func TestTheHelpEditsNothing(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	before := r.view().State.Step()
	r.press("F1", "]", "h", "s", "l", "7")
	if after := r.view().State.Step(); !reflect.DeepEqual(before, after) {
		t.Errorf("keys in the help changed the step to %+v", after)
	}
}

// A player who gives a verdict another key keeps the pedal.
func TestAnotherKeyLeavesThePedal(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.press("F1")
	r.help.pick(string(keys.Clean))
	r.press("x")
	if got := r.keys.Keys(keys.Clean); !slices.Equal(got, []string{"X", "Next"}) && !slices.Equal(got, []string{"x", "Next"}) {
		t.Errorf("the keys for clean are %v", got)
	}
}
