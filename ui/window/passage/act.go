package passage

import (
	"strings"

	"fyne.io/fyne/v2"

	"footing/ladder"
	"footing/ui/window/keys"
)

// Key acts on a key; what it has no use for, the Stand is given.
func (v *View) Key(key string, repeat bool) bool {
	if key == string(fyne.KeyReturn) || key == string(fyne.KeyEnter) {
		if !repeat { // that of a key that has just kept a mark
			v.press(pressPractise)
		}
		return true
	}
	info, _, known := v.o.Keys.Lookup(key)
	if v.sheet == nil {
		return known && info.Action == keys.Pencil // the Stand's note would be written unseen
	}
	switch strings.ToLower(key) {
	case keyFinger:
		v.nextFingering()
		return true
	case keyHardest:
		v.cutHardest()
		return true
	case keyFingers:
		v.turnFingers()
		return true
	}
	if v.planned(key) {
		return true
	}
	switch fyne.KeyName(key) {
	case fyne.KeyLeft:
		v.along(-1)
		return true
	case fyne.KeyRight:
		v.along(1)
		return true
	case fyne.KeyUp:
		v.to(v.sheet.nextTo(v.cursor, -1))
		return true
	case fyne.KeyDown:
		v.to(v.sheet.nextTo(v.cursor, 1))
		return true
	}
	switch {
	case known && info.Action == keys.Pencil:
		v.press(pressMark)
		return true
	case known && info.Action == keys.Group:
		v.press(pressGroup)
		return true
	case known:
		if edit := v.edits()[info.Action]; edit != nil {
			v.change(edit)
			return true
		}
	}
	return false
}

// edits are what the Stand's keys of the chunk do here: by notes.
func (v *View) edits() map[keys.Action]func(ladder.Step) ladder.Step {
	n := v.found
	return map[keys.Action]func(ladder.Step) ladder.Step{
		keys.Shrink:  n.Narrower,
		keys.Widen:   n.Wider,
		keys.Earlier: func(s ladder.Step) ladder.Step { return n.Moved(s, -1) },
		keys.Later:   func(s ladder.Step) ladder.Step { return n.Moved(s, 1) },
	}
}

// press is a button.
func (v *View) press(id string) {
	switch {
	case id == pressPractise:
		v.o.Practise()
	case v.sheet == nil:
	case id == pressMark:
		v.write()
	case id == pressGroup:
		n, note := v.found, v.cursor
		v.change(func(s ladder.Step) ladder.Step { return n.ToNextGroup(s, note) })
	}
}

// along moves the cursor to the next place where a note begins, or the one
// before.
func (v *View) along(by int) {
	all := v.found.All
	to := v.cursor
	for to += by; to >= 0 && to < len(all) && all[to].From == all[v.cursor].From; to += by {
	}
	if to >= 0 && to < len(all) {
		for to > 0 && all[to-1].From == all[to].From { // of a chord its first
			to--
		}
		v.to(to)
	}
}

// to moves the cursor to a note.
func (v *View) to(note int) {
	v.said, v.told, v.cursor = "", "", note
	v.toCursor()
	v.show()
}

// turn shows another page; the cursor stays where it is.
func (v *View) turn(pages int) {
	if v.sheet != nil {
		v.toPage(min(max(v.page+pages, 0), len(v.sheet.pages)-1))
		v.show()
	}
}

// tap puts the cursor on the note that is tapped.
func (v *View) tap(at fyne.Position) {
	if v.sheet == nil {
		return
	}
	if note := v.sheet.at(at, v.page); note >= 0 {
		v.to(note)
	}
}

// dragged brackets the notes from where the mouse was pressed to where it is; at
// the end they are the chunk.
func (v *View) dragged(from, to fyne.Position, done bool) {
	if v.sheet == nil {
		v.drag = nil
		return
	}
	a, b := v.sheet.at(from, v.page), v.sheet.at(to, v.page)
	if a < 0 || b < 0 {
		return
	}
	v.drag = &[2]int{a, b}
	if done {
		v.drag = nil
		n := v.found
		v.change(func(s ladder.Step) ladder.Step { return n.FromTo(s, a, b) })
		return
	}
	v.show()
}
