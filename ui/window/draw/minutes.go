package draw

import (
	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// MinutesModel is how long was practised, day by day.
type MinutesModel struct {
	Title, Sum, First, Last string
	Minutes                 []float64 // by day, the earliest first
	This                    int       // the first day of this week
	Most                    string    // what the longest day came to
}

// Minutes shows days as upright bars; one on which nothing was played is a dash.
type Minutes struct {
	canvasWidget
	model MinutesModel
}

// NewMinutes makes the picture.
func NewMinutes() *Minutes {
	w := &Minutes{}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Minutes) Set(m MinutesModel) {
	w.model = m
	w.redraw()
}

func (w *Minutes) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	small := w.font(16, 14)
	s.box(box{x: px(16), w: size.Width - px(32), h: 1, fill: p.Hair})
	edge := px(28)
	room := size.Width - 2*edge
	head := px(12) + small
	sum := s.text(m.Sum, edge+room, head, right, look.Regular, small, p.Ink)
	s.text(fit(m.Title, room-sum-px(8), look.Regular, small), edge, head, left, look.Regular, small, p.Soft)
	if len(m.Minutes) == 0 {
		return
	}
	foot := size.Height - small*0.8
	s.text(m.First, edge, foot, left, look.Regular, small*0.9, p.Soft)
	s.text(m.Last, edge+room, foot, right, look.Regular, small*0.9, p.Soft)
	bottom, top := foot-small*1.3, head+px(18)
	most := 1.0
	for _, v := range m.Minutes {
		most = max(most, v)
	}
	each := room / float32(len(m.Minutes))
	for i, v := range m.Minutes {
		c := p.Rung
		if i >= m.This {
			c = p.Accent
		}
		h := max((bottom-top)*float32(v/most), px(1.5))
		s.box(box{x: edge + (float32(i)+0.15)*each, y: bottom - h, w: each * 0.7, h: h, fill: c, radius: px(1)})
		if v == most && m.Most != "" {
			wide := textWidth(m.Most, look.Regular, small*0.8)
			x := min(max(edge+(float32(i)+0.5)*each-wide/2, edge), edge+room-wide)
			s.text(m.Most, x, top-px(3), left, look.Regular, small*0.8, p.Soft)
			m.Most = ""
		}
	}
}
