package window

import (
	"reflect"

	"footing/ladder/routine"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
)

// noticeKind is what a notice is about; the first kinds go before the later.
type noticeKind int

const (
	noticeSave noticeKind = iota
	noticeRest
	noticeDevice
	noticeSettings
	noticeKinds
)

// notices holds one notice of each kind and shows the most urgent.
type notices struct{ of [noticeKinds]draw.NoticeModel }

// put sets the notice of the kind and reports whether it is another.
func (n *notices) put(k noticeKind, m draw.NoticeModel) bool {
	if reflect.DeepEqual(n.of[k], m) {
		return false
	}
	n.of[k] = m
	return true
}

func (n *notices) clear(k noticeKind) { n.of[k] = draw.NoticeModel{} }

// top is the notice to show.
func (n *notices) top() draw.NoticeModel {
	for _, m := range n.of {
		if m.Text != "" {
			return m
		}
	}
	return draw.NoticeModel{}
}

const (
	chooseBoth   = "both"
	chooseTheirs = "theirs"
)

// chosen is what the player does about a notice; "" waves it away.
func (w *Window) chosen(id string) {
	switch id {
	case chooseBoth:
		w.saved(w.keep.both())
		w.adoptPath()
	case chooseTheirs:
		w.takeTheirs()
	case "":
		switch {
		case w.notices.of[noticeSave].Text != "":
		case w.notices.of[noticeRest].Text != "":
			w.rest.Put()
			w.notices.clear(noticeRest)
		case w.notices.of[noticeDevice].Text == "":
			w.notices.clear(noticeSettings)
		}
	}
	w.stand.Notify(w.notices.top())
}

// takeTheirs goes on with the routine as it is on the disk now.
func (w *Window) takeTheirs() {
	f, err := routine.Load(w.keep.path())
	if err != nil {
		w.saved(err)
		return
	}
	step := w.session.View().State.StepAt
	w.keep.drop()
	w.practise(f, "", step)
}

// adoptPath follows the routine to the file that it is kept in now.
func (w *Window) adoptPath() {
	path := w.keep.path()
	w.path.Store(&path)
	w.remember()
	w.root.titles()
}

// show brings a view up.
func (w *Window) show(v view) {
	if v == w.root.view && v == viewHelp {
		v = viewStand
	}
	w.win.Canvas().Unfocus()
	switch {
	case v == viewRoutines && w.root.view != viewRoutines:
		w.keep.settle(w.session.View(), w.clock())
	case v != viewRoutines && w.root.view == viewRoutines:
		_ = w.routinesView().Keep() // it says there what it could not save
	}
	w.root.view = v
	w.help.waiting, w.help.note = "", ""
	switch v {
	case viewHelp:
		w.help.refresh()
	case viewRoutines:
		w.routinesView().Refresh()
	default:
		w.stand.Refresh()
	}
	w.root.assemble()
}

// key is a key that no widget took.
func (w *Window) key(key string, repeat bool) {
	defer w.follower.poke()
	switch {
	case w.root.view == viewHelp && w.help.take(key):
		return
	case w.root.card != nil && w.root.view == viewStand && (key == "Return" || key == "KP_Enter" || key == "Escape"):
		w.root.closeCard()
		return
	case key == "Escape" && w.root.view != viewStand:
		w.show(viewStand)
		return
	}
	for _, c := range w.notices.top().Choices {
		if c.Key == key {
			w.chosen(c.ID)
			return
		}
	}
	info, _, known := w.keys.Lookup(key)
	switch {
	case known && repeat && !info.Repeats && !info.Turns:
	case info.Action == keys.StartStop && w.root.unseen() && !w.session.View().State.Running:
		w.show(viewStand) // the cautions come before the first sound
	case info.Action == keys.Help:
		w.show(viewHelp)
	case info.Action == keys.Stand:
		w.show(viewStand)
	case info.Action == keys.Routines:
		w.show(viewRoutines)
	case info.Action == keys.Palette:
		w.setPalette(w.set.palette().Next())
	case info.Action == keys.Whole:
		w.win.SetFullScreen(!w.win.FullScreen())
	case w.root.view == viewRoutines && (key == "Up" || key == "Down" || key == "Left" || key == "Right"):
		if w.win.Canvas().Focused() == nil {
			w.routinesView().Arrow(key)
		}
	case w.root.view == viewRoutines:
		if info.Action == keys.StartStop {
			w.stand.Key(key, repeat)
			w.root.titles()
		}
	default:
		w.stand.Key(key, repeat)
	}
}
