package draw

import (
	"cmp"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Area is a part of a picture, in the window's units.
type Area struct{ X, Y, W, H float32 }

// ChunkSpan is the part of the chunk that lies in one system.
type ChunkSpan struct {
	Area
	Begins, Ends bool // the chunk does, here
	// First and Last are where marks lie over the lines at its start and its end,
	// which break off there.
	First, Last []Gap
}

// Gap is a part of an upright line that is left out.
type Gap struct{ From, To float32 }

// SheetModel is what lies over the engraved notes, or stands in their place.
type SheetModel struct {
	Chunk   []ChunkSpan
	Landing bool // a mark after the chunk's end
	Cursor  Area // around the note under the cursor; empty for none
	Page    string
	// Lead and Text are said in place of notes.
	Lead, Text string
	Warm       bool // something is wrong
}

// Sheet brackets the chunk on engraved notes, which lie under it, and tells where
// the pointer meets them.
type Sheet struct {
	canvasWidget
	model   SheetModel
	o       SheetActions
	from    fyne.Position
	to      fyne.Position
	dragged bool
}

// SheetActions are told what the pointer does.
type SheetActions struct {
	Tap func(at fyne.Position)
	// Drag is called all along a drag, and once more with done at its end.
	Drag func(from, to fyne.Position, done bool)
	Turn func(pages int)
}

var (
	_ fyne.Tappable      = (*Sheet)(nil)
	_ fyne.Draggable     = (*Sheet)(nil)
	_ fyne.Scrollable    = (*Sheet)(nil)
	_ desktop.Cursorable = (*Sheet)(nil)
)

// NewSheet makes the sheet.
func NewSheet(o SheetActions) *Sheet {
	w := &Sheet{o: o}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Sheet) Set(m SheetModel) {
	w.model = m
	w.redraw()
}

// Tapped is for Fyne.
func (w *Sheet) Tapped(e *fyne.PointEvent) { w.o.Tap(e.Position) }

// Dragged is for Fyne.
func (w *Sheet) Dragged(e *fyne.DragEvent) {
	if !w.dragged {
		w.dragged = true
		w.from = e.Position.SubtractXY(e.Dragged.DX, e.Dragged.DY)
	}
	w.to = e.Position
	w.o.Drag(w.from, w.to, false)
}

// DragEnd is for Fyne.
func (w *Sheet) DragEnd() {
	if w.dragged {
		w.dragged = false
		w.o.Drag(w.from, w.to, true)
	}
}

// Scrolled is for Fyne.
func (w *Sheet) Scrolled(e *fyne.ScrollEvent) {
	switch d := e.Scrolled.DX + e.Scrolled.DY; {
	case d < 0:
		w.o.Turn(1)
	case d > 0:
		w.o.Turn(-1)
	}
}

// Cursor is for Fyne.
func (w *Sheet) Cursor() desktop.Cursor {
	if w.model.Text == "" {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// washOver is how much of the colour lies over the notes of the chunk: little
// enough that they lose none of their contrast that counts.
const washOver = 0x24

func (w *Sheet) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	wash := p.Accent
	wash.A = washOver
	bar := max(px(5), 4)
	for _, c := range m.Chunk {
		s.box(box{x: c.X, y: c.Y, w: c.W, h: c.H, fill: wash})
	}
	for _, c := range m.Chunk {
		arm := min(px(16), c.W/2)
		edge := func(x, inner float32, gaps []Gap) {
			for _, part := range parts(c.Y, c.Y+c.H, gaps) {
				s.box(box{x: x - bar/2, y: part.From - bar/2, w: bar, h: part.To - part.From + bar, fill: p.Accent, radius: bar / 2})
			}
			for _, y := range []float32{c.Y, c.Y + c.H} {
				s.box(box{x: min(x, inner) - bar/2, y: y - bar/2, w: arm + bar, h: bar, fill: p.Accent, radius: bar / 2})
			}
		}
		if c.Begins {
			edge(c.X, c.X+arm, c.First)
		}
		if c.Ends {
			edge(c.X+c.W, c.X+c.W-arm, c.Last)
			if d := max(px(13), 10); m.Landing {
				y := c.Y
				if len(c.Last) > 0 {
					y += c.H // clear of the marks
				}
				s.box(box{x: c.X + c.W + px(8), y: y - d/2, w: d, h: d, fill: p.Paper, stroke: p.Accent, width: max(px(2.5), 2), radius: d / 2})
			}
		}
	}
	if c := m.Cursor; c.W > 0 {
		s.box(box{x: c.X, y: c.Y, w: c.W, h: c.H, fill: clear, stroke: p.Warm, width: max(px(3), 2.5), radius: px(7)})
	}
	if m.Page != "" {
		font := w.font(18, 15)
		s.text(m.Page, size.Width-px(28), size.Height-px(6), right, look.Regular, font, p.Soft)
	}
	if m.Lead == "" && m.Text == "" {
		return
	}
	lead, text := w.font(34, look.FarSize), w.font(23, 18)
	room, x, y := size.Width-2*px(60), px(60), size.Height*0.3
	c := p.Ink
	if m.Warm {
		c = p.Warm
	}
	for _, line := range wrap(m.Lead, room, 2, look.Medium, lead) {
		s.text(line, x, y, left, look.Medium, lead, c)
		y += lead * 1.3
	}
	for _, line := range wrap(m.Text, room, 8, look.Regular, text) {
		s.text(line, x, y, left, look.Regular, text, p.Ink)
		y += text * 1.5
	}
}

// parts are what gaps leave of a line, from its start to its end.
func parts(from, to float32, gaps []Gap) (out []Gap) {
	gaps = slices.Clone(gaps)
	slices.SortFunc(gaps, func(a, b Gap) int { return cmp.Compare(a.From, b.From) })
	for _, g := range gaps {
		if g.From > from {
			out = append(out, Gap{from, min(g.From, to)})
		}
		from = max(from, g.To)
	}
	if from < to {
		out = append(out, Gap{from, to})
	}
	return out
}

// Model is what is shown.
func (w *Sheet) Model() SheetModel { return w.model }
