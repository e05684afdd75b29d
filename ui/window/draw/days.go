package draw

import (
	"math"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// DayPoint is a day of practice, or several put together. Tempos are in beats a
// minute, 0 where there is none.
type DayPoint struct {
	At            float64 // from the first day, in days
	Best, Footing float64
}

// DayTick is a date under the graph.
type DayTick struct {
	At    float64
	Label string
}

// DaysModel is tempo against days.
type DaysModel struct {
	Title  string
	Points []DayPoint
	Ticks  []DayTick
	Span   float64 // days from the first to the last
	Goal   float64 // 0 for none
	Cursor int     // the point whose figures are said, −1 for none
	Said   string
	Empty  string // is said where there are no points
}

// Days is the graph. What it shows is told apart by its shape: a notehead is the
// best clean tempo, a bar the footing, a broken line the goal.
type Days struct {
	canvasWidget
	model   DaysModel
	onPoint func(int)
	xs      []float32
}

var (
	_ fyne.Tappable     = (*Days)(nil)
	_ desktop.Hoverable = (*Days)(nil)
)

// NewDays makes the graph; onPoint is told at which point the pointer is.
func NewDays(onPoint func(int)) *Days {
	w := &Days{onPoint: onPoint}
	w.init(w, w.draw)
	return w
}

// Model is what is shown.
func (w *Days) Model() DaysModel { return w.model }

// Set shows m.
func (w *Days) Set(m DaysModel) {
	w.model = m
	w.redraw()
}

// PointAt is a place on a point.
func (w *Days) PointAt(i int) fyne.Position { return fyne.NewPos(w.xs[i], w.Size().Height/2) }

// Tapped is for Fyne.
func (w *Days) Tapped(e *fyne.PointEvent) { w.point(e.Position) }

// MouseIn is for Fyne.
func (w *Days) MouseIn(e *desktop.MouseEvent) { w.point(e.Position) }

// MouseMoved is for Fyne.
func (w *Days) MouseMoved(e *desktop.MouseEvent) { w.point(e.Position) }

// MouseOut is for Fyne.
func (w *Days) MouseOut() {}

// point is the one nearest to where the pointer is, if it is near.
func (w *Days) point(pos fyne.Position) {
	best, near := -1, w.px(24)
	for i, x := range w.xs {
		if d := float32(math.Abs(float64(x - pos.X))); d <= near {
			best, near = i, d
		}
	}
	if best >= 0 && best != w.model.Cursor {
		w.onPoint(best)
	}
}

func (w *Days) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	title, small := w.font(20, 16), w.font(16, 14)
	head := px(30)
	// The figures of a day go before the title where there is no room for both.
	used := float32(0)
	if textWidth(m.Title, look.Regular, title)+px(24)+textWidth(m.Said, look.Bold, small) <= size.Width || m.Said == "" {
		used = s.text(m.Title, 0, head, left, look.Regular, title, p.Soft) + px(24)
	}
	w.xs = w.xs[:0]
	if len(m.Points) == 0 {
		for i, line := range wrap(m.Empty, size.Width, 4, look.Regular, small) {
			s.text(line, 0, head+px(20)+small*1.4*float32(i+1), left, look.Regular, small, p.Soft)
		}
		return
	}
	if m.Said == "" {
		w.legend(s, size, p, head, small)
	} else {
		said, font := squeeze(m.Said, size.Width-used, look.Bold, small, 0.8)
		s.text(said, size.Width, head, right, look.Bold, font, p.Ink)
	}

	low, high := m.bounds()
	leftEdge, top, bottom := px(44)+small, head+px(34), size.Height-small*2.2
	y := func(t float64) float32 { return bottom - (bottom-top)*float32((t-low)/(high-low)) }
	margin := px(20)
	x := func(at float64) float32 {
		if m.Span <= 0 {
			return leftEdge + margin
		}
		return leftEdge + margin + (size.Width-leftEdge-2*margin)*float32(at/m.Span)
	}
	for _, pt := range m.Points {
		w.xs = append(w.xs, x(pt.At))
	}
	space := w.space(size.Width - leftEdge)
	if m.Cursor >= 0 {
		wide := max(2*space, px(10))
		s.box(box{x: w.xs[m.Cursor] - wide/2, y: top - px(6), w: wide, h: bottom - top + px(12), fill: p.Wash, radius: px(6)})
	}
	step := w.step(high-low, bottom-top, small)
	for t := math.Ceil(low/step) * step; t <= high+1e-9; t += step {
		s.box(box{x: leftEdge, y: y(t) - 0.5, w: size.Width - leftEdge, h: 1, fill: p.Hair})
		if m.Goal == 0 || math.Abs(float64(y(t)-y(m.Goal))) > float64(small)*0.4 {
			s.text(strconv.FormatFloat(t, 'f', -1, 64), leftEdge-px(12), y(t)+small*look.CapHeight/2, right, look.Regular, small, p.Soft)
		}
	}
	if m.Goal > 0 {
		for x := leftEdge; x < size.Width; x += px(10) {
			s.box(box{x: x, y: y(m.Goal) - px(1), w: min(px(6), size.Width-x), h: max(px(2), 1.5), fill: p.Warm})
		}
		s.text("goal "+strconv.FormatFloat(m.Goal, 'f', -1, 64), leftEdge, y(m.Goal)-px(7), left, look.Regular, small, p.Warm)
	}
	free := leftEdge - margin
	for _, t := range m.Ticks {
		wide := textWidth(t.Label, look.Regular, small)
		at := min(max(x(t.At)-wide/2, leftEdge-margin), size.Width-wide)
		if at < free+px(14) {
			continue
		}
		s.text(t.Label, at, size.Height-small*0.4, left, look.Regular, small, p.Soft)
		free = at + wide
	}
	for i, pt := range m.Points {
		w.dot(s, p, pt, w.xs[i], y, space)
	}
}

// dot is a point: a stem from the footing to the best.
func (w *Days) dot(s *scene, p *look.Palette, pt DayPoint, x float32, y func(float64) float32, space float32) {
	px := w.px
	if pt.Best > 0 && pt.Footing > 0 {
		s.box(box{x: x - px(0.75), y: y(pt.Best), w: max(px(1.5), 1), h: y(pt.Footing) - y(pt.Best), fill: p.Accent})
	}
	if pt.Footing > 0 {
		under := px(0)
		if pt.Footing == pt.Best {
			under = space * 0.7 // where the notehead hides it not
		}
		s.box(box{x: x - space*0.8, y: y(pt.Footing) - px(1.5) + under, w: space * 1.6, h: max(px(3.5), 2.5), fill: p.Ink, radius: px(1.5)})
	}
	if pt.Best > 0 {
		s.notehead(MarkClean, x, y(pt.Best), space, p)
	}
}

// space is the staff space by which points are measured: as large as they can be
// without lying on each other.
func (w *Days) space(width float32) float32 {
	least := width
	for i := 1; i < len(w.xs); i++ {
		if d := w.xs[i] - w.xs[i-1]; d > 0 {
			least = min(least, d)
		}
	}
	return min(max(least*0.6, w.px(4)), w.px(11))
}

func (w *Days) legend(s *scene, size fyne.Size, p *look.Palette, base, small float32) {
	px := w.px
	x := size.Width
	x -= s.text("footing", x, base, right, look.Regular, small, p.Soft) + px(8)
	s.box(box{x: x - px(20), y: base - small*look.CapHeight/2 - px(2), w: px(20), h: max(px(4), 3), fill: p.Ink, radius: px(2)})
	x -= px(20 + 24)
	x -= s.text("best clean", x, base, right, look.Regular, small, p.Soft) + px(16)
	s.notehead(MarkClean, x, base-small*look.CapHeight/2, px(11), p)
}

// bounds are the slowest and the fastest tempo of the graph.
func (m DaysModel) bounds() (low, high float64) {
	low, high = math.Inf(1), m.Goal
	for _, p := range m.Points {
		for _, t := range []float64{p.Best, p.Footing} {
			if t > 0 {
				low, high = min(low, t), max(high, t)
			}
		}
	}
	if math.IsInf(low, 1) {
		low = max(high-20, 0)
	}
	return low - max((high-low)*0.06, 2), high + 1
}

// step is how many beats a minute lie between two lines of the graph.
func (w *Days) step(span float64, room, small float32) float64 {
	for _, step := range []float64{4, 8, 10, 20, 40, 80} {
		if float32(step/span)*room >= small*2.2 {
			return step
		}
	}
	return 100
}
