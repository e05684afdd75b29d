package passage

import (
	"slices"

	"fyne.io/fyne/v2"

	"footing/ladder"
	"footing/ui/window/field"
)

// noteOf is a note of a step of a routine in a file.
type noteOf struct {
	path       string
	step, note int
}

// markEntry is the text of a mark while it is written.
type markEntry struct {
	*field.Entry
	of noteOf
}

func newMarkEntry(of noteOf, text string, done func(keep bool)) *markEntry {
	e := field.New(text, "a few words on this note, R or L, a finger; nothing takes the mark away", done)
	e.Fit(markLine)
	return &markEntry{e, of}
}

// markLine is a text made fit to be a mark, while it is typed.
func markLine(text string) string {
	line := []rune(ladder.Line(text))
	return string(line[:min(len(line), ladder.MaxMark)])
}

// write opens the mark of the note under the cursor for writing.
func (v *View) write() {
	if v.entry != nil {
		return
	}
	v.toCursor()
	step, text := v.step(), ""
	if at := v.marked(step, v.cursor); at >= 0 {
		text = step.Notes.Marks[at].Text
	}
	v.entry = newMarkEntry(v.noteOf(v.cursor), text, v.wrote)
	v.p.entry = v.entry.Entry
	v.p.below.Hide()
	field.Open(v.p.root, v.entry.Entry)
	v.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEnd})
}

// wrote keeps the mark, or not, and closes its entry.
func (v *View) wrote(keep bool) {
	e := v.entry
	if e == nil {
		return
	}
	v.entry, v.p.entry = nil, nil
	v.p.below.Show()
	field.Close(v.p.root, e.Entry)
	v.said = ""
	if keep {
		if faults := v.keep(e); len(faults) > 0 {
			v.said = faults[0].Error()
		}
	}
	v.Refresh()
	v.show()
}

// noteOf is a note of the step that is shown.
func (v *View) noteOf(note int) noteOf {
	return noteOf{v.o.Path(), v.o.Desk.View().State.StepAt, note}
}

// keep makes what is typed the mark of its note, and reports what is wrong with
// it; the name of a fingering stays. Without a text the mark goes. Where another
// step is shown meanwhile nothing is kept. It touches no widget.
func (v *View) keep(e *markEntry) []ladder.Fault {
	note := e.of.note
	if v.found == nil || note >= len(v.found.All) || e.of != v.noteOf(note) {
		return nil
	}
	text := ladder.Name(e.Text)
	n, step := v.found, v.step()
	at := v.marked(step, note)
	if at < 0 && text == "" || at >= 0 && step.Notes.Marks[at].Text == text {
		return nil
	}
	bar, place := placeOf(n, step, note)
	marks := slices.Clone(step.Notes.Marks)
	switch {
	case at < 0:
		marks = append(marks, ladder.NoteMark{Bar: bar, At: place, Text: text})
	case text == "" && marks[at].Finger == "":
		marks = slices.Delete(marks, at, at+1)
	default:
		marks[at].Text = text
	}
	if len(marks) == 0 {
		marks = nil
	}
	return v.o.Desk.Change(func(s ladder.Step) ladder.Step { s.Notes.Marks = marks; return s })
}
