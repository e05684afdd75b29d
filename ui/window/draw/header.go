package draw

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Tab is a view, or something else that the header opens.
type Tab struct {
	ID, Label, Key string
	Active         bool
	Urgent         bool // it is there because something goes on
}

// Header names what is practised and holds the views.
type Header struct {
	canvasWidget
	title, sub, count string
	tabs              []Tab
	onTab             func(id string)
	over              bool
}

var (
	_ fyne.Tappable      = (*Header)(nil)
	_ desktop.Hoverable  = (*Header)(nil)
	_ desktop.Cursorable = (*Header)(nil)
)

// NewHeader makes the header; onTab is told which tab was tapped.
func NewHeader(onTab func(id string)) *Header {
	h := &Header{onTab: onTab}
	h.init(h, h.draw)
	return h
}

// Set shows the title, what follows it, which of how many it is, and the tabs.
// Where room is short, what follows goes first, then the title is cut, and the
// count stays.
func (h *Header) Set(title, sub, count string, tabs []Tab) {
	h.title, h.sub, h.count, h.tabs = title, sub, count, tabs
	h.redraw()
}

// Tapped is for Fyne.
func (h *Header) Tapped(e *fyne.PointEvent) {
	if id, ok := h.sc.at(e.Position).(string); ok {
		h.onTab(id)
	}
}

// MouseIn is for Fyne.
func (h *Header) MouseIn(e *desktop.MouseEvent) { h.MouseMoved(e) }

// MouseMoved is for Fyne.
func (h *Header) MouseMoved(e *desktop.MouseEvent) { h.over = h.sc.at(e.Position) != nil }

// MouseOut is for Fyne.
func (h *Header) MouseOut() { h.over = false }

// Cursor is for Fyne.
func (h *Header) Cursor() desktop.Cursor {
	if h.over {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

func (h *Header) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := h.px
	base := size.Height*0.66 - px(2)
	s.box(box{y: size.Height - 1, w: size.Width, h: 1, fill: p.Hair})

	font := h.font(22, 17)
	small := font * 0.72
	x := size.Width - px(28)
	for i := len(h.tabs) - 1; i >= 0; i-- {
		t := h.tabs[i]
		face, c := look.Regular, p.Soft
		if t.Active {
			face, c = look.Bold, p.Ink
		}
		if t.Urgent {
			face, c = look.Bold, p.Warm
		}
		w := textWidth(t.Label, face, font)
		kw := keyWidth(t.Key, small)
		x -= w + px(7) + kw
		s.hit(t.ID, x-px(10), 0, w+kw+px(27), size.Height)
		s.text(t.Label, x, base, left, face, font, c)
		s.keycap(t.Key, x+w+px(7), base-font*0.32, small, p.Soft, p.Hair)
		line := box{fill: color.NRGBA{}}
		if t.Active {
			line = box{x: x, y: base + px(9), w: w, h: max(px(3), 2), fill: p.Warm, radius: px(1.5)}
		}
		s.box(line)
		x -= px(26)
	}

	room, gap, sub := x-px(28), px(14), h.font(23, 17)
	if h.count != "" {
		room -= gap + textWidth(h.count, look.Regular, sub)
	}
	title := h.font(29, 21)
	at := px(28)
	at += s.text(fit(h.title, room, look.Bold, title), at, base, left, look.Bold, title, p.Ink)
	room -= at - px(28)
	count := h.count
	if room > px(120) && h.sub != "" {
		at += gap
		if count != "" {
			count = "· " + count
			room -= textWidth("· ", look.Regular, sub)
			gap /= 2
		}
		at += s.text(fit(h.sub, room-px(14), look.Regular, sub), at, base, left, look.Regular, sub, p.Soft)
	}
	s.text(count, at+gap, base, left, look.Regular, sub, p.Soft)
}

// Tabs is how many tabs are shown.
func (h *Header) Tabs() int { return len(h.tabs) }

// TabAt is a place on tab i.
func (h *Header) TabAt(i int) fyne.Position {
	return h.sc.middle(h.tabs[i].ID)
}
