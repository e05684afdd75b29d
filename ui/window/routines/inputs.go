package routines

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
	"footing/ui/window/keys"
)

// outward is what an input does not keep for itself: saving, opening a file, writing
// into files, and the keys that are the window's.
type outward struct {
	save, open, export func()
	key                func(key string, repeat bool)
}

// takes does what a shortcut says where that is not the input's own business.
func (o outward) takes(s fyne.Shortcut) bool {
	switch s.ShortcutName() {
	case SaveShortcut().ShortcutName():
		o.save()
	case OpenShortcut().ShortcutName():
		o.open()
	case ExportShortcut().ShortcutName():
		o.export()
	default:
		return false
	}
	return true
}

// leads reports whether the key is none of an entry's business.
func leads(name fyne.KeyName) bool {
	switch name {
	case fyne.KeyEscape, fyne.KeyF1, fyne.KeyF2, fyne.KeyF3, fyne.KeyF4, fyne.KeyF5, fyne.KeyF6,
		fyne.KeyF7, fyne.KeyF8, fyne.KeyF9, fyne.KeyF10, fyne.KeyF11, fyne.KeyF12:
		return true
	}
	return false
}

// entry is a line of text.
type entry struct {
	widget.Entry
	out    outward
	fit    func(string) string // leaves out of a text what cannot be kept
	before string              // the text before an edit
}

func newEntry(out outward, example string, changed func(string)) *entry {
	e := &entry{out: out, fit: ladder.Line}
	e.ExtendBaseWidget(e)
	e.SetPlaceHolder(example)
	e.OnChanged = func(text string) {
		if fit := ladder.Typed(e.before, text, e.fit); fit != text {
			e.SetText(fit) // and is called again
			return
		}
		e.before = text
		changed(text)
	}
	return e
}

// mark shows that the text is at fault, nil that it is not. Fyne keeps room for its
// sign in entries that may have one, so only those that do are such.
func (e *entry) mark(err error) {
	e.AlwaysShowValidationError = true
	e.SetValidationError(err)
	if err == nil {
		e.AlwaysShowValidationError = false
		e.Refresh()
	}
}

// AcceptsTab is for Fyne: Tab leads on from a field of several lines, too.
func (e *entry) AcceptsTab() bool { return false }

// TypedKey is for Fyne.
func (e *entry) TypedKey(k *fyne.KeyEvent) {
	if leads(k.Name) {
		e.out.key(string(k.Name), false)
		return
	}
	e.Entry.TypedKey(k)
}

// TypedShortcut is for Fyne.
func (e *entry) TypedShortcut(s fyne.Shortcut) {
	if !e.out.takes(s) {
		e.Entry.TypedShortcut(s)
	}
}

// passing hands on the keys of a widget in which nothing is typed. Enter does
// what Space does elsewhere, since Space is the click's.
type passing struct {
	out  outward
	down bool // a key went down, and its first event has not come yet
}

// KeyDown is for Fyne.
func (p *passing) KeyDown(*fyne.KeyEvent) { p.down = true }

// KeyUp is for Fyne.
func (p *passing) KeyUp(*fyne.KeyEvent) {}

// TypedRune is for Fyne.
func (p *passing) TypedRune(c rune) {
	if k, ok := keys.Typed(c); ok {
		p.out.key(k, false)
	}
}

// TypedShortcut is for Fyne.
func (p *passing) TypedShortcut(s fyne.Shortcut) { p.out.takes(s) }

// typed gives the widget the keys that it has a use for, and the window the
// others.
func (p *passing) typed(k *fyne.KeyEvent, act func(*fyne.KeyEvent), own ...fyne.KeyName) {
	repeat := !p.down
	p.down = false
	if k.Name == fyne.KeyReturn || k.Name == fyne.KeyEnter {
		if !repeat {
			act(&fyne.KeyEvent{Name: fyne.KeySpace, Physical: k.Physical})
		}
		return
	}
	for _, name := range own {
		if k.Name == name {
			act(k)
			return
		}
	}
	if key, ok := keys.Named(k.Name); ok {
		p.out.key(key, repeat)
	}
}

var (
	_ desktop.Keyable   = (*choice)(nil)
	_ desktop.Keyable   = (*button)(nil)
	_ desktop.Keyable   = (*list)(nil)
	_ fyne.Shortcutable = (*list)(nil)
)

// choice is one of some words.
type choice struct {
	widget.Select
	passing
}

func newChoice(out outward, words []string, changed func(string)) *choice {
	c := &choice{passing: passing{out: out}}
	c.Options = words
	c.OnChanged = changed
	c.ExtendBaseWidget(c)
	return c
}

// TypedKey is for Fyne.
func (c *choice) TypedKey(k *fyne.KeyEvent) {
	c.typed(k, c.Select.TypedKey, fyne.KeyUp, fyne.KeyDown, fyne.KeyLeft, fyne.KeyRight)
}

// TypedRune is for Fyne.
func (c *choice) TypedRune(r rune) { c.passing.TypedRune(r) }

// button does something when it is tapped.
type button struct {
	widget.Button
	passing
}

func newButton(out outward, label string, tapped func()) *button {
	b := &button{passing: passing{out: out}}
	b.Text, b.OnTapped = label, func() {
		// What is typed next is not for the input that had the focus.
		if c := fyne.CurrentApp().Driver().CanvasForObject(b); c != nil && c.Focused() != nil && c.Focused() != fyne.Focusable(b) {
			c.Unfocus()
		}
		tapped()
	}
	b.ExtendBaseWidget(b)
	return b
}

// TypedKey is for Fyne.
func (b *button) TypedKey(k *fyne.KeyEvent) { b.typed(k, b.Button.TypedKey) }

// TypedRune is for Fyne.
func (b *button) TypedRune(r rune) { b.passing.TypedRune(r) }

// list is some rows, of which one is selected. Up and down select the next, left
// and right go to what is beside it.
type list struct {
	widget.List
	passing
	at          int // the selected row, or −1
	left, right *list
	enter       func() // what Enter does; nil for nothing
	beyond      func() // where right leads when there is no list there; nil for nowhere
}

func newList(out outward, length func() int, update func(widget.ListItemID, fyne.CanvasObject)) *list {
	l := &list{passing: passing{out: out}, at: -1}
	l.Length, l.CreateItem, l.UpdateItem = length, row, update
	l.OnUnselected = func(widget.ListItemID) { l.at = -1 }
	l.ExtendBaseWidget(l)
	return l
}

// selects calls f with each row that is selected.
func (l *list) selects(f func(row int)) {
	l.OnSelected = func(row widget.ListItemID) {
		l.at = row
		f(row)
	}
}

// TypedKey is for Fyne.
func (l *list) TypedKey(k *fyne.KeyEvent) {
	l.typed(k, l.arrow, fyne.KeyUp, fyne.KeyDown, fyne.KeyLeft, fyne.KeyRight)
}

func (l *list) arrow(k *fyne.KeyEvent) {
	var beside *list
	switch k.Name {
	case fyne.KeySpace:
		if l.enter != nil {
			l.enter()
		}
		return
	case fyne.KeyUp:
		l.Select(max(l.at-1, 0))
	case fyne.KeyDown:
		l.Select(min(l.at+1, l.Length()-1))
	case fyne.KeyLeft:
		beside = l.left
	case fyne.KeyRight:
		beside = l.right
	}
	c := fyne.CurrentApp().Driver().CanvasForObject(l)
	switch {
	case k.Name == fyne.KeyRight && l.beyond != nil:
		l.beyond()
	case c == nil:
	case beside == nil:
		l.ring()
	case beside.Visible() && beside.Length() > 0:
		c.Focus(beside)
	}
}

// FocusGained is for Fyne.
func (l *list) FocusGained() {
	l.List.FocusGained()
	l.ring()
}

// ring brings the mark of the row that has the focus, which Fyne moves apart from
// the selection, to the selected row.
func (l *list) ring() {
	offset := l.GetScrollOffset()
	for range l.Length() {
		l.List.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	}
	for range max(l.at, 0) {
		l.List.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	}
	l.ScrollToOffset(offset)
	if l.at >= 0 {
		l.ScrollTo(l.at)
	}
}

// TypedRune is for Fyne.
func (l *list) TypedRune(r rune) { l.passing.TypedRune(r) }
