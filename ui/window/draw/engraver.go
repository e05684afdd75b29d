package draw

import (
	"image"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/window/look"
)

// engraver paints a lane's notes: on two leaves that stand beside each other where
// one page gives way to the next, so that a turn repaints one of them and the
// light none.
type engraver struct {
	painter *paint.Painter
	broken  bool // there is no painter
	laid    *staff
	room    staffRoom
	leaves  [2]leaf
}

// leaf is a part of a drawing on the screen.
type leaf struct {
	raster *canvas.Raster
	still  *paint.Still
	shown  picture
	turns  int // how often it came to show another
}

// picture is what a leaf shows. Places are in pixels.
type picture struct {
	drawing     *engrave.Drawing
	palette     look.Palette
	w, h        float32
	space, x, y float64
}

func (e *engraver) init(l *Lane) {
	for i := range e.leaves {
		f := &e.leaves[i]
		f.raster = canvas.NewRaster(func(w, h int) image.Image {
			if f.still == nil {
				return image.NewUniform(clear)
			}
			m := f.shown
			return f.still.Over(m.drawing, &m.palette, w, h, paint.View{Space: m.space, X: m.x, Y: m.y})
		})
	}
}

// staff is the notes laid out in a room; nil where they cannot be drawn.
func (e *engraver) staff(r staffRoom) *staff {
	if e.painter == nil && !e.broken {
		painter, err := paint.New()
		if e.painter, e.broken = painter, err != nil; err == nil {
			for i := range e.leaves {
				e.leaves[i].still = paint.NewStill(painter)
			}
		}
	}
	if e.broken {
		return nil
	}
	if e.room != r {
		e.room, e.laid = r, r.layOut()
	}
	return e.laid
}

// show puts the notes of the stretches on the scene.
func (e *engraver) show(s *scene, p *look.Palette, notes *staff, parts []stretch) {
	x, edge := notes.x, notes.x+notes.w
	if len(parts) > 1 {
		edge = notes.seam(parts[1])
		w := max(1.5, 1/float32(notes.device))
		s.box(box{x: edge - w/2, y: notes.top, w: w, h: notes.bottom - notes.top, fill: p.Rung})
	}
	for i, part := range parts {
		d := notes.drawing(part)
		e.leaves[i].show(s, picture{
			drawing: d, palette: *p, w: edge - x, h: notes.h, space: notes.space,
			x: -math.Round(float64(x-notes.x) * notes.device), y: notes.middle - d.Systems[0].Middle*notes.space,
		}, x, notes.y)
		x, edge = edge, notes.x+notes.w
	}
}

func (f *leaf) show(s *scene, m picture, x, y float32) {
	if m.w <= 0 {
		return
	}
	anew := f.shown != m
	sized := f.raster.Size() != fyne.NewSize(m.w, m.h)
	f.shown = m
	s.place(f.raster, x, y, m.w, m.h)
	if !anew {
		return
	}
	s.changed = true
	if f.turns++; !sized { // a new size repaints by itself
		f.raster.Refresh()
	}
}

// drawing is the page that a stretch is of, or a staff without notes.
func (s *staff) drawing(part stretch) *engrave.Drawing {
	at := int(part.from)
	switch {
	case s.notes == nil:
		return s.blank
	case s.per == 0:
		return s.pages[0]
	case at < s.first || at >= s.end:
		return s.blank
	}
	return s.pages[s.page(at)]
}

// seam is where a page gives way to a stretch of another: before its first note
// and all that hangs on it.
func (s *staff) seam(part stretch) float32 {
	x := part.at(part.from)
	ink := s.spaces(float64(x-s.x)) - 1.2
	d := s.drawing(part)
	for _, shape := range d.Shapes {
		if shape.Role != engrave.Head && shape.Role != engrave.Accidental && shape.Role != engrave.Ledger || shape.Note < 0 {
			continue
		}
		if note, ok := d.Place(shape.Note); ok && math.Abs(s.notes.At(note.Onset)-part.from) < 1e-9 {
			ink = min(ink, shape.Ink().X0-0.2)
		}
	}
	return s.x + float32(math.Round(ink*s.space)/s.device)
}
