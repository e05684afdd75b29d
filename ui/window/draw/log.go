package draw

import (
	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// LogRow is a line of a [LogModel].
type LogRow struct {
	Day, Text string
	Pencil    bool // Text is the player's own
}

// LogModel is what was done, the latest first.
type LogModel struct {
	Rows  []LogRow
	First int    // the row at the top
	Empty string // is said where there are no rows
}

// Log is a list of lines.
type Log struct {
	canvasWidget
	model    LogModel
	onScroll func(rows int)
	fits     int
}

var _ fyne.Scrollable = (*Log)(nil)

// NewLog makes the list; onScroll is told by how many rows it is to be scrolled.
func NewLog(onScroll func(rows int)) *Log {
	w := &Log{onScroll: onScroll}
	w.init(w, w.draw)
	return w
}

// Model is what is shown.
func (w *Log) Model() LogModel { return w.model }

// Set shows m.
func (w *Log) Set(m LogModel) {
	w.model = m
	w.redraw()
}

// Fits is how many rows there is room for.
func (w *Log) Fits() int { return w.fits }

// Scrolled is for Fyne.
func (w *Log) Scrolled(e *fyne.ScrollEvent) {
	switch {
	case e.Scrolled.DY < 0:
		w.onScroll(1)
	case e.Scrolled.DY > 0:
		w.onScroll(-1)
	}
}

func (w *Log) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	font := w.font(17, 14)
	row := font * 1.75
	w.fits = int(size.Height / row)
	if len(m.Rows) == 0 {
		s.text(fit(m.Empty, size.Width, look.Regular, font), 0, font*1.2, left, look.Regular, font, p.Soft)
		return
	}
	for i := m.First; i < min(m.First+w.fits, len(m.Rows)); i++ {
		r, base := m.Rows[i], float32(i-m.First)*row+font*1.2
		x := s.text(r.Day, 0, base, left, look.Bold, font, p.Ink)
		if x > 0 {
			x += px(14)
		}
		c := p.Soft
		if r.Pencil {
			// A stroke of the pencil, as on the Stand.
			x = max(x, px(6))
			s.line(x, base+px(2), x+px(7), base-font*0.9, max(px(3), 2), p.Warm)
			x, c = x+px(20), p.Ink
		}
		s.text(fit(r.Text, size.Width-x-px(12), look.Regular, font), x, base, left, look.Regular, font, c)
	}
	if n := len(m.Rows); n > w.fits && w.fits > 0 {
		h := max(size.Height*float32(w.fits)/float32(n), px(14))
		y := (size.Height - h) * float32(m.First) / float32(n-w.fits)
		s.box(box{x: size.Width - px(4), y: y, w: px(3), h: h, fill: p.Rung, radius: px(1.5)})
	}
}
