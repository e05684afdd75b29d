package window

import "footing/ui/window/keys"

// key is a key that no widget took. It goes to the first in this order that has
// a use for it: the choice of a file, which lies over everything; the help, which may wait for the key that an action shall have;
// the card over the Stand; Escape, which takes a try to close back, or leads back
// to the Stand; the choices of
// the notice; what concerns the window, first of all its views; the view that is
// shown; the settings of the model, of whose keys a view may need one; the Stand.
func (w *Window) key(key string, repeat bool) {
	defer w.follower.poke()
	w.stir()
	for _, takes := range []func(string, bool) bool{
		w.keyOfChoice, w.keyOfHelp, w.keyOfCard, w.keyBack, w.keyOfNotice, w.keyOfWindow, w.keyOfView, w.keyOfModel, w.stand.Key,
	} {
		if takes(key, repeat) {
			return
		}
	}
}

// keyOfChoice keeps keys from what lies under the choice of a file; Escape ends
// that, and the click can be stopped all the same.
func (w *Window) keyOfChoice(key string, _ bool) bool {
	if w.routines == nil || !w.routines.Picks() {
		return false
	}
	if key == "Escape" {
		w.routines.StopPicking()
		return true
	}
	info, _, _ := w.keys.Lookup(key)
	return info.Action != keys.StartStop
}

func (w *Window) keyOfHelp(key string, _ bool) bool {
	return w.root.view == viewHelp && w.help.take(key)
}

func (w *Window) keyOfCard(key string, _ bool) bool {
	if w.root.card == nil || w.root.view != viewStand || key != "Return" && key != "KP_Enter" && key != "Escape" {
		return false
	}
	w.root.closeCard()
	return true
}

func (w *Window) keyBack(key string, _ bool) bool {
	switch {
	case key != "Escape":
		return false
	case w.notices.of[noticeClosing].Text != "":
		w.stay() // the player does not want to leave after all
		return true
	case w.root.view == viewStand:
		return false
	}
	w.show(viewStand)
	return true
}

func (w *Window) keyOfNotice(key string, _ bool) bool {
	for _, c := range w.notices.top().Choices {
		if c.Key == key {
			w.chosen(c.ID)
			return true
		}
	}
	return false
}

// keyOfView is the key of the view that is shown. The help takes every key, so that
// nothing happens unseen, but those of the model, which it shows.
func (w *Window) keyOfView(key string, repeat bool) bool {
	return w.root.view == viewHelp && w.keyOfModel(key, repeat) || w.at(w.root.view).Key(key, repeat)
}

// keyOfModel takes the keys of the model's settings; where letters are typed none is
// a setting.
func (w *Window) keyOfModel(key string, repeat bool) bool {
	info, back, known := w.keys.Lookup(key)
	if !known || w.root.view == viewRoutines || repeat && !info.Repeats && !info.Turns {
		return false
	}
	return w.setModel(info.Action, back)
}

// keyOfWindow takes the keys that mean the same in every view.
func (w *Window) keyOfWindow(key string, repeat bool) bool {
	info, _, known := w.keys.Lookup(key)
	if !known {
		return false
	}
	if repeat && !info.Repeats && !info.Turns {
		return true
	}
	if w.tab(viewID(info.Action)) != nil {
		w.show(viewID(info.Action))
		return true
	}
	do := map[keys.Action]func(){
		keys.Palette: func() { w.setPalette(w.set.palette().Next()) },
		keys.Why:     w.whyHere,
		keys.Whole:   func() { w.win.SetFullScreen(!w.win.FullScreen()) },
	}[info.Action]
	switch {
	case info.Action == keys.Why && w.root.view != viewStand:
		return false
	case do != nil:
		do()
	case info.Action != keys.StartStop || w.root.view == viewStand:
		return false
	case w.root.unseen() && !w.session.View().State.Running:
		w.show(viewStand) // the cautions come before the first sound
	default:
		w.stand.Key(key, repeat)
		w.root.titles()
	}
	return true
}
