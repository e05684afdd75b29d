package paint

import (
	"image"
	"image/color"
	"image/draw"

	"footing/ui/engrave"
	"footing/ui/palette"
)

// Still keeps a painted drawing, so that a widget's raster can ask for it as often
// as it likes: it is painted again only when the drawing, the colours, the size or
// the scale are others. What moves above it, as a cursor does, is drawn apart.
type Still struct {
	painter *Painter
	made    scene
	image   *image.RGBA
	painted int
}

type scene struct {
	drawing     *engrave.Drawing
	palette     palette.Palette
	ground      color.NRGBA
	size        image.Point
	space, x, y float64
}

// NewStill makes one that paints with p.
func NewStill(p *Painter) *Still { return &Still{painter: p} }

// Image is the drawing on w by h pixels of a palette's paper, or its card, with so
// many pixels a space. A drawing counts as the same by its address: whoever lays
// music out anew makes a new one. Nobody writes to the image.
func (s *Still) Image(d *engrave.Drawing, p *palette.Palette, card bool, w, h int, space float64) *image.RGBA {
	ground := p.Paper
	if card {
		ground = p.Card
	}
	return s.on(ground, d, p, w, h, View{Space: space})
}

// Over is the drawing on nothing, for a raster that lies over what else is drawn,
// placed as v has it; the ink is the palette's.
func (s *Still) Over(d *engrave.Drawing, p *palette.Palette, w, h int, v View) *image.RGBA {
	return s.on(color.NRGBA{}, d, p, w, h, v)
}

func (s *Still) on(ground color.NRGBA, d *engrave.Drawing, p *palette.Palette, w, h int, v View) *image.RGBA {
	want := scene{d, *p, ground, image.Pt(w, h), v.Space, v.X, v.Y}
	if s.image != nil && s.made == want {
		return s.image
	}
	if s.image == nil || s.image.Rect.Size() != want.size {
		s.image = image.NewRGBA(image.Rectangle{Max: want.size})
	}
	draw.Draw(s.image, s.image.Rect, image.NewUniform(ground), image.Point{}, draw.Src)
	if d != nil {
		v.Ink = Colours(p)
		s.painter.Draw(s.image, d, v)
	}
	s.made = want
	s.painted++
	return s.image
}

// Forget lets go of the image, which may be some megabytes, until it is asked for
// again.
func (s *Still) Forget() { s.made, s.image = scene{}, nil }

// Painted is how often the drawing has been painted.
func (s *Still) Painted() int { return s.painted }
