package window

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"footing/ladder/routine"
)

// inFolder are the names in a folder.
func inFolder(t *testing.T, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return strings.Join(names, ", ")
}

// field is the input of the Routines view that holds the text.
func (r *rig) field(text string) interface{ SetText(string) } {
	r.t.Helper()
	for _, o := range test.LaidOutObjects(r.routines.Object()) {
		if e, ok := o.(interface{ SetText(string) }); ok {
			in := reflect.ValueOf(o).Elem().FieldByName("Entry")
			if in.IsValid() && in.FieldByName("Text").String() == text {
				return e
			}
		}
	}
	r.t.Fatalf("no field holds %q", text)
	return nil
}

// Another program has changed the file, and the player edits at the Stand after
// a look at the Routines.
func TestEditsAtTheStandOutliveALookAtTheRoutines(t *testing.T) {
	theirs := strings.Replace(runs, "slots: 4\n    pulse", "slots: 4\n    reps: 7\n    pulse", 1)
	for _, tt := range []struct {
		name  string
		keys  []string
		files string
	}{
		{"with an edit", []string{"F3", "F2", "]", "]"}, "runs 2.yaml, runs.yaml"},
		{"without one", []string{"F3", "F2"}, "runs.yaml"},
		{"and back again", []string{"F3", "F2", "]", "]", "F3", "F2", "F3"}, "runs 2.yaml, runs.yaml"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "runs.yaml", runs)
			r := newRig(t, dir, path)
			write(t, dir, "runs.yaml", theirs)
			r.press(tt.keys...)
			r.leave()
			if !r.closed {
				t.Error("the window stays open")
			}
			if got := inFolder(t, dir); got != tt.files {
				t.Fatalf("in the folder are %s, want %s", got, tt.files)
			}
			if r.read(path) != theirs {
				t.Error("the other's work was written over")
			}
			if mine := "runs 2.yaml"; strings.Contains(tt.files, mine) && !strings.Contains(r.read(filepath.Join(dir, mine)), "beats: 4") {
				t.Errorf("the edit is lost:\n%s", r.read(filepath.Join(dir, mine)))
			}
		})
	}
}

// A text that cannot be read keeps nothing else back, and what the Stand does
// meanwhile stays.
func TestATextAtFaultRevertsNothing(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	r.press("F3")
	r.field("17-20").SetText("17-20x")
	r.field("whisper key off before the high A").SetText("left thumb")
	r.press("F2", "]", "]")
	r.wait(3 * time.Second)
	if got := r.read(path); !strings.Contains(got, "beats: 4") || !strings.Contains(got, "left thumb") {
		t.Errorf("with a fault in the bars the file is\n%s", got)
	}
	r.press("F3")
	r.field("17-20x").SetText("17-22")
	r.press("F2")
	r.wait(3 * time.Second)
	got := r.read(path)
	for _, want := range []string{"bars: 17-22", "beats: 4", "left thumb"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in the file:\n%s", want, got)
		}
	}
}

// When a signal ends the program its loop is over, but what was typed is still
// in the widgets.
func TestWhatIsTypedOutlivesAnyEnd(t *testing.T) {
	for _, tt := range []struct {
		name, want string
		typed      func(r *rig)
	}{
		{"in the pencil mark", "high A early", func(r *rig) {
			r.press("w")
			for _, c := range " early" {
				r.win.Canvas().Focused().TypedRune(c)
			}
		}},
		{"in a field", "bars: 17-22", func(r *rig) {
			r.press("F3")
			r.field("17-20").SetText("17-22")
		}},
		{"beside one at fault", "left thumb", func(r *rig) {
			r.press("F3")
			r.field("17-20").SetText("17-20x")
			r.field("whisper key off before the high A").SetText("left thumb")
		}},
		{"in the routine's name", "name: Evening runs", func(r *rig) {
			r.press("F3")
			r.field("Morning runs").SetText("Evening runs")
		}},
		{"at the Stand", "beats: 3", func(r *rig) { r.press("]") }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "runs.yaml", runs)
			r := newRig(t, dir, path)
			tt.typed(r)
			err := r.close(nil)
			if got := r.read(path); !strings.Contains(got, tt.want) {
				t.Errorf("%q is lost (%v):\n%s", tt.want, err, got)
			}
		})
	}
}

// What cannot be read has no place in the file; it waits in its field.
func TestWhatCanNotBeReadIsThereAgainAtTheNextStart(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	app := test.NewTempApp(t)
	r := newRigIn(t, app, dir, path)
	r.press("n", "F3")
	r.field("21-24").SetText("21-24 and")
	_ = r.close(nil) // by a signal; what it says is for the terminal
	again := newRigIn(t, app, dir, path)
	again.press("v", "F3")
	again.field("21-24 and").SetText("21-25")
	again.press("F2", "F3")
	if got := again.read(path); !strings.Contains(got, "bars: 21-25") {
		t.Errorf("the file is\n%s", got)
	}
	_ = again.close(nil)
	last := newRigIn(t, app, dir, path)
	last.press("n", "F3")
	last.field("21-25")
}

// Where an edit cannot be saved at an end that nobody sees, it is there again at the
// next start, together with what became of the file meanwhile.
func TestWhatCouldNotBeSavedIsThereAgainAtTheNextStart(t *testing.T) {
	for _, tt := range []struct {
		name   string
		edit   func(r *rig)
		end    func(r *rig)
		mine   string // "" where nothing comes again
		theirs string
	}{
		{"by a signal", func(r *rig) { r.press("]") }, func(*rig) {}, "beats: 3", ""},
		{"changed meanwhile", func(r *rig) { r.press("]") }, func(*rig) {}, "beats: 3", "reps: 7"},
		{"in the Routines", func(r *rig) {
			r.press("F3")
			r.field("whisper key off before the high A").SetText("left thumb")
		}, func(*rig) {}, "left thumb", ""},
		{"the player left without it", func(r *rig) { r.press("]") }, func(r *rig) {
			r.leave()
			r.leave()
		}, "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "routines")
			if err := os.Mkdir(dir, 0o700); err != nil {
				t.Fatal(err)
			}
			path := write(t, dir, "runs.yaml", runs)
			app := test.NewTempApp(t)
			r := newRigIn(t, app, dir, path)
			tt.edit(r)
			if err := os.Rename(dir, dir+".away"); err != nil {
				t.Fatal(err)
			}
			tt.end(r)
			if err := r.close(nil); (err == nil) != (tt.mine == "") {
				t.Fatalf("the end says %v", err)
			}
			if err := os.Rename(dir+".away", dir); err != nil {
				t.Fatal(err)
			}
			if tt.theirs != "" {
				write(t, dir, "runs.yaml", strings.Replace(runs, "slots: 4\n    pulse", "slots: 4\n    "+tt.theirs+"\n    pulse", 1))
			}
			again := newRigIn(t, app, dir, path)
			if said := again.notices.top().Text; strings.Contains(said, "here they are again") != (tt.mine != "") {
				t.Errorf("it says %q", said)
			}
			again.wait(3 * time.Second)
			if got := again.read(path); !strings.Contains(got, tt.mine) || !strings.Contains(got, tt.theirs) || tt.mine == "" && got != runs {
				t.Errorf("the file is\n%s", got)
			}
			again.chosen("")
			if said := again.notices.top().Text; said != "" {
				t.Errorf("waved away, it says %q", said)
			}
			_ = again.close(nil)
			if last := newRigIn(t, app, dir, path); last.notices.top().Text != "" {
				t.Errorf("at the start after that it says %q", last.notices.top().Text)
			}
		})
	}
}

// A name that another step has waits in its field, and keeps nothing else back.
func TestTheNameOfAnotherStepIsThereAgainAtTheNextStart(t *testing.T) {
	for _, tt := range []struct {
		name, mine, others string
		keys               []string
	}{
		{"an earlier step's", "Slow settling", "Weir Street run", []string{"n", "F3"}},
		{"a later step's", "Weir Street run", "Slow settling", []string{"F3"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "runs.yaml", runs)
			app := test.NewTempApp(t)
			r := newRigIn(t, app, dir, path)
			r.press(tt.keys...)
			r.field(tt.mine).SetText(tt.others)
			r.field("5").SetText("9") // reps
			_ = r.close(nil)
			if got := r.read(path); !strings.Contains(got, "reps: 9") || strings.Count(got, tt.mine) != 1 || strings.Count(got, tt.others) != 1 {
				t.Fatalf("the file is\n%s", got)
			}
			again := newRigIn(t, app, dir, path)
			again.press("F3")
			again.field("9")
			again.field(tt.others).SetText("Third")
			again.press("F2")
			if got := again.read(path); !strings.Contains(got, "name: Third") || strings.Contains(got, tt.mine) || !strings.Contains(got, tt.others) {
				t.Errorf("the file is\n%s", got)
			}
		})
	}
}

// What waits for the disk keeps neither the click nor the window waiting.
func TestASlowDiskHoldsNothingUp(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	goOn := r.slow()
	r.press("]", "F3")
	r.wait(3 * time.Second)
	r.press("F2", "Space")
	r.play(7.2)
	r.press("Right")
	r.play(6)
	if r.read(path) != runs || len(r.played) != 0 {
		t.Fatal("something was written by whoever should not wait for the disk")
	}
	r.leave()
	if r.closed || !strings.HasPrefix(r.notices.top().Text, "Saving") {
		t.Errorf("closed %v before all is saved; the notice is %+v", r.closed, r.notices.top())
	}
	goOn()
	if !r.closed || !strings.Contains(r.read(path), "beats: 3") || len(r.played) == 0 {
		t.Errorf("once the disk is there: closed %v, %d reps recorded\n%s", r.closed, len(r.played), r.read(path))
	}
}

func TestADiskThatNeverAnswersKeepsTheWindowOpenOnce(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.slow()
	r.press("]")
	r.leave()
	r.leave()
	if !r.closed {
		t.Error("the second try does not close the window")
	}
	late := make(chan time.Time)
	close(late)
	if err := r.close(late); err != nil {
		t.Errorf("the player knows, and is told again: %v", err)
	}
	again := newRig(t, dir, filepath.Join(dir, "runs.yaml"))
	again.slow()
	again.press("]")
	if err := again.close(late); err == nil || !strings.Contains(err.Error(), "disk") {
		t.Errorf("an end by a signal, with a disk that does not answer, says %v", err)
	}
}

// The choice on a file that was changed elsewhere is the same in every view.
func TestTheChoiceIsTheSameInEveryView(t *testing.T) {
	for _, view := range []string{"F2", "F3", "F1"} {
		for _, key := range []string{"F6", "F7"} {
			t.Run(view+" "+key, func(t *testing.T) {
				dir := t.TempDir()
				path := write(t, dir, "runs.yaml", runs)
				r := newRig(t, dir, path)
				theirs := strings.Replace(runs, "beats: 2", "beats: 1", 1)
				write(t, dir, "runs.yaml", theirs)
				r.press("]", view)
				r.wait(3 * time.Second)
				if view != "F2" && !r.root.lined() || len(r.notices.top().Choices) != 2 {
					t.Fatalf("in this view nothing is asked: %+v", r.notices.top())
				}
				at := r.root.view
				r.press(key)
				want := map[string]string{"F6": "runs 2.yaml, runs.yaml", "F7": "runs.yaml"}[key]
				if got := inFolder(t, dir); got != want || r.root.lined() || r.root.view != at {
					t.Errorf("then there are %s, want %s; the notice stays: %v; the view is %s, was %s", got, want, r.root.lined(), r.root.view, at)
				}
				r.press("F3")
				beats := map[string]string{"F6": "3", "F7": "1"}[key]
				r.field(beats)
				r.leave()
				if got := inFolder(t, dir); got != want || r.read(path) != theirs {
					t.Errorf("after the end there are %s", got)
				}
			})
		}
	}
}

func TestAnotherRoutineThatWasChangedElsewhereIsNamed(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	other := write(t, dir, "other.yaml", "footing: 1\nname: Other\nsteps:\n  - name: Only\n")
	r.at(viewRoutines)
	f, err := routine.Load(other)
	if err != nil || f == nil {
		t.Fatal(err)
	}
	r.press("F3", "Down", "Down")
	r.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	r.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	r.field("Other").SetText("Others")
	write(t, dir, "other.yaml", "footing: 1\nname: Theirs\nsteps:\n  - name: Only\n")
	r.press("F2")
	if got := r.notices.top().Text; !strings.HasPrefix(got, "“Others” was changed") {
		t.Errorf("the notice is %q", got)
	}
	r.press("F6")
	if got := inFolder(t, dir); got != "other 2.yaml, other.yaml, runs.yaml" {
		t.Errorf("in the folder are %s", got)
	}
}

// What a second try to close does can be read in the smallest window.
func TestWhatClosingOnceMoreDoesIsNeverCutOff(t *testing.T) {
	dir := filepath.Join(t.TempDir(), strings.Repeat("a folder with a long name ", 4))
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	r := newRig(t, dir, write(t, dir, "a routine that has a rather long name, as they grow.yaml", runs))
	r.resize(900, 600)
	r.press("]", "Return")
	if err := os.Rename(dir, dir+".away"); err != nil {
		t.Fatal(err)
	}
	r.leave()
	said := ""
	for _, o := range test.LaidOutObjects(r.stand.Object()) {
		if l, ok := o.(*canvas.Text); ok {
			if l.Text == "close once more to leave without it" {
				if right := l.Position().X + fyne.MeasureText(l.Text, l.TextSize, l.TextStyle).Width; right > 900 {
					t.Errorf("it ends at %v, out of the window", right)
				}
			}
			said += l.Text + "\n"
		}
	}
	if r.closed || !strings.Contains(said, "close once more to leave without it\n") || !strings.Contains(said, "Not saved") {
		t.Errorf("closed %v; it says\n%s", r.closed, said)
	}
}

func TestGapsInTheSoundAreSaidQuietly(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.press("Space")
	r.wait(time.Second)
	r.out.dry = 2
	r.wait(time.Second)
	if got := r.notices.top(); !strings.Contains(got.Text, "2 times") || got.Warm {
		t.Errorf("the notice is %+v", got)
	}
	r.out.line = "No sound device."
	r.wait(time.Second)
	if got := r.notices.top().Text; got != r.out.line {
		t.Errorf("it stands before what matters more: %q", got)
	}
	r.out.line = ""
	r.wait(gapsShown)
	if got := r.notices.top().Text; got != "" {
		t.Errorf("it stays: %q", got)
	}
}

// drawn is a window that knows whether its graphics context is current.
type drawn struct {
	fyne.Window
	current bool
}

func (w *drawn) RunWithContext(f func()) {
	w.current = true
	f()
	w.current = false
}

// Otherwise the card keeps the old textures: some 0.7 MB a change of palette.
func TestThePaletteChangesWhileTheContextIsCurrent(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	w := &drawn{Window: r.Window.win}
	r.Window.win = w
	changed, current := 0, false
	r.app.Settings().AddListener(func(fyne.Settings) { changed, current = changed+1, w.current })
	r.press("F4")
	if changed != 1 || !current {
		t.Errorf("%d changes, the context current at the last: %v", changed, current)
	}
}
