package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/care"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
	"footing/ui/window/look"
	"footing/ui/window/stand"
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
	line   *draw.Notice // under a view that is not the Stand, which has its own
	said   bool         // there is a notice
	view   viewID
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
		w.show(viewID(id))
	})
	r.line = draw.NewNotice(w.chosen)
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
	r.w.stir()
	k := stand.Scale(size)
	top := stand.HeaderHeight * k
	r.header.SetScale(k)
	r.header.Resize(fyne.NewSize(size.Width, top))
	body := r.body()
	foot := float32(0)
	if r.lined() {
		foot = 40 * k
		r.line.SetScale(k)
		r.line.Move(fyne.NewPos(22, size.Height-foot))
		r.line.Resize(fyne.NewSize(size.Width-2*22, foot))
	}
	if s, ok := body.(interface{ SetScale(float32) }); ok {
		s.SetScale(k)
	}
	body.Move(fyne.NewPos(0, top))
	body.Resize(fyne.NewSize(size.Width, size.Height-top-foot))
	if r.card != nil {
		r.card.SetScale(k)
		w := size.Width - 382*k
		h := 196 * k // covers whole rows of the Stand
		r.card.Move(fyne.NewPos(356*k, size.Height-max(88*k, 62)-h-8*k))
		r.card.Resize(fyne.NewSize(w, h))
	}
}

func (r *root) body() fyne.CanvasObject { return r.w.at(r.view).Object() }

// lined reports whether there is a notice that the view does not show itself.
func (r *root) lined() bool { return r.said && r.view != viewStand }

// notify shows the notice under a view that does not show it itself.
func (r *root) notify(m draw.NoticeModel) {
	before := r.lined()
	r.said = m.Text != ""
	r.line.Set(m)
	if r.lined() != before {
		r.assemble()
	}
}

// assemble puts what is shown into the tree; what is not shown is not in it, and
// costs nothing.
func (r *root) assemble() {
	objects := []fyne.CanvasObject{r.header, r.body()}
	if r.lined() {
		objects = append(objects, r.line)
	}
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
	name, sub, count := r.w.at(r.view).Title()
	s := r.w.session.View().State
	if title := s.Routine.Name + " — Footing"; r.w.win.Title() != title {
		r.w.win.SetTitle(title)
	}
	var tabs []draw.Tab
	if r.runs = s.Running; r.runs && r.view != viewStand {
		sub, count = "the click is running", ""
		tabs = append(tabs, draw.Tab{ID: tabStop, Label: "Stop", Key: m.Label(keys.StartStop), Urgent: true})
	}
	for _, p := range r.w.tabs {
		if p.hidden && r.view != p.id {
			continue
		}
		tabs = append(tabs, draw.Tab{ID: string(p.id), Label: p.name, Key: m.Label(keys.Action(p.id)), Active: r.view == p.id})
	}
	r.header.Set(name, sub, count, tabs)
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

// setPalette changes the colours, also of the views that are not shown.
func (w *Window) setPalette(c look.Choice) {
	w.set.setPalette(c)
	drawing(w.win, func() { w.app.Settings().SetTheme(look.New(c)) })
	for _, v := range w.made() {
		v.Recolour()
	}
	w.root.titles()
}

// drawing runs f as while the window is drawn. Fyne gives the textures of all
// texts up when the theme changes (see RescaleContext in its
// internal/driver/glfw), which only has an effect while the window's graphics
// context is current; otherwise the card keeps them for good.
func drawing(win fyne.Window, f func()) {
	if c, ok := win.(interface{ RunWithContext(func()) }); ok {
		c.RunWithContext(f)
		return
	}
	f()
}
