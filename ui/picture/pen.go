package picture

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"unicode"

	"git.sr.ht/~sbinet/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"

	"footing/assets"
	"footing/ui/palette"
)

// weight is a weight of the text face.
type weight int

const (
	regular weight = iota
	medium
	bold
)

// capHeight is the height of a capital as a share of the font size, from the
// fonts' own OS/2 tables.
const capHeight = 0.668

// pen draws shapes and text. Sizes are in units of which a picture of 1600 by
// 1000 has one a pixel.
type pen struct {
	dc    *gg.Context
	w, h  float64 // of the picture, in units
	u     float64 // pixels a unit
	p     *palette.Palette
	fonts [3]*opentype.Font
	faces map[face]font.Face
}

type face struct {
	weight weight
	size   float64
}

func newPen(size image.Point, p *palette.Palette) (*pen, error) {
	u := min(float64(size.X)/1600, float64(size.Y)/1000)
	out := &pen{
		dc: gg.NewContext(size.X, size.Y), u: u, w: float64(size.X) / u, h: float64(size.Y) / u,
		p: p, faces: map[face]font.Face{},
	}
	for i, data := range [...][]byte{regular: assets.TextRegular, medium: assets.TextMedium, bold: assets.TextBold} {
		parsed, err := opentype.Parse(data)
		if err != nil {
			return nil, fmt.Errorf("reading the text face: %w", err)
		}
		out.fonts[i] = parsed
	}
	return out, nil
}

// setFace picks a weight and a size in units.
func (g *pen) setFace(w weight, size float64) {
	key := face{w, size}
	if g.faces[key] == nil {
		made, err := opentype.NewFace(g.fonts[w], &opentype.FaceOptions{Size: size * g.u, DPI: 72, Hinting: font.HintingNone})
		if err != nil {
			return // it never fails for a parsed font and these options
		}
		g.faces[key] = made
	}
	g.dc.SetFontFace(g.faces[key])
}

// style is how a text looks: its weight, size, colour, and which share of it
// lies left of its place.
type style struct {
	weight weight
	size   float64
	colour color.NRGBA
	left   float64
}

// text draws s with its capitals centred on y, and returns its width.
func (g *pen) text(s string, x, y float64, st style) float64 {
	g.setFace(st.weight, st.size)
	g.dc.SetColor(st.colour)
	w, _ := g.dc.MeasureString(s)
	g.dc.DrawString(s, x*g.u-w*st.left, (y+st.size*capHeight/2)*g.u)
	return w / g.u
}

// width is how wide s is.
func (g *pen) width(s string, w weight, size float64) float64 {
	g.setFace(w, size)
	px, _ := g.dc.MeasureString(s)
	return px / g.u
}

// cut shortens s in its middle to fit into room, so that both the beginning and
// the end of a name can be read.
func (g *pen) cut(s string, room float64, w weight, size float64) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
	letters := []rune(s)
	if len(letters) > 400 {
		letters = append(append(letters[:200:200], '…'), letters[len(letters)-199:]...)
		s = string(letters)
	}
	for n := len(letters); n > 2 && g.width(s, w, size) > room; n-- {
		head := (n - 1 + 1) / 2
		s = string(letters[:head]) + "…" + string(letters[len(letters)-(n-1-head):])
	}
	return s
}

// wrap breaks s into lines of at most room.
func (g *pen) wrap(s string, room float64, w weight, size float64) []string {
	g.setFace(w, size)
	return g.dc.WordWrap(s, room*g.u)
}

// rect fills a rectangle with rounded corners.
func (g *pen) rect(b box, corner float64, c color.NRGBA) {
	g.dc.SetColor(c)
	g.dc.DrawRoundedRectangle(b.x*g.u, b.y*g.u, b.w*g.u, b.h*g.u, corner*g.u)
	g.dc.Fill()
}

// outline strokes a rectangle with rounded corners.
func (g *pen) outline(b box, corner, width float64, c color.NRGBA) {
	g.dc.SetColor(c)
	g.dc.SetLineWidth(max(1, width*g.u))
	g.dc.DrawRoundedRectangle(b.x*g.u, b.y*g.u, b.w*g.u, b.h*g.u, corner*g.u)
	g.dc.Stroke()
}

// line strokes a line; vertical and horizontal hairlines fall on whole pixels.
func (g *pen) line(x1, y1, x2, y2, width float64, c color.NRGBA) {
	px := max(1, width*g.u)
	x1, y1, x2, y2 = x1*g.u, y1*g.u, x2*g.u, y2*g.u
	if px < 2 {
		snap := func(v float64) float64 { return math.Floor(v) + 0.5 }
		if x1 == x2 {
			x1, x2 = snap(x1), snap(x2)
		}
		if y1 == y2 {
			y1, y2 = snap(y1), snap(y2)
		}
	}
	g.dc.SetColor(c)
	g.dc.SetLineWidth(px)
	g.dc.DrawLine(x1, y1, x2, y2)
	g.dc.Stroke()
}

// disc, ring and diamond are note shapes.
func (g *pen) disc(x, y, r float64, c color.NRGBA) {
	g.dc.SetColor(c)
	g.dc.DrawCircle(x*g.u, y*g.u, r*g.u)
	g.dc.Fill()
}

func (g *pen) ring(x, y, r, width float64, c color.NRGBA) {
	g.dc.SetColor(c)
	g.dc.SetLineWidth(max(1, width*g.u))
	g.dc.DrawCircle(x*g.u, y*g.u, r*g.u)
	g.dc.Stroke()
}

func (g *pen) diamond(x, y, r float64, c color.NRGBA) {
	g.polygon(c, x-r, y, x, y-r, x+r, y, x, y+r)
}

// plus is the mark of a note on no slot.
func (g *pen) plus(x, y, r float64, c color.NRGBA) {
	g.line(x-r, y, x+r, y, 2.5, c)
	g.line(x, y-r, x, y+r, 2.5, c)
}

// polygon fills the shape with the corners x, y, x, y…
func (g *pen) polygon(c color.NRGBA, corners ...float64) {
	g.dc.SetColor(c)
	for i := 0; i+1 < len(corners); i += 2 {
		g.dc.LineTo(corners[i]*g.u, corners[i+1]*g.u)
	}
	g.dc.ClosePath()
	g.dc.Fill()
}

// arrow points from x1 to x2 at height y.
func (g *pen) arrow(x1, x2, y, width float64, c color.NRGBA) {
	head := min(12, math.Abs(x2-x1))
	if x2 < x1 {
		head = -head
	}
	g.line(x1, y, x2-head/2, y, width, c)
	g.polygon(c, x2, y, x2-head, y-math.Abs(head)*0.6, x2-head, y+math.Abs(head)*0.6)
}

// faint is c at a share of its strength, for grounds.
func faint(c color.NRGBA, share float64) color.NRGBA {
	c.A = uint8(255 * share)
	return c
}

// box is a part of the page, in units.
type box struct{ x, y, w, h float64 }

func (b box) right() float64  { return b.x + b.w }
func (b box) bottom() float64 { return b.y + b.h }
