package draw

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Button is one of an [Actions] bar.
type Button struct {
	ID, Label, Key string
	Pencil         bool // it is the player's pencil
	Filled         bool // it is the one thing to do next
	Share          float32
}

// Actions is the bar of buttons at the foot of a view. Each is also a key.
type Actions struct {
	canvasWidget
	buttons []Button
	onPress func(id string)
	over    string
}

var (
	_ fyne.Tappable      = (*Actions)(nil)
	_ desktop.Hoverable  = (*Actions)(nil)
	_ desktop.Cursorable = (*Actions)(nil)
)

// NewActions makes the bar; onPress is told which button was pressed.
func NewActions(onPress func(id string)) *Actions {
	w := &Actions{onPress: onPress}
	w.init(w, w.draw)
	return w
}

// Set shows the buttons from left to right, each as wide as its share of all.
func (w *Actions) Set(buttons ...Button) {
	w.buttons = buttons
	w.redraw()
}

// ButtonAt is a place on a button.
func (w *Actions) ButtonAt(id string) fyne.Position { return w.sc.middle(id) }

// Tapped is for Fyne.
func (w *Actions) Tapped(e *fyne.PointEvent) {
	if id := w.at(e.Position); id != "" {
		w.onPress(id)
	}
}

func (w *Actions) at(pos fyne.Position) string {
	id, _ := w.sc.at(pos).(string)
	return id
}

// MouseIn is for Fyne.
func (w *Actions) MouseIn(e *desktop.MouseEvent) { w.MouseMoved(e) }

// MouseMoved is for Fyne.
func (w *Actions) MouseMoved(e *desktop.MouseEvent) { w.hover(w.at(e.Position)) }

// MouseOut is for Fyne.
func (w *Actions) MouseOut() { w.hover("") }

func (w *Actions) hover(id string) {
	if id != w.over {
		w.over = id
		w.redraw()
	}
}

// Cursor is for Fyne.
func (w *Actions) Cursor() desktop.Cursor {
	if w.over != "" {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

func (w *Actions) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := w.px
	s.box(box{w: size.Width, h: size.Height, fill: p.Card})
	s.box(box{w: size.Width, h: 1, fill: p.Hair})
	edge, gap, all := px(28), px(18), float32(0)
	for _, b := range w.buttons {
		all += b.Share
	}
	room := size.Width - 2*edge - float32(len(w.buttons)-1)*gap
	x, y, h := edge, size.Height*0.15, size.Height*0.70
	for _, b := range w.buttons {
		wide := room * b.Share / all
		s.hit(b.ID, x, 0, wide, size.Height)
		c, fill := p.Ink, p.Card
		if b.Pencil {
			c = p.Warm
		}
		if w.over == b.ID {
			fill = p.Wash
		}
		frame := c
		if b.Filled {
			c, fill, frame = p.On, p.Accent, p.Accent
		}
		s.box(box{x: x, y: y, w: wide, h: h, fill: fill, stroke: frame, width: max(px(2.5), 2), radius: px(14)})
		key := max(px(21), 16)
		kw := keyWidth(b.Key, key)
		label, font := squeeze(b.Label, wide-px(16+10+16)-kw, look.Bold, w.font(31, 23), 0.75)
		lx := min(x+wide/2, x+wide-px(16)-kw-px(10)-textWidth(label, look.Bold, font)/2)
		s.text(label, lx, y+h/2+font*look.CapHeight/2, mid, look.Bold, font, c)
		s.keycap(b.Key, x+wide-px(16)-kw, y+h/2, key, c, clear)
		x += wide + gap
	}
}
