package routines

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

// newNoted is a view on a step with typed notes, another with a pattern, and one
// of a score.
func newNoted(t *testing.T) *rig {
	t.Helper()
	r := newRig(t)
	r.write("noted.yaml", `footing: 1
name: Noted
instrument: bassoon
steps:
  - name: Typed # by ear
    notes: C,D,E,F, G,A,B,C | # the scale
  - name: Made
    passage: {bars: 1-4}
    pattern: {key: E flat major, octaves: 2}
  - name: Scored
    score: {file: duo.xml, part: Horns}
`)
	r.write("duo.xml", duo)
	r.Enter() // lists them
	r.pick("Noted")
	return r
}

// typeNotes types into the field of the notes, at its end.
func (r *rig) typeNotes(text string) {
	e := r.form.inputs[notesKey].object.(*entry)
	lines := strings.Split(e.Text, "\n")
	e.CursorRow, e.CursorColumn = len(lines)-1, len([]rune(lines[len(lines)-1]))
	for _, c := range text {
		if c == '\n' {
			e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		} else {
			e.TypedRune(c)
		}
	}
}

// The notes are drawn as one types, with a line on what is wrong and where.
func TestNotesAreDrawnAsTheyAreTyped(t *testing.T) {
	r := newNoted(t)
	notes := func() int {
		if r.form.sketch.is.drawing == nil {
			return 0
		}
		return len(r.form.sketch.is.drawing.Notes)
	}
	is := func(drawn int, says string) {
		t.Helper()
		s := r.form.sketch.is
		if notes() != drawn || s.text != says && (says == "" || !strings.Contains(s.text, says)) || s.warm != (says != "") {
			t.Errorf("%d notes and %q, want %d and %q", notes(), s.text, drawn, says)
		}
	}
	is(8, "")
	r.typeNotes("\nCDEF Q")
	is(12, "Line 2, column 6: ") // what could be drawn last stays
	e := r.form.inputs[notesKey].object.(*entry)
	e.TypedKey(&fyne.KeyEvent{Name: fyne.KeyBackspace})
	is(12, "The notes go on to bar 2, the passage to bar 1; write bars: 1-2")
	r.form.inputs["passage bars"].set("1-2")
	is(12, "")
	if r.form.sketch.box.MinSize().Height < 40 || r.form.sketch.box.Size().Height < 40 {
		t.Errorf("the drawing has room of %v", r.form.sketch.box.Size())
	}
	r.typeNotes("\n")
	r.Refresh()
	r.show()
	if !strings.HasSuffix(e.Text, "\n") {
		t.Error("a line that was just begun is taken away")
	}
	r.Save()
	if got := r.read("noted.yaml"); !strings.Contains(got, "- name: Typed # by ear") || !strings.Contains(got, "CDEF") {
		t.Errorf("the file is\n%s", got)
	}
	r.steps.Select(1)
	is(29, "")
	r.steps.Select(2)
	is(2, "")
}

// Tab leads on from the field, and the arrow beyond the steps leads to it.
func TestTheFieldOfNotesIsReachedByKeys(t *testing.T) {
	r := newNoted(t)
	c := r.o.Window.Canvas()
	r.Key("Right", false)
	r.steps.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if c.Focused() != fyne.Focusable(r.form.inputs[notesKey].object.(*entry)) {
		t.Fatalf("the focus is on %T", c.Focused())
	}
	if r.form.object.Offset.Y == 0 {
		t.Error("the field is not brought into view")
	}
	if e := c.Focused().(fyne.Tabbable); e.AcceptsTab() {
		t.Error("Tab stays in the field")
	}
}

// A score's part is drawn, too, and what is wrong with it is said.
func TestAScoreIsDrawn(t *testing.T) {
	r := newNoted(t)
	r.steps.Select(2)
	if s := r.form.sketch.is; s.drawing == nil || s.text != "" {
		t.Errorf("says %q", s.text)
	}
	r.form.inputs["score voice"].set("9")
	if s := r.form.sketch.is; !s.warm || !strings.Contains(s.text, `Horns has no voice "9"; write one of 1, 2`) {
		t.Errorf("says %q", s.text)
	}
	var jobs []func()
	r.o.Read = func(read, show func()) { jobs = append(jobs, func() { read(); show() }) }
	r.form.inputs["score voice"].set("2")
	if err := r.Leave(); err != nil {
		t.Fatal(err)
	}
	for _, job := range jobs {
		job()
	}
	if s := r.form.sketch.is; !s.warm {
		t.Error("a drawing that was given up is shown")
	}
}
