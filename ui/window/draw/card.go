package draw

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Card says a few things once. It lies over part of the window and takes no key
// but the one that closes it.
type Card struct {
	canvasWidget
	title, button, key string
	lines              []string
	onClose            func()
	over               bool
}

var (
	_ fyne.Tappable      = (*Card)(nil)
	_ desktop.Hoverable  = (*Card)(nil)
	_ desktop.Cursorable = (*Card)(nil)
)

// NewCard makes the card; onClose is told when its button is tapped.
func NewCard(title string, lines []string, button, key string, onClose func()) *Card {
	c := &Card{title: title, lines: lines, button: button, key: key, onClose: onClose}
	c.init(c, c.draw)
	return c
}

// Tapped is for Fyne.
func (c *Card) Tapped(e *fyne.PointEvent) {
	if c.sc.at(e.Position) != nil {
		c.onClose()
	}
}

// MouseIn is for Fyne.
func (c *Card) MouseIn(e *desktop.MouseEvent) { c.MouseMoved(e) }

// MouseMoved is for Fyne.
func (c *Card) MouseMoved(e *desktop.MouseEvent) { c.over = c.sc.at(e.Position) != nil }

// MouseOut is for Fyne.
func (c *Card) MouseOut() { c.over = false }

// Cursor is for Fyne.
func (c *Card) Cursor() desktop.Cursor {
	if c.over {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

func (c *Card) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := c.px
	s.box(box{w: size.Width, h: size.Height, fill: p.Warm, radius: px(12)})
	s.box(box{x: 2, y: 2, w: size.Width - 4, h: size.Height - 4, fill: p.Card, radius: px(11)})
	font := c.font(20, 15)
	x, y := px(24), px(20)+c.font(23, 17)
	s.text(c.title, x, y, left, look.Bold, c.font(23, 17), p.Ink)

	label, key := c.font(20, 15), c.font(16, 13)
	kw := keyWidth(c.key, key)
	bw, bh := textWidth(c.button, look.Bold, label)+kw+px(48), label*1.9
	bx, by := size.Width-bw-px(18), px(14)
	s.hit(c.button, bx, by, bw, bh)
	s.box(box{x: bx, y: by, w: bw, h: bh, fill: p.Accent, radius: px(10)})
	w := s.text(c.button, bx+px(16), by+bh/2+label*look.CapHeight/2, left, look.Bold, label, p.On)
	s.keycap(c.key, bx+px(16)+w+px(12), by+bh/2, key, p.On, p.On)

	y += px(12)
	for _, l := range c.lines {
		at := x
		y += font * 0.55
		word, rest, ok := strings.Cut(l, ": ")
		if ok && len(word) < 12 {
			at += s.text(word, at, y+font, left, look.Bold, font, p.Warm) + px(8)
			l = rest
		}
		for _, part := range wrap(l, size.Width-at-px(24), 2, look.Regular, font) {
			y += font
			s.text(part, at, y, left, look.Regular, font, p.Ink)
			y += font * 0.25
		}
	}
}
