package draw

import (
	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// ShareBar is a bar's number over the beat that it begins with.
type ShareBar struct {
	At    int
	Label string
}

// SharesModel is how far each beat of a passage has come.
type SharesModel struct {
	Title  string
	Beats  []float64 // 0 to 1
	Labels []string  // the tempo of each beat
	Bars   []ShareBar
	// From and To are the beats of the chunk, To not included; the same for none.
	From, To int
}

// Shares shows beats as cells that fill from the ground up; a full one has another
// colour, too.
type Shares struct {
	canvasWidget
	model SharesModel
}

// NewShares makes the row.
func NewShares() *Shares {
	w := &Shares{}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Shares) Set(m SharesModel) {
	w.model = m
	w.redraw()
}

func (w *Shares) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	small := w.font(16, 14)
	if len(m.Beats) == 0 {
		return
	}
	s.text(fit(m.Title, size.Width, look.Regular, small), 0, small, left, look.Regular, small, p.Soft)
	numbers := small * 2.1
	top := numbers + px(8)
	high := size.Height - top - small*1.3
	each := min(size.Width/float32(len(m.Beats)), px(64))
	gap := min(px(3), each*0.15)
	for i, share := range m.Beats {
		x := float32(i) * each
		s.box(box{x: x + gap/2, y: top, w: each - gap, h: high, stroke: p.Rung, width: 1, radius: px(2)})
		fill := p.Rung
		if share >= 1 {
			fill = p.Accent
		}
		if h := high * float32(min(share, 1)); h > 0 {
			s.box(box{x: x + gap/2, y: top + high - h, w: each - gap, h: h, fill: fill, radius: px(2)})
		}
	}
	for i, label := range m.Labels {
		font := small * 0.85
		if label == "" || textWidth(label, look.Bold, font) > each-gap-px(4) {
			continue
		}
		c, y := p.Ink, top+high+px(4)+font
		s.text(label, (float32(i)+0.5)*each, y, mid, look.Regular, font, c)
	}
	if m.To > m.From {
		s.box(box{x: float32(m.From)*each - px(2), y: top - px(4), w: float32(m.To-m.From)*each + px(4), h: high + px(8), stroke: p.Accent, width: max(px(3), 2), radius: px(5)})
	}
	free := float32(0)
	for _, b := range m.Bars {
		x := float32(b.At)*each + gap/2
		if x >= free {
			wide := s.text(b.Label, x, numbers, left, look.Bold, small*0.8, p.Ink)
			free = x + wide + px(6)
		}
	}
}
