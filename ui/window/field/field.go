// Package field has the text field that opens over a view while something is
// typed, and its keys.
package field

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
)

// Entry is where a text is typed: Enter keeps it, and so does a click elsewhere;
// Escape does not. Like every widget it belongs to Fyne's main goroutine.
type Entry struct {
	widget.Entry
	done func(keep bool)
}

// New makes a field of one line. done may be told twice, since a field that is
// closed by a key loses the focus, too.
func New(text, hint string, done func(keep bool)) *Entry {
	e := &Entry{}
	e.ExtendBaseWidget(e)
	e.Init(text, done)
	e.PlaceHolder = hint
	return e
}

// Init sets up a field that another widget holds, which has extended itself.
func (e *Entry) Init(text string, done func(keep bool)) {
	e.done = done
	e.SetText(text)
}

// Fit has whatever is typed or pasted from now on made fit, as [ladder.Typed]
// does it.
func (e *Entry) Fit(fit func(string) string) {
	before := e.Text
	e.OnChanged = func(text string) {
		if fitted := ladder.Typed(before, text, fit); fitted != text {
			e.SetText(fitted)
			return
		}
		before = text
	}
}

// TypedKey is for Fyne.
func (e *Entry) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyEscape:
		e.done(false)
	case fyne.KeyReturn, fyne.KeyEnter:
		e.done(true)
	default:
		e.Entry.TypedKey(k)
	}
}

// FocusLost is for Fyne.
func (e *Entry) FocusLost() {
	e.Entry.FocusLost()
	e.done(true)
}

// Object is a field, or a widget that holds one.
type Object interface {
	fyne.CanvasObject
	fyne.Focusable
}

// Open adds a field to a view, whose layout has to have a place for it already,
// and gives it the focus.
func Open(root *fyne.Container, e Object) {
	root.Add(e)
	root.Refresh() // what is new to a canvas cannot ask for a repaint itself
	if c := fyne.CurrentApp().Driver().CanvasForObject(root); c != nil {
		c.Focus(e)
	}
}

// Place lays a field out in place of a line of a view: upwards beyond it where it
// needs more height, and off what stands under it.
func Place(e fyne.CanvasObject, x, y, width, height float32) {
	const off = 3
	tall := max(height-off, e.MinSize().Height)
	e.Move(fyne.NewPos(x, y+height-off-tall))
	e.Resize(fyne.NewSize(width, tall))
}

// Close takes a field out of a view. The field loses the focus, and says so, if
// it has it: whoever closes it must not take that for another end.
func Close(root *fyne.Container, e Object) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(root); c != nil && c.Focused() == fyne.Focusable(e) {
		c.Unfocus()
	}
	root.Remove(e)
	root.Refresh()
}
