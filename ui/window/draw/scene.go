// Package draw is the window's drawn widgets. Each shows one plain model and
// reports what the player did to it; none knows the ladder, the click or a
// file. All of it belongs to Fyne's main goroutine.
package draw

import (
	"image/color"
	"sort"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"footing/ui/window/look"
)

// scene is a retained picture drawn as if it were immediate: a widget draws all
// of itself each time, and only the leaves that came out different are touched.
// Leaves are reused by order within their kind.
type scene struct {
	objects []fyne.CanvasObject
	// anchor is refreshed when anything changed: leaves that are new to the
	// canvas, moved or gone cannot ask for a repaint themselves.
	anchor  *canvas.Rectangle
	regions []region // in the order in which they were drawn
	texts   pool[canvas.Text]
	rects   pool[canvas.Rectangle]
	lines   pool[canvas.Line]
	changed bool
}

// pool hands out leaves of one kind in order.
type pool[T any] struct {
	all  []*T
	next int
}

func (p *pool[T]) take() (leaf *T, fresh bool) {
	if fresh = p.next == len(p.all); fresh {
		p.all = append(p.all, new(T))
	}
	leaf = p.all[p.next]
	p.next++
	return leaf, fresh
}

// draw runs paint and reports whether the picture came out different.
func (s *scene) draw(paint func(*scene)) bool {
	if s.anchor == nil {
		s.anchor = &canvas.Rectangle{FillColor: color.Transparent}
	}
	before := s.objects
	s.objects = make([]fyne.CanvasObject, 1, max(len(before), 16))
	s.objects[0] = s.anchor
	s.regions = s.regions[:0]
	s.texts.next, s.rects.next, s.lines.next, s.changed = 0, 0, 0, false
	paint(s)
	changed := s.changed || len(before) != len(s.objects)
	for i := 0; !changed && i < len(before); i++ {
		changed = before[i] != s.objects[i]
	}
	if changed {
		s.anchor.Refresh()
	}
	return changed
}

// box is a rectangle, rounded where radius is above 0 and hollow where fill is
// transparent.
type box struct {
	x, y, w, h float32
	fill       color.NRGBA
	stroke     color.NRGBA
	width      float32
	radius     float32
}

func (s *scene) box(b box) {
	leaf, fresh := s.rects.take()
	want := canvas.Rectangle{FillColor: b.fill, StrokeColor: b.stroke, StrokeWidth: b.width, CornerRadius: b.radius}
	if fresh || leaf.FillColor != want.FillColor || leaf.StrokeColor != want.StrokeColor ||
		leaf.StrokeWidth != want.StrokeWidth || leaf.CornerRadius != want.CornerRadius {
		leaf.FillColor, leaf.StrokeColor, leaf.StrokeWidth, leaf.CornerRadius = want.FillColor, want.StrokeColor, want.StrokeWidth, want.CornerRadius
		s.changed = true
	}
	s.place(leaf, b.x, b.y, b.w, b.h)
}

func (s *scene) place(o fyne.CanvasObject, x, y, w, h float32) {
	pos, size := fyne.NewPos(x, y), fyne.NewSize(max(w, 0), max(h, 0))
	if o.Position() != pos {
		o.Move(pos)
		s.changed = true
	}
	if o.Size() != size {
		o.Resize(size)
		s.changed = true
	}
	s.objects = append(s.objects, o)
}

// region is a part of the picture that answers to the pointer.
type region struct {
	id         any
	x, y, w, h float32
}

// hit lets a part of the picture answer to the pointer, by an id of the widget's
// own.
func (s *scene) hit(id any, x, y, w, h float32) {
	s.regions = append(s.regions, region{id, x, y, w, h})
}

// at is the id of what answers at pos, nil when nothing does. Of two parts that
// lie on each other the one that was drawn first does.
func (s *scene) at(pos fyne.Position) any {
	for _, r := range s.regions {
		if pos.X >= r.x && pos.X < r.x+r.w && pos.Y >= r.y && pos.Y < r.y+r.h {
			return r.id
		}
	}
	return nil
}

// middle is a place in what answers to an id.
func (s *scene) middle(id any) fyne.Position {
	for _, r := range s.regions {
		if r.id == id {
			return fyne.NewPos(r.x+r.w/2, r.y+r.h/2)
		}
	}
	return fyne.Position{}
}

// line is a slanted line; upright and level ones are better as boxes, which
// have round ends.
func (s *scene) line(x1, y1, x2, y2, width float32, c color.NRGBA) {
	leaf, fresh := s.lines.take()
	p1, p2 := fyne.NewPos(x1, y1), fyne.NewPos(x2, y2)
	if fresh || leaf.Position1 != p1 || leaf.Position2 != p2 || leaf.StrokeColor != c || leaf.StrokeWidth != width {
		leaf.Position1, leaf.Position2, leaf.StrokeColor, leaf.StrokeWidth = p1, p2, c, width
		s.changed = true
	}
	s.objects = append(s.objects, leaf)
}

// Where a text stands relative to its x.
const (
	left  = 0
	mid   = 0.5
	right = 1
)

// text stands on its baseline. align is the share of its width that lies left
// of x. It returns the width.
func (s *scene) text(str string, x, baseline float32, align float32, face look.Face, size float32, c color.NRGBA) float32 {
	if str == "" {
		return 0
	}
	leaf, fresh := s.texts.take()
	font := face.Resource()
	if fresh || leaf.Text != str || leaf.TextSize != size || leaf.Color != c || leaf.FontSource != font {
		leaf.Text, leaf.TextSize, leaf.Color, leaf.FontSource = str, size, c, font
		s.changed = true
	}
	m, base := fyne.CurrentApp().Driver().RenderedTextSize(str, size, leaf.TextStyle, font)
	s.place(leaf, x-align*m.Width, baseline-base, m.Width, m.Height)
	return m.Width
}

// withhold keeps the leaf of a text that is not drawn for now, so that those
// after it keep theirs.
func (s *scene) withhold() { s.texts.take() }

// textWidth is how wide the text would be.
func textWidth(str string, face look.Face, size float32) float32 {
	m, _ := fyne.CurrentApp().Driver().RenderedTextSize(str, size, fyne.TextStyle{}, face.Resource())
	return m.Width
}

// fit shortens str to the width, with an ellipsis where it had to be cut.
func fit(str string, width float32, face look.Face, size float32) string {
	if textWidth(str, face, size) <= width {
		return str
	}
	runes := []rune(str)
	cut := func(n int) string { return string(runes[:n]) + "…" }
	n := sort.Search(len(runes)-1, func(i int) bool { return textWidth(cut(i+1), face, size) > width })
	return cut(n)
}

// squeeze brings str into the width: in smaller letters first, down to a share
// of least, and then cut.
func squeeze(str string, width float32, face look.Face, size, least float32) (string, float32) {
	if wide := textWidth(str, face, size); wide > width {
		size *= max(0.985*width/wide, least)
	}
	return fit(str, width, face, size), size
}

// wrap breaks str at spaces, and where it has lines of its own, into at most
// lines lines of the width; what does not fit is cut with an ellipsis.
func wrap(str string, width float32, lines int, face look.Face, size float32) []string {
	var out []string
	for str != "" && len(out) < lines-1 {
		own, _, _ := strings.Cut(str, "\n")
		cut := len(own)
		if textWidth(own, face, size) > width {
			cut = 0
			for i, r := range own {
				if r == ' ' && textWidth(own[:i], face, size) > width {
					break
				} else if r == ' ' {
					cut = i
				}
			}
			if cut == 0 {
				break
			}
		}
		out = append(out, own[:cut])
		str = str[min(cut+1, len(str)):]
	}
	if own, rest, more := strings.Cut(str, "\n"); str != "" {
		if own = fit(own, width, face, size); more && rest != "" && !strings.HasSuffix(own, "…") {
			own = fit(own+" …", width, face, size)
		}
		out = append(out, own)
	}
	return out
}

// clear is no colour at all.
var clear = color.NRGBA{}
