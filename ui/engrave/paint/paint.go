package paint

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/vector"

	"footing/ui/engrave"
	"footing/ui/palette"
)

// Painter paints drawings. It keeps what it has made of the fonts; it is for one
// goroutine at a time.
type Painter struct {
	fonts  *fonts
	masks  map[maskKey]*image.Alpha
	raster vector.Rasterizer
	// scratch is the mask of the curve that is being painted.
	scratch image.Alpha
}

// New makes a painter. The error says which of the built-in fonts cannot be read.
func New() (*Painter, error) {
	f, err := newFonts()
	if err != nil {
		return nil, err
	}
	return &Painter{fonts: f, masks: map[maskKey]*image.Alpha{}}, nil
}

// Sizes of a staff space in pixels at 96 to the inch. A staff as printed for
// players is 7.5 mm high and read at some 0.75 m (MOLA guidelines of 2017); the same
// angle at 1.2 m, behind a music stand, is a staff of 12 mm: 11.3 px a space.
const (
	LeastSpace   = 8 // where a note must be read at all
	DefaultSpace = 12
	LargeSpace   = 16
)

// View is how a drawing comes to lie on an image.
type View struct {
	// Space is the size of a staff space in pixels. Whole numbers put every line of
	// the staff on whole pixels.
	Space float64
	// X and Y are the pixel of the drawing's upper left corner.
	X, Y float64
	// Ink is the colour of a shape; see [Colours]. Shapes whose colour has no alpha
	// are left out.
	Ink func(engrave.Shape) color.NRGBA
}

// Colours are the colours of music on a palette's paper or card: signs in ink, the
// staff and bar numbers softer, the player's marks in pencil.
func Colours(p *palette.Palette) func(engrave.Shape) color.NRGBA {
	return func(s engrave.Shape) color.NRGBA {
		switch s.Role {
		case engrave.StaffLine, engrave.Number, engrave.Finger, engrave.HardArch:
			return p.Soft
		case engrave.Pencil:
			return p.Warm
		}
		return p.Ink
	}
}

// Only leaves out all shapes but those of the notes for which keep holds, in one
// colour: for lighting notes above a still picture.
func Only(keep func(note int) bool, c color.NRGBA) func(engrave.Shape) color.NRGBA {
	return func(s engrave.Shape) color.NRGBA {
		if s.Note >= 0 && s.Note == s.Last && keep(s.Note) {
			return c
		}
		return color.NRGBA{}
	}
}

// Lines is how thick a staff line is in pixels, for a space of so many.
func Lines(space float64) float64 { return max(1, math.Round(0.13*space)) }

// Draw paints a drawing onto dst, within its bounds.
func (p *Painter) Draw(dst *image.RGBA, d *engrave.Drawing, v View) {
	for _, s := range d.Systems {
		t := tool{Painter: p, dst: dst, v: v, thin: Lines(v.Space), origin: s.Middle}
		// The middle line falls on whole pixels, and with it all others.
		t.middle = math.Round(v.Y+s.Middle*v.Space-t.thin/2) + t.thin/2
		if bottom := t.y(s.Ink.Y1); bottom < float64(dst.Rect.Min.Y) || t.y(s.Ink.Y0) > float64(dst.Rect.Max.Y) {
			continue
		}
		for i := range d.Shapes[s.First:s.End] {
			t.shape(&d.Shapes[s.First+i])
		}
	}
}

// tool paints one system.
type tool struct {
	*Painter
	dst            *image.RGBA
	v              View
	thin           float64 // pixels of the staff's lines
	origin, middle float64 // the middle line, in spaces and in pixels
}

func (t *tool) x(x float64) float64 { return t.v.X + x*t.v.Space }
func (t *tool) y(y float64) float64 { return t.middle + (y-t.origin)*t.v.Space }

func (t *tool) shape(s *engrave.Shape) {
	c := t.v.Ink(*s)
	if c.A == 0 {
		return
	}
	switch s.Kind {
	case engrave.Sign, engrave.Text:
		t.fonts.glyphs(*s, func(k outlineKey, x, y, size float64) { t.glyph(k, t.x(x), t.y(y), size*t.v.Space, c) })
	case engrave.Bar:
		t.bar(s, c)
	case engrave.Slant:
		t.slant(s, c)
	case engrave.Curve:
		t.curve(s, c)
	}
}

// bar fills a level or upright line whose thickness is whole pixels.
func (t *tool) bar(s *engrave.Shape, c color.NRGBA) {
	thick := max(1, math.Round(s.Thick*t.v.Space))
	switch s.Role {
	case engrave.StaffLine, engrave.Stem, engrave.Ledger, engrave.Tuplet, engrave.Ending:
		thick = t.thin
	}
	x1, y1, x2, y2 := t.x(min(s.X, s.X2)), t.y(min(s.Y, s.Y2)), t.x(max(s.X, s.X2)), t.y(max(s.Y, s.Y2))
	if s.X == s.X2 {
		x1 = math.Round(x1 - thick/2)
		x2 = x1 + thick
		if s.Role == engrave.BarLine { // it ends with the outer lines
			y1, y2 = math.Round(y1-t.thin/2), math.Round(y2+t.thin/2)
		}
	} else {
		y1 = math.Round(y1 - thick/2)
		y2 = y1 + thick
	}
	t.rect(x1, y1, x2, y2, c)
}

// rect fills a rectangle, pixels at its edges by their share.
func (t *tool) rect(x1, y1, x2, y2 float64, c color.NRGBA) {
	b := t.dst.Rect
	for y := max(b.Min.Y, int(math.Floor(y1))); y < min(b.Max.Y, int(math.Ceil(y2))); y++ {
		high := min(float64(y+1), y2) - max(float64(y), y1)
		for x := max(b.Min.X, int(math.Floor(x1))); x < min(b.Max.X, int(math.Ceil(x2))); x++ {
			wide := min(float64(x+1), x2) - max(float64(x), x1)
			t.blend(x, y, c, high*wide)
		}
	}
}

// slant fills a bar with upright ends.
func (t *tool) slant(s *engrave.Shape, c color.NRGBA) {
	x1, x2 := t.x(s.X), t.x(s.X2)
	y1, y2 := t.y(s.Y), t.y(s.Y2)
	half := s.Thick * t.v.Space / 2
	if s.Role == engrave.Beam { // its ends are those of its stems
		x1, x2 = math.Round(x1), math.Round(x2)
	}
	b := t.dst.Rect
	for x := max(b.Min.X, int(math.Floor(x1))); x < min(b.Max.X, int(math.Ceil(x2))); x++ {
		wide := min(float64(x+1), x2) - max(float64(x), x1)
		mid := y1 + (y2-y1)*(float64(x)+0.5-x1)/(x2-x1)
		top, bottom := mid-half, mid+half
		for y := max(b.Min.Y, int(math.Floor(top))); y < min(b.Max.Y, int(math.Ceil(bottom))); y++ {
			t.blend(x, y, c, wide*(min(float64(y+1), bottom)-max(float64(y), top)))
		}
	}
}

// blend lays a colour over a pixel, by a share of its strength.
func (t *tool) blend(x, y int, c color.NRGBA, share float64) {
	if a := uint32(share*float64(c.A) + 0.5); a > 0 {
		over(t.dst.Pix[t.dst.PixOffset(x, y):], c, a)
	}
}

// over lays a colour with alpha a, 0 to 255, over a premultiplied pixel.
func over(pix []uint8, c color.NRGBA, a uint32) {
	pix = pix[:4:4]
	if a == 255 {
		pix[0], pix[1], pix[2], pix[3] = c.R, c.G, c.B, 255
		return
	}
	rest := 255 - a
	pix[0] = uint8((uint32(c.R)*a + uint32(pix[0])*rest + 127) / 255)
	pix[1] = uint8((uint32(c.G)*a + uint32(pix[1])*rest + 127) / 255)
	pix[2] = uint8((uint32(c.B)*a + uint32(pix[2])*rest + 127) / 255)
	pix[3] = uint8((255*a + uint32(pix[3])*rest + 127) / 255)
}

// maskKey is a glyph at a size, at a quarter of a pixel's height. Its Rect is
// where it lies around its origin.
type maskKey struct {
	outlineKey
	size    float64
	quarter int
}

// glyph paints one with its origin at x, which is rounded to a whole pixel, and y.
func (t *tool) glyph(k outlineKey, x, y, size float64, c color.NRGBA) {
	fourths := math.Round(y * 4)
	whole := math.Floor(fourths / 4)
	m := t.mask(maskKey{k, size, int(fourths - 4*whole)})
	t.stamp(m, image.Pt(int(math.Round(x)), int(whole)), c)
}

// stamp lays a colour through a mask whose origin comes to lie at a pixel.
func (t *tool) stamp(m *image.Alpha, at image.Point, c color.NRGBA) {
	b := m.Rect.Add(at).Intersect(t.dst.Rect)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		row := m.Pix[m.PixOffset(b.Min.X-at.X, y-at.Y):]
		pix := t.dst.Pix[t.dst.PixOffset(b.Min.X, y):]
		for i := range b.Dx() {
			if a := uint32(row[i]); a > 0 {
				over(pix[4*i:], c, a*uint32(c.A)/255)
			}
		}
	}
}

// mostMasks is how many masks are kept; a window has some fifty at a size.
const mostMasks = 2000

func (p *Painter) mask(k maskKey) *image.Alpha {
	if m, ok := p.masks[k]; ok {
		return m
	}
	if len(p.masks) >= mostMasks {
		clear(p.masks)
	}
	o := p.fonts.outline(k.outlineKey)
	dy := float64(k.quarter) / 4
	r := o.bounds(k.size, dy)
	m := image.NewAlpha(r)
	p.masks[k] = m
	if r.Empty() {
		return m
	}
	p.raster.Reset(r.Dx(), r.Dy())
	pt := func(q point) (float32, float32) {
		return float32(q.x*k.size - float64(r.Min.X)), float32(q.y*k.size + dy - float64(r.Min.Y))
	}
	for i, s := range o.segments {
		ax, ay := pt(s.arg[0])
		bx, by := pt(s.arg[1])
		cx, cy := pt(s.arg[2])
		switch s.op {
		case sfnt.SegmentOpMoveTo:
			if i > 0 {
				p.raster.ClosePath()
			}
			p.raster.MoveTo(ax, ay)
		case sfnt.SegmentOpLineTo:
			p.raster.LineTo(ax, ay)
		case sfnt.SegmentOpQuadTo:
			p.raster.QuadTo(ax, ay, bx, by)
		case sfnt.SegmentOpCubeTo:
			p.raster.CubeTo(ax, ay, bx, by, cx, cy)
		}
	}
	p.raster.ClosePath()
	p.raster.DrawOp = draw.Src
	p.raster.Draw(m, r, image.Opaque, image.Point{})
	return m
}

// bounds are the pixels of an outline at a size, moved down by dy.
func (o *outline) bounds(size, dy float64) image.Rectangle {
	if len(o.segments) == 0 {
		return image.Rectangle{}
	}
	x1, y1, x2, y2 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, s := range o.segments {
		for _, q := range s.arg[:args(s.op)] {
			x1, y1, x2, y2 = min(x1, q.x), min(y1, q.y), max(x2, q.x), max(y2, q.y)
		}
	}
	return image.Rect(int(math.Floor(x1*size)), int(math.Floor(y1*size+dy)), int(math.Ceil(x2*size)), int(math.Ceil(y2*size+dy)))
}

// args is how many points a step has.
func args(op sfnt.SegmentOp) int {
	switch op {
	case sfnt.SegmentOpQuadTo:
		return 2
	case sfnt.SegmentOpCubeTo:
		return 3
	}
	return 1
}

// curve fills a slur or tie.
func (t *tool) curve(s *engrave.Shape, c color.NRGBA) {
	there, back := lens(*s)
	x1, y1, x2, y2 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	px := func(q point) point { return point{t.x(q.x), t.y(q.y)} }
	for i := range there {
		there[i], back[i] = px(there[i]), px(back[i])
		for _, q := range [...]point{there[i], back[i]} {
			x1, y1, x2, y2 = min(x1, q.x), min(y1, q.y), max(x2, q.x), max(y2, q.y)
		}
	}
	r := image.Rect(int(math.Floor(x1)), int(math.Floor(y1)), int(math.Ceil(x2)), int(math.Ceil(y2)))
	if r.Intersect(t.dst.Rect).Empty() {
		return
	}
	p := &t.raster
	p.Reset(r.Dx(), r.Dy())
	at := func(q point) (float32, float32) {
		return float32(q.x - float64(r.Min.X)), float32(q.y - float64(r.Min.Y))
	}
	half := func(c [4]point) {
		ax, ay := at(c[1])
		bx, by := at(c[2])
		ex, ey := at(c[3])
		p.CubeTo(ax, ay, bx, by, ex, ey)
	}
	p.MoveTo(at(there[0]))
	half(there)
	p.LineTo(at(back[0]))
	half(back)
	p.ClosePath()
	if n := r.Dx() * r.Dy(); cap(t.scratch.Pix) < n {
		t.scratch.Pix = make([]uint8, n)
	} else {
		t.scratch.Pix = t.scratch.Pix[:n]
	}
	t.scratch.Stride, t.scratch.Rect = r.Dx(), image.Rectangle{Max: r.Size()}
	p.DrawOp = draw.Src
	p.Draw(&t.scratch, t.scratch.Rect, image.Opaque, image.Point{})
	t.stamp(&t.scratch, r.Min, c)
}
