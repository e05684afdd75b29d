package routines

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"
)

// With arrows alone the player goes through the routines, over to the steps and
// through them.
func TestArrowsGoThroughTheLists(t *testing.T) {
	r := newRig(t)
	canvas := r.o.Window.Canvas()
	press := func(names ...fyne.KeyName) {
		t.Helper()
		for _, name := range names {
			if canvas.Focused() == nil {
				r.Key(string(name), false)
				continue
			}
			canvas.Focused().TypedKey(&fyne.KeyEvent{Name: name})
		}
	}
	check := func(routine string, step int, in fyne.Focusable) {
		t.Helper()
		if r.desk == nil || r.desk.now.Name != routine || r.desk.step != step || canvas.Focused() != in {
			t.Fatalf("%+v is open, the focus is on the files: %v, on the steps: %v; want step %d of %s",
				r.desk, canvas.Focused() == r.files, canvas.Focused() == r.steps, step, routine)
		}
	}
	press(fyne.KeyDown, fyne.KeyDown)
	check("Morning runs", 0, r.files)
	press(fyne.KeyDown, fyne.KeyDown) // and stays at the end
	check("Other", 0, r.files)
	press(fyne.KeyUp, fyne.KeyRight, fyne.KeyDown)
	check("Morning runs", 1, r.steps)
	press(fyne.KeyUp, fyne.KeyUp, fyne.KeyDown, fyne.KeyLeft)
	check("Morning runs", 1, r.files)
	canvas.Unfocus()
	press(fyne.KeyRight)
	check("Morning runs", 1, r.steps)
	if len(r.keys) > 0 {
		t.Errorf("the window was given %v", r.keys)
	}
}

// The row with the focus is the selected one, however it came to be so.
func TestTheRowWithTheFocusIsTheSelectedOne(t *testing.T) {
	r := newRig(t)
	r.pick("Other")
	r.o.Window.Canvas().Focus(r.files)
	r.files.List.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace}) // Fyne selects the row with the focus
	if r.desk.now.Name != "Other" {
		t.Errorf("the focus is on %q", r.desk.now.Name)
	}
	r.files.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	r.files.List.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if r.desk.now.Name != "Morning runs" {
		t.Errorf("one up from the second is %q", r.desk.now.Name)
	}
}

func TestNoTwoButtonsAreCalledTheSame(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	seen := map[string]bool{}
	for _, o := range test.LaidOutObjects(r.Object()) {
		w, ok := o.(fyne.Widget)
		_, choice := o.(interface{ SelectedIndex() int }) // which shows a value, as others may
		if _, tappable := o.(fyne.Tappable); !ok || !tappable || choice {
			continue
		}
		for _, o := range test.WidgetRenderer(w).Objects() {
			if label, ok := o.(*widget.RichText); ok && label.String() != "" {
				if seen[label.String()] {
					t.Errorf("two buttons are called %q", label.String())
				}
				seen[label.String()] = true
			}
		}
	}
	for _, want := range []string{"Duplicate routine", "Duplicate step"} {
		if !seen[want] {
			t.Errorf("no button is called %q: %v", want, seen)
		}
	}
}
