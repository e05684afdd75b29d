package draw

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// DueRow is one thing to practise in a [DueModel].
type DueRow struct {
	Name, Value, Where, Since string
}

// DueModel is what is due today, the most urgent first.
type DueModel struct {
	Title    string
	Rows     []DueRow
	Selected int    // −1 for none
	Empty    string // is said where there are no rows
}

// Due lists what is due.
type Due struct {
	canvasWidget
	model DueModel
	onRow func(int)
	over  int
}

var (
	_ fyne.Tappable      = (*Due)(nil)
	_ fyne.Scrollable    = (*Due)(nil)
	_ desktop.Hoverable  = (*Due)(nil)
	_ desktop.Cursorable = (*Due)(nil)
)

// NewDue makes the list; onRow is told which row was chosen.
func NewDue(onRow func(int)) *Due {
	w := &Due{onRow: onRow, over: -1}
	w.init(w, w.draw)
	return w
}

// Model is what is shown.
func (w *Due) Model() DueModel { return w.model }

// Set shows m.
func (w *Due) Set(m DueModel) {
	w.model = m
	w.redraw()
}

// RowAt is a place on a row that is shown.
func (w *Due) RowAt(i int) fyne.Position { return w.sc.middle(i) }

// Tapped is for Fyne.
func (w *Due) Tapped(e *fyne.PointEvent) {
	if i, ok := w.sc.at(e.Position).(int); ok {
		w.onRow(i)
	}
}

// Scrolled is for Fyne.
func (w *Due) Scrolled(e *fyne.ScrollEvent) {
	to := w.model.Selected
	if e.Scrolled.DY < 0 {
		to++
	} else {
		to--
	}
	if to >= 0 && to < len(w.model.Rows) {
		w.onRow(to)
	}
}

// MouseIn is for Fyne.
func (w *Due) MouseIn(e *desktop.MouseEvent) { w.MouseMoved(e) }

// MouseMoved is for Fyne.
func (w *Due) MouseMoved(e *desktop.MouseEvent) {
	i, ok := w.sc.at(e.Position).(int)
	if !ok {
		i = -1
	}
	w.over = i
}

// MouseOut is for Fyne.
func (w *Due) MouseOut() { w.over = -1 }

// Cursor is for Fyne.
func (w *Due) Cursor() desktop.Cursor {
	if w.over >= 0 {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

func (w *Due) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	title := w.font(20, 16)
	s.text(m.Title, px(28), px(38), left, look.Regular, title, p.Soft)
	name, small := w.font(20, 16), w.font(16, 14)
	row := max(px(84), name+2*small*1.35+px(16))
	top := px(54)
	room := size.Width - px(56)
	if len(m.Rows) == 0 {
		for i, line := range wrap(m.Empty, room, 6, look.Regular, small) {
			s.text(line, px(28), top+small*(1.4*float32(i)+1), left, look.Regular, small, p.Soft)
		}
		return
	}
	fits := max(int((size.Height-top)/row), 1)
	first := min(max(m.Selected-fits/2, 0), max(len(m.Rows)-fits, 0))
	for i := first; i < min(first+fits, len(m.Rows)); i++ {
		r, y := m.Rows[i], top+float32(i-first)*row
		s.hit(i, 0, y, size.Width, row)
		if i == m.Selected {
			s.box(box{x: px(16), y: y, w: size.Width - px(32), h: row - px(4), fill: p.Wash, radius: px(10)})
		}
		base := y + px(8) + name*0.85
		value := textWidth(r.Value, look.Bold, name*0.9)
		s.text(r.Value, px(28)+room, base, right, look.Bold, name*0.9, p.Accent)
		s.text(fit(r.Name, room-value-px(10), look.Bold, name), px(28), base, left, look.Bold, name, p.Ink)
		s.text(fit(r.Where, room, look.Regular, small), px(28), base+small*1.35, left, look.Regular, small, p.Soft)
		s.text(fit(r.Since, room, look.Regular, small), px(28), base+small*2.7, left, look.Regular, small, p.Soft)
	}
	if more := len(m.Rows) - fits; more > 0 {
		y := top + (size.Height-top)*float32(first)/float32(len(m.Rows))
		s.box(box{x: size.Width - px(8), y: y, w: px(3), h: (size.Height - top) * float32(fits) / float32(len(m.Rows)), fill: p.Rung, radius: px(1.5)})
	}
}
