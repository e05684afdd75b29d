package stand

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ladder"
	"footing/ui/window/field"
)

// pencilEntry is the note while it is read whole or written: Enter keeps it, and
// so does a click elsewhere; Escape does not. Shift and Enter begin a new line.
type pencilEntry struct {
	field.Entry
	shift bool // is held
}

func newPencilEntry(text string, done func(keep bool)) *pencilEntry {
	e := &pencilEntry{}
	e.ExtendBaseWidget(e)
	e.MultiLine, e.Wrapping = true, fyne.TextWrapWord
	e.Init(text, done)
	e.Fit(ladder.Lines)
	return e
}

// KeyDown is for Fyne.
func (e *pencilEntry) KeyDown(k *fyne.KeyEvent) {
	if k.Name == desktop.KeyShiftLeft || k.Name == desktop.KeyShiftRight {
		e.shift = true
	}
	e.Entry.KeyDown(k)
}

// KeyUp is for Fyne.
func (e *pencilEntry) KeyUp(k *fyne.KeyEvent) {
	if k.Name == desktop.KeyShiftLeft || k.Name == desktop.KeyShiftRight {
		e.shift = false
	}
	e.Entry.KeyUp(k)
}

// TypedKey is for Fyne.
func (e *pencilEntry) TypedKey(k *fyne.KeyEvent) {
	if e.shift && (k.Name == fyne.KeyReturn || k.Name == fyne.KeyEnter) {
		e.Entry.Entry.TypedKey(k)
		return
	}
	e.Entry.TypedKey(k)
}

// write opens the note for reading it whole and for writing, in its place.
func (s *Stand) write() {
	if s.entry != nil {
		return
	}
	step := s.o.Desk.View().State.Step()
	s.entry = newPencilEntry(step.Pencil, s.wrote)
	s.p.edit, s.p.tall = s.entry, s.p.pencil.Cut()
	s.p.status.Hide()
	if s.p.tall {
		s.p.knobs.Hide()
	}
	s.p.pencil.SetWriting(true)
	field.Open(s.p.root, s.entry)
	s.say("Enter keeps the note, Esc leaves it as it was", false)
	if !s.p.tall { // else it is read first
		s.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyPageDown})
	}
}

// wrote keeps the note, or not, and closes it.
func (s *Stand) wrote(keep bool) {
	if s.entry == nil {
		return
	}
	text := s.entry.Text
	s.closePencil()
	s.say("", false)
	if keep {
		if faults := s.keepNote(text); len(faults) > 0 {
			s.say(faults[0].Error(), true)
		}
	}
	s.Refresh()
}

// keepNote makes a text the step's note, and reports what is wrong with it. It
// touches no widget.
func (s *Stand) keepNote(text string) []ladder.Fault {
	text = ladder.Note(text)
	if text == s.o.Desk.View().State.Step().Pencil {
		return nil
	}
	return s.o.Desk.Change(func(t ladder.Step) ladder.Step { t.Pencil = text; return t })
}

func (s *Stand) closePencil() {
	e := s.entry
	if e == nil {
		return
	}
	s.entry, s.p.edit = nil, nil
	s.p.status.Show()
	s.p.knobs.Show()
	s.p.pencil.SetWriting(false)
	field.Close(s.p.root, e)
}
