package journal

import (
	"strings"

	"footing/ui/window/field"
)

// find opens the field in which what is looked for is typed.
func (v *View) find() {
	if v.entry != nil {
		return
	}
	v.said = ""
	v.entry = field.New(v.text, "a pencil mark, a piece, a step", v.found)
	v.entry.OnChanged = v.lookFor
	v.p.entry = v.entry
	v.p.below.Hide()
	field.Open(v.p.root, v.entry)
}

// lookFor looks for a text, of whatever step.
func (v *View) lookFor(text string) {
	v.text, v.first = strings.TrimSpace(text), 0
	v.load()
}

// found closes the field; what is looked for stays if it is kept.
func (v *View) found(keep bool) {
	e := v.entry
	if e == nil {
		return
	}
	if !keep {
		e.SetText("")
	}
	v.entry, v.p.entry = nil, nil
	v.p.below.Show()
	field.Close(v.p.root, e)
	v.show()
}
