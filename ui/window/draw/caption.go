package draw

import (
	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// Hint is what some keys do.
type Hint struct {
	Keys []string
	Does string
}

// CaptionModel is a line over or under a picture: what it shows, and what the
// keys do with it.
type CaptionModel struct {
	Strong, Words string
	Warm          bool // Words are about something that went wrong
	Pencil        bool // Strong is the player's own
	Hints         []Hint
}

// Caption shows a line.
type Caption struct {
	canvasWidget
	model CaptionModel
}

// NewCaption makes the line.
func NewCaption() *Caption {
	w := &Caption{}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Caption) Set(m CaptionModel) {
	w.model = m
	w.redraw()
}

// Model is what is shown.
func (w *Caption) Model() CaptionModel { return w.model }

func (w *Caption) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	font, bold := w.font(19, 15), w.font(24, 18)
	small := font * 0.85
	my := size.Height / 2
	y := my + font*look.CapHeight/2
	x := size.Width - px(28)
	for i := len(m.Hints) - 1; i >= 0; i-- {
		h := m.Hints[i]
		x -= textWidth(h.Does, look.Regular, font)
		s.text(h.Does, x, y, left, look.Regular, font, p.Soft)
		x -= px(7)
		for k := len(h.Keys) - 1; k >= 0; k-- {
			if h.Keys[k] == "" {
				continue
			}
			x -= keyWidth(h.Keys[k], small)
			s.keycap(h.Keys[k], x, my, small, p.Soft, p.Hair)
			x -= px(5)
		}
		x -= px(14)
	}
	c := p.Accent
	if m.Pencil {
		c = p.Ink
	}
	at, room := px(28), x-px(28)
	text, strong := squeeze(m.Strong, room, look.Bold, bold, 0.75)
	at += s.text(text, at, my+bold*look.CapHeight/2, left, look.Bold, strong, c) + px(16)
	if room = x - at; room < px(40) || m.Words == "" {
		return
	}
	c = p.Soft
	if m.Warm {
		c = p.Warm
	}
	text, words := squeeze(m.Words, room, look.Regular, font, 0.8)
	s.text(text, at, y, left, look.Regular, words, c)
}
