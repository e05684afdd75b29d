package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"

	"footing/ui/window/routines"
)

// A score that is dropped on the window, whatever is shown, is a new routine; its
// notes come up, and Enter practises the first bar.
func TestAScoreIsDroppedAndPractised(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.set.setCautionsSeen()
	r.root.closeCard()
	path := write(t, t.TempDir(), "weir.musicxml", score)
	r.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(path)})
	if r.root.view != viewPassage {
		t.Fatalf("%q is shown", r.root.view)
	}
	s := r.view().State
	if s.Routine.Name != "weir" || s.Step().Passage.From != 17 || s.Step().Passage.To != 20 || s.Step().Chunk.Bar != 17 || s.Step().Notes.Score.File != "weir.musicxml" {
		t.Errorf("the step is %+v", s.Step())
	}
	if data, err := os.ReadFile(filepath.Join(dir, "weir.musicxml")); err != nil || string(data) != score {
		t.Errorf("the copy holds %q, %v", data, err)
	}
	r.press("Return", "Space")
	if s := r.view().State; r.root.view != viewStand || !s.Running {
		t.Errorf("Enter and Space lead to %q, running %v", r.root.view, s.Running)
	}
	r.press("]")
	r.wait(5e9)
	if text := r.read(filepath.Join(dir, "weir.yaml")); !strings.Contains(text, "score: weir.musicxml") || !strings.Contains(text, "beats: 5") {
		t.Errorf("the file is\n%s", text)
	}
}

// A score on the command line is opened like one that is dropped; the Stand has
// what it had.
func TestAScoreOnTheCommandLine(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "a-runs.yaml", runs)
	r := newRig(t, dir, write(t, t.TempDir(), "weir.xml", score))
	if s := r.view().State; r.root.view != viewPassage || s.Routine.Name != "weir" {
		t.Errorf("%q shows %q", r.root.view, s.Routine.Name)
	}
	r = newRigIn(t, r.app, dir, write(t, t.TempDir(), "bad.mxl", "no archive"))
	if s := r.view().State; r.root.view != viewRoutines || s.Routine.Name != "weir" {
		t.Errorf("with a bad score %q shows %q", r.root.view, s.Routine.Name)
	}
	r.press("Escape")
	if r.root.view != viewStand {
		t.Errorf("Escape leads to %q", r.root.view)
	}
}

// A drop of a score while another is chosen, or of nothing, harms nothing.
func TestDropsOfAllKinds(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.dropped(fyne.Position{}, nil)
	if r.root.view != viewStand {
		t.Errorf("a drop of nothing leads to %q", r.root.view)
	}
	goOn := r.slow()
	first, second := write(t, t.TempDir(), "one.xml", score), write(t, t.TempDir(), "two.xml", score)
	r.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(first)})
	r.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(second)})
	for range 6 {
		goOn()
	}
	if s := r.view().State; s.Routine.Name != "two" || r.root.view != viewPassage {
		t.Errorf("%q shows %q", r.root.view, s.Routine.Name)
	}
	if _, err := os.Stat(filepath.Join(dir, "one.xml")); err == nil {
		t.Error("the score that was given up is kept")
	}
}

// A tune that the program is started with is told what to do with, and is no routine.
func TestATuneIsNoRoutine(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "a-runs.yaml", runs)
	r := newRig(t, dir, write(t, t.TempDir(), "weir.abc", "X:1\nK:C\nCDEF|\n"))
	if r.root.view != viewRoutines || r.view().State.Routine.Name != "Morning runs" {
		t.Errorf("%q is shown, with %q at the Stand", r.root.view, r.view().State.Routine.Name)
	}
}

// Ctrl+O asks for a file, in whatever view; Escape ends that, and nothing else.
func TestAFileIsAskedFor(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	r.set.setCautionsSeen()
	r.root.closeCard()
	r.win.Canvas().(fyne.Shortcutable).TypedShortcut(routines.OpenShortcut())
	if !r.routines.Picks() || r.root.view != viewRoutines {
		t.Fatal("no file is asked for")
	}
	r.ask() // once is enough
	r.press("F2", "n")
	if r.root.view != viewRoutines || r.view().State.StepAt != 0 {
		t.Error("a key reaches what lies under the choice")
	}
	r.press("Escape")
	if r.routines.Picks() || r.win.Canvas().Overlays().Top() != nil || r.root.view != viewRoutines {
		t.Error("Escape does not end the choice alone")
	}
	r.press("Escape")
	if r.root.view != viewStand {
		t.Error("after that Escape leads nowhere")
	}
}
