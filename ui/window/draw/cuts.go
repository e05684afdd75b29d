package draw

import (
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// CutsModel is the chunks of a plan in their order.
type CutsModel struct {
	Names []string
	At    int // the one that is worked at; below 0 for none
	Hints []Hint
}

// Cuts shows a plan as a row of chunks: as many as there is room for, around the one
// that is worked at.
type Cuts struct {
	canvasWidget
	model CutsModel
	onTap func(i int)
}

var (
	_ fyne.Tappable      = (*Cuts)(nil)
	_ desktop.Cursorable = (*Cuts)(nil)
)

// NewCuts makes the row; onTap is told which chunk was tapped.
func NewCuts(onTap func(i int)) *Cuts {
	w := &Cuts{onTap: onTap}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Cuts) Set(m CutsModel) {
	w.model = m
	w.redraw()
}

// Model is what is shown.
func (w *Cuts) Model() CutsModel { return w.model }

// CutAt is a place on a chunk.
func (w *Cuts) CutAt(i int) fyne.Position { return w.sc.middle(i) }

// Tapped is for Fyne.
func (w *Cuts) Tapped(e *fyne.PointEvent) {
	if i, ok := w.sc.at(e.Position).(int); ok {
		w.onTap(i)
	}
}

// Cursor is for Fyne.
func (w *Cuts) Cursor() desktop.Cursor { return desktop.PointerCursor }

func (w *Cuts) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	if len(m.Names) == 0 {
		return
	}
	font := w.font(18, 14)
	edge, gap, inner := px(28), px(8), px(12)
	my := size.Height / 2
	base := my + font*look.CapHeight/2
	end := w.hints(s, size, p)
	name := func(i int) string { return strconv.Itoa(i+1) + "  " + m.Names[i] }
	wide := func(i int) float32 { return textWidth(name(i), look.Medium, font) + 2*inner }
	room := end - edge - 2*font // a sign at each end that there are more
	first, last := max(m.At, 0), max(m.At, 0)
	for used := wide(first); ; {
		switch {
		case last+1 < len(m.Names) && used+gap+wide(last+1) <= room && (last-m.At <= m.At-first || first == 0):
			last++
			used += gap + wide(last)
		case first > 0 && used+gap+wide(first-1) <= room:
			first--
			used += gap + wide(first)
		case last+1 < len(m.Names) && used+gap+wide(last+1) <= room:
			last++
			used += gap + wide(last)
		default:
			used = 0
		}
		if used == 0 {
			break
		}
	}
	x := edge
	if first > 0 {
		s.text("…", x, base, left, look.Regular, font, p.Soft)
		x += font
	}
	h := size.Height * 0.76
	for i := first; i <= last && i < len(m.Names); i++ {
		c, fill, stroke := p.Ink, clear, p.Hair
		if i == m.At {
			c, fill, stroke = p.On, p.Accent, p.Accent
		}
		text, f := squeeze(name(i), end-x-2*inner, look.Medium, font, 0.75)
		chip := textWidth(text, look.Medium, f) + 2*inner
		s.hit(i, x, 0, chip, size.Height)
		s.box(box{x: x, y: my - h/2, w: chip, h: h, fill: fill, stroke: stroke, width: max(px(1.5), 1), radius: h / 2})
		s.text(text, x+inner, base, left, look.Medium, f, c)
		x += chip + gap
	}
	if last+1 < len(m.Names) {
		s.text("…", x, base, left, look.Regular, font, p.Soft)
	}
}

// hints draws the keys at the right end, and says where they begin.
func (w *Cuts) hints(s *scene, size fyne.Size, p *look.Palette) float32 {
	px, font := w.px, w.font(17, 14)
	small, my := font*0.85, size.Height/2
	x := size.Width - px(28)
	for i := len(w.model.Hints) - 1; i >= 0; i-- {
		h := w.model.Hints[i]
		x -= textWidth(h.Does, look.Regular, font)
		s.text(h.Does, x, my+font*look.CapHeight/2, left, look.Regular, font, p.Soft)
		x -= px(7)
		for k := len(h.Keys) - 1; k >= 0; k-- {
			x -= keyWidth(h.Keys[k], small)
			s.keycap(h.Keys[k], x, my, small, p.Soft, p.Hair)
			x -= px(5)
		}
		x -= px(12)
	}
	return x
}
