package stand

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
)

// pencilEntry is the note while it is written: Enter keeps it, Escape does not,
// and so does a click elsewhere.
type pencilEntry struct {
	widget.Entry
	done func(keep bool)
}

func newPencilEntry(text string, done func(keep bool)) *pencilEntry {
	e := &pencilEntry{done: done}
	e.ExtendBaseWidget(e)
	e.Wrapping = fyne.TextWrapOff
	e.SetText(text)
	e.CursorColumn = len([]rune(text))
	e.OnSubmitted = func(string) { done(true) }
	return e
}

// TypedKey is for Fyne.
func (e *pencilEntry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.done(false)
		return
	}
	e.Entry.TypedKey(k)
}

// FocusLost is for Fyne.
func (e *pencilEntry) FocusLost() {
	e.Entry.FocusLost()
	e.done(true)
}

// write opens the note for writing, in its place.
func (s *Stand) write() {
	if s.entry != nil {
		return
	}
	step := s.o.Desk.View().State.Step()
	s.entry = newPencilEntry(step.Pencil, s.wrote)
	s.p.edit = s.entry
	s.p.status.Hide()
	s.p.pencil.SetWriting(true)
	s.p.root.Add(s.entry)
	s.p.Layout(nil, s.p.root.Size())
	s.p.root.Refresh() // what is new to a canvas can not ask for a repaint itself
	if c := fyne.CurrentApp().Driver().CanvasForObject(s.p.root); c != nil {
		c.Focus(s.entry)
	}
}

// wrote keeps the note, or not, and closes it.
func (s *Stand) wrote(keep bool) {
	if s.entry == nil {
		return
	}
	text := strings.TrimSpace(s.entry.Text)
	s.closePencil()
	if keep && text != s.o.Desk.View().State.Step().Pencil {
		s.change(func(t ladder.Step) ladder.Step { t.Pencil = text; return t })
	}
	s.Refresh()
}

func (s *Stand) closePencil() {
	e := s.entry
	if e == nil {
		return
	}
	s.entry, s.p.edit = nil, nil
	s.p.status.Show()
	s.p.pencil.SetWriting(false)
	s.p.Layout(nil, s.p.root.Size())
	if c := fyne.CurrentApp().Driver().CanvasForObject(s.p.root); c != nil && c.Focused() == e {
		c.Unfocus()
	}
	s.p.root.Remove(e)
	s.p.root.Refresh()
}
