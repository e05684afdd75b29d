package routines

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// outward is what an input does not keep for itself: saving, and the keys that
// lead to another view.
type outward struct {
	save func()
	key  func(fyne.KeyName)
}

// leads reports whether the key is none of an input's business.
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
	out outward
}

func newEntry(out outward, example string, changed func(string)) *entry {
	e := &entry{out: out}
	e.ExtendBaseWidget(e)
	e.SetPlaceHolder(example)
	e.OnChanged = changed
	return e
}

// TypedKey is for Fyne.
func (e *entry) TypedKey(k *fyne.KeyEvent) {
	if leads(k.Name) {
		e.out.key(k.Name)
		return
	}
	e.Entry.TypedKey(k)
}

// TypedShortcut is for Fyne.
func (e *entry) TypedShortcut(s fyne.Shortcut) {
	if s.ShortcutName() == SaveShortcut().ShortcutName() {
		e.out.save()
		return
	}
	e.Entry.TypedShortcut(s)
}

// choice is one of some words.
type choice struct {
	widget.Select
	out outward
}

func newChoice(out outward, words []string, changed func(string)) *choice {
	c := &choice{out: out}
	c.Options = words
	c.OnChanged = changed
	c.ExtendBaseWidget(c)
	return c
}

// TypedKey is for Fyne.
func (c *choice) TypedKey(k *fyne.KeyEvent) {
	if leads(k.Name) {
		c.out.key(k.Name)
		return
	}
	c.Select.TypedKey(k)
}

// TypedShortcut is for Fyne.
func (c *choice) TypedShortcut(s fyne.Shortcut) {
	if s.ShortcutName() == SaveShortcut().ShortcutName() {
		c.out.save()
	}
}
