package routines

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// leave goes on when nothing is lost by it: what is not saved is saved first,
// and a new routine is told where.
func (v *View) leave(on func()) {
	fault := v.hand()
	d := v.desk
	if fault == nil && (d == nil || !d.precious()) {
		on()
		return
	}
	isNew := d.doc.Path() == ""
	v.store(func() {
		if d.precious() {
			return // the player went on with it meanwhile
		}
		on()
		if isNew {
			v.say(fmt.Sprintf("“%s” is saved in %s", d.now.Name, v.shortPath(d.path())), false)
		}
	})
}

// Leave gives up a score that is not opened yet, and has the document take over
// what was edited. The error is about what it
// cannot take; that stays in its field. It touches no widget, so that it can be
// called when the window has gone.
func (v *View) Leave() error {
	v.giveUp()
	v.endSketch()
	return v.hand()
}

// hand has the document take over what was edited.
func (v *View) hand() error {
	d := v.desk
	if d == nil {
		return nil
	}
	fault := d.take(v.o.Change)
	if bad := v.form.fault; bad != nil {
		return fmt.Errorf("not saved: %s: %s", bad.field, bad.text)
	}
	return fault
}

// store saves what is edited, and goes on when all of it is safe.
func (v *View) store(on func()) {
	d := v.desk
	if d == nil {
		on()
		return
	}
	fault := v.hand()
	if fault != nil {
		v.say(fault.Error(), true)
		if !d.doc.Unsaved() {
			return
		}
	}
	d.doc.Want()
	v.o.Save(d.doc, func(err error) {
		if v.desk != d {
			return
		}
		if err == nil && fault == nil {
			v.said, v.warm = "saved", false
		}
		v.show()
		if err != nil {
			return // the window says it
		}
		v.list()
		if fault == nil {
			on()
		}
	})
}

// SaveShortcut is Control and S, or the platform's own.
func SaveShortcut() fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: fyne.KeyS, Modifier: fyne.KeyModifierShortcutDefault}
}

// Save saves what is edited.
func (v *View) Save() {
	if v.desk != nil && v.desk.changed() {
		v.store(func() {})
	}
}
