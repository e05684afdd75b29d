package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ladder"
	"footing/ui/window/care"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
	"footing/ui/window/look"
	"footing/ui/window/routines"
	"footing/ui/window/stand"
)

// view is what lies under the header.
type view string

const (
	viewStand    view = "stand"
	viewRoutines view = "routines"
	viewHelp     view = "help"
)

// tabStop stops the click from a view that is not the Stand.
const tabStop = "stop"

// root is everything in the window: the header, the view under it, and now and
// then a card over it. It is its own layout.
type root struct {
	w      *Window
	header *draw.Header
	card   *draw.Card
	box    *fyne.Container
	view   view
	runs   bool // the click does, as the header shows it
	ready  bool // the window's size is known, and worth drawing for
}

func newRoot(w *Window) *root {
	r := &root{w: w, view: viewStand}
	r.header = draw.NewHeader(func(id string) {
		if id == tabStop {
			w.session.Stop()
			r.titles()
			return
		}
		w.show(view(id))
	})
	r.box = &fyne.Container{Layout: r}
	return r
}

// MinSize is the least at which everything is legible.
func (r *root) MinSize([]fyne.CanvasObject) fyne.Size { return stand.Least }

// Layout places the header, the view and the card.
func (r *root) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	if !r.ready || size.Width <= 0 {
		return
	}
	k := stand.Scale(size)
	top := stand.HeaderHeight * k
	r.header.SetScale(k)
	r.header.Resize(fyne.NewSize(size.Width, top))
	body := r.body()
	if s, ok := body.(interface{ SetScale(float32) }); ok {
		s.SetScale(k)
	}
	body.Move(fyne.NewPos(0, top))
	body.Resize(fyne.NewSize(size.Width, size.Height-top))
	if r.card != nil {
		r.card.SetScale(k)
		w := size.Width - 382*k
		h := 196 * k // covers whole rows of the Stand
		r.card.Move(fyne.NewPos(356*k, size.Height-max(88*k, 62)-h-8*k))
		r.card.Resize(fyne.NewSize(w, h))
	}
}

func (r *root) body() fyne.CanvasObject {
	switch r.view {
	case viewRoutines:
		return r.w.routinesView().Object()
	case viewHelp:
		return r.w.help.page
	}
	return r.w.stand.Object()
}

// assemble puts what is shown into the tree; what is not shown is not in it, and
// costs nothing.
func (r *root) assemble() {
	objects := []fyne.CanvasObject{r.header, r.body()}
	if r.card != nil && r.view == viewStand {
		objects = append(objects, r.card)
	}
	r.box.Objects = objects
	r.Layout(objects, r.box.Size())
	r.box.Refresh()
	r.titles()
}

// titles shows what is practised, and the views.
func (r *root) titles() {
	m := r.w.keys
	name, sub, count := r.w.stand.Title()
	if title := r.w.session.View().State.Routine.Name + " — Footing"; r.w.win.Title() != title {
		r.w.win.SetTitle(title)
	}
	if r.view == viewRoutines && r.w.routines != nil && r.w.routines.Fault() != "" {
		name, sub, count = r.w.routines.Fault(), "can not be practised yet", ""
	}
	var tabs []draw.Tab
	if r.runs = r.w.session.View().State.Running; r.runs && r.view != viewStand {
		sub, count = "the click is running", ""
		tabs = append(tabs, draw.Tab{ID: tabStop, Label: "Stop", Key: m.Label(keys.StartStop), Urgent: true})
	}
	r.header.Set(name, sub, count, append(tabs, []draw.Tab{
		{ID: string(viewStand), Label: "Stand", Key: m.Label(keys.Stand), Active: r.view == viewStand},
		{ID: string(viewRoutines), Label: "Routines", Key: m.Label(keys.Routines), Active: r.view == viewRoutines},
		{ID: string(viewHelp), Label: "Help", Key: m.Label(keys.Help), Active: r.view == viewHelp},
	}...))
}

// caution shows the cautions once, over a part of the Stand where they hide
// nothing that the click needs.
func (r *root) caution() {
	r.card = draw.NewCard("Before you play", care.Cautions(), "Understood", "Enter", r.closeCard)
	r.assemble()
}

// unseen reports whether the cautions wait under another view: they lie over
// the Stand.
func (r *root) unseen() bool { return r.card != nil && r.view != viewStand }

func (r *root) closeCard() {
	if r.card == nil {
		return
	}
	r.card = nil
	r.w.set.setCautionsSeen()
	r.assemble()
}

// listen takes the keys that no widget takes for itself.
func (r *root) listen(c fyne.Canvas) {
	var held holding
	if d, ok := c.(desktop.Canvas); ok {
		held.known = true
		d.SetOnKeyDown(func(*fyne.KeyEvent) { held.key, held.char = true, true })
	}
	c.SetOnTypedKey(func(e *fyne.KeyEvent) {
		repeat := held.known && !held.key
		held.key = false
		if k, ok := keys.Named(e.Name); ok {
			r.w.key(k, repeat)
		}
	})
	c.SetOnTypedRune(func(c rune) {
		repeat := held.known && !held.char
		held.char = false
		if k, ok := keys.Typed(c); ok {
			r.w.key(k, repeat)
		}
	})
}

// holding tells a key that was pressed from one that is held down: only the
// first of its events follows a key-down.
type holding struct {
	known     bool
	key, char bool
}

// repaint refreshes what depends on the palette but is no widget of its own.
func (w *Window) setPalette(c look.Choice) {
	w.set.setPalette(c)
	w.app.Settings().SetTheme(look.New(c))
	w.stand.Refresh()
	w.help.refresh()
	if w.routines != nil {
		w.routines.Recolour()
	}
	w.root.titles()
}

// routinesView makes the view when it is first wanted.
func (w *Window) routinesView() *routines.View {
	if w.routines != nil {
		return w.routines
	}
	w.routines = routines.New(routines.Options{
		Dir: w.dir, Window: w.win,
		Practising: func() (string, ladder.Routine, int) {
			s := w.session.View().State
			return *w.path.Load(), s.Routine, s.StepAt
		},
		Apply: func(r ladder.Routine) error {
			w.session.Do(ladder.Replan{Routine: r})
			w.keep.seen(w.session.View().Edits)
			return w.keep.replace(r)
		},
		Practise: w.practise,
		Key:      w.key,
		Changed:  func() { w.root.titles() },
		Step: func(step int) {
			w.session.GoTo(step)
			w.show(viewStand)
		},
	})
	w.win.Canvas().AddShortcut(routines.SaveShortcut(), func(fyne.Shortcut) { w.routines.Save() })
	return w.routines
}
