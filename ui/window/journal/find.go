package journal

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// findEntry is where what is looked for is typed.
type findEntry struct {
	widget.Entry
	done func()
}

func newFindEntry(text string, changed func(string), done func()) *findEntry {
	e := &findEntry{done: done}
	e.ExtendBaseWidget(e)
	e.SetPlaceHolder("a pencil mark, a piece, a step")
	e.SetText(text)
	e.OnChanged = changed
	e.OnSubmitted = func(string) { done() }
	return e
}

// TypedKey is for Fyne.
func (e *findEntry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape {
		e.SetText("")
		e.done()
		return
	}
	e.Entry.TypedKey(k)
}

// FocusLost is for Fyne.
func (e *findEntry) FocusLost() {
	e.Entry.FocusLost()
	e.done()
}

// find opens the field in which what is looked for is typed.
func (v *View) find() {
	if v.entry != nil {
		return
	}
	v.said = ""
	v.entry = newFindEntry(v.text, v.lookFor, v.found)
	v.p.entry = v.entry
	v.p.below.Hide()
	v.p.root.Add(v.entry)
	v.p.Layout(nil, v.p.root.Size())
	v.p.root.Refresh() // what is new to a canvas cannot ask for a repaint itself
	if c := fyne.CurrentApp().Driver().CanvasForObject(v.p.root); c != nil {
		c.Focus(v.entry)
	}
}

// lookFor looks for a text, of whatever step.
func (v *View) lookFor(text string) {
	v.text, v.first = strings.TrimSpace(text), 0
	v.load()
}

// found closes the field; what is looked for stays.
func (v *View) found() {
	e := v.entry
	if e == nil {
		return
	}
	v.entry, v.p.entry = nil, nil
	if c := fyne.CurrentApp().Driver().CanvasForObject(v.p.root); c != nil && c.Focused() == e {
		c.Unfocus()
	}
	v.p.root.Remove(e)
	v.p.below.Show()
	v.p.root.Refresh()
	v.show()
}
