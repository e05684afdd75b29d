package journal

import (
	"strings"

	"fyne.io/fyne/v2"

	past "footing/ladder/journal"
)

// The buttons, which are keys too.
const (
	pressPage     = "page"
	pressWhy      = "why"
	pressFind     = "find"
	pressPractise = "practise"
)

// Key acts on a key; what it has no use for, the Stand is given.
func (v *View) Key(key string, repeat bool) bool {
	switch fyne.KeyName(key) {
	case fyne.KeyUp:
		v.rowBy(-1)
	case fyne.KeyDown:
		v.rowBy(1)
	case fyne.KeyLeft:
		v.pointBy(-1)
	case fyne.KeyRight:
		v.pointBy(1)
	case fyne.KeyPageUp:
		v.scroll(-max(v.p.log.Fits()-1, 1))
	case fyne.KeyPageDown:
		v.scroll(max(v.p.log.Fits()-1, 1))
	case fyne.KeyReturn, fyne.KeyEnter:
		if !repeat {
			v.press(pressPractise)
		}
	default:
		id, ok := map[string]string{"l": pressPage, "y": pressWhy, "/": pressFind}[strings.ToLower(key)]
		if !ok {
			return false
		}
		if !repeat {
			v.press(id)
		}
	}
	return true
}

// press is a button.
func (v *View) press(id string) {
	switch id {
	case pressPage:
		v.say("writing the lesson page …", false)
		v.o.Page(func(text string, warm bool) { v.say(text, warm) })
	case pressWhy:
		v.say(v.why(), false)
	case pressFind:
		v.find()
	case pressPractise:
		if d := v.at(); d != nil {
			v.o.Practise(d.Place)
		}
	}
}

// say says something until the next action.
func (v *View) say(text string, warm bool) {
	v.said, v.warm = text, warm
	v.show()
}

// why says why the step that is shown starts where it does.
func (v *View) why() string {
	d := v.at()
	switch {
	case d == nil:
		return "Nothing was played yet: every ladder begins at its lowest rung"
	case v.loaded.place != d.Place || !v.loaded.there:
		return "This step is not in its routine any more"
	}
	_, why := v.o.Rule().Start(v.loaded.step, d.History, past.DayOf(v.o.Clock()))
	return why
}

// row shows another step.
func (v *View) row(i int) {
	if i < 0 || i >= len(v.due) {
		return
	}
	v.said, v.cursor, v.first = "", -1, 0
	v.selected = v.due[i].Place
	v.load()
	v.show()
}

func (v *View) rowBy(by int) {
	for i, d := range v.due {
		if d.Place == v.selected {
			v.row(i + by)
			return
		}
	}
	v.row(0)
}

// point says the figures of a point.
func (v *View) point(i int) {
	v.said, v.cursor = "", i
	v.show()
}

// pointBy goes from point to point, at first to the last one.
func (v *View) pointBy(by int) {
	n := len(v.loaded.days)
	switch {
	case n == 0:
	case v.cursor < 0:
		v.point(n - 1)
	default:
		v.point(min(max(v.cursor+by, 0), n-1))
	}
}

// scroll scrolls what was done.
func (v *View) scroll(rows int) {
	n := len(logRows(v.loaded))
	if to := min(max(v.first+rows, 0), max(n-v.p.log.Fits(), 0)); to != v.first {
		v.first = to
		v.show()
	}
}
