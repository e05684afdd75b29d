// Package paint makes pixels and SVG of laid-out music. It knows drawings, fonts
// and colours; no window.
package paint

import (
	"fmt"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"footing/assets"
	"footing/ui/engrave"
)

// fonts are the music font and the text face, read once a painter.
type fonts struct {
	music, text *sfnt.Font
	buf         sfnt.Buffer
	outlines    map[outlineKey]*outline
}

type outlineKey struct {
	text bool
	r    rune
}

// outline is a glyph's path at a full size of 1: music in staff spaces, text with
// capitals 1 high. y is downwards.
type outline struct {
	segments []segment
	advance  float64
}

// segment is one step of a path: where it leads and, for a curve, its pulls.
type segment struct {
	op  sfnt.SegmentOp
	arg [3]point
}

type point struct{ x, y float64 }

// capHeight is the height of a capital as a share of the font size, from the text
// face's own OS/2 table.
const capHeight = 0.668

func newFonts() (*fonts, error) {
	out := &fonts{outlines: map[outlineKey]*outline{}}
	for _, f := range []struct {
		name string
		data []byte
		to   **sfnt.Font
	}{{"music", assets.Music, &out.music}, {"text", assets.TextMedium, &out.text}} {
		parsed, err := sfnt.Parse(f.data)
		if err != nil {
			return nil, fmt.Errorf("reading the %s font: %w", f.name, err)
		}
		*f.to = parsed
	}
	return out, nil
}

// outline is the glyph of a character; an empty one where the font has none.
func (f *fonts) outline(k outlineKey) *outline {
	if o, ok := f.outlines[k]; ok {
		return o
	}
	o := &outline{}
	f.outlines[k] = o
	face, scale := f.music, 4.0 // an em is four spaces
	if k.text {
		face, scale = f.text, 1/capHeight
	}
	const em = 4096
	scale /= em * 64
	g, err := face.GlyphIndex(&f.buf, k.r)
	if err != nil || g == 0 {
		return o
	}
	if a, err := face.GlyphAdvance(&f.buf, g, fixed.I(em), font.HintingNone); err == nil {
		o.advance = float64(a) * scale
	}
	segments, err := face.LoadGlyph(&f.buf, g, fixed.I(em), nil)
	if err != nil {
		return o
	}
	for _, s := range segments {
		t := segment{op: s.Op}
		for i, p := range s.Args {
			t.arg[i] = point{float64(p.X) * scale, float64(p.Y) * scale}
		}
		o.segments = append(o.segments, t)
	}
	return o
}

// glyphs calls f for every glyph of a sign or text: its place and size in spaces.
func (f *fonts) glyphs(s engrave.Shape, draw func(k outlineKey, x, y, size float64)) {
	if s.Kind == engrave.Sign {
		draw(outlineKey{r: rune(s.Glyph)}, s.X, s.Y, s.Size)
		return
	}
	x := s.X
	for _, r := range s.Text {
		k := outlineKey{true, r}
		draw(k, x, s.Y, s.Size)
		x += f.outline(k).advance * s.Size
	}
}

// lens is a curve's outline: thick in its middle, thinner at its ends, as two
// cubics. The first runs from left to right, the second back.
func lens(s engrave.Shape) (there, back [4]point) {
	const endShare = 0.1 / 0.22
	dx, dy := s.X2-s.X, s.Y2-s.Y
	end, mid := s.Thick*endShare/2, s.Thick/2/0.75
	at := func(u, pull, off float64) point { return point{s.X + u*dx, s.Y + u*dy + pull*s.Bend + off} }
	more := mid - end/3
	there = [4]point{at(0, 0, -end), at(0.25, 1, -more), at(0.75, 1, -more), at(1, 0, -end)}
	back = [4]point{at(1, 0, end), at(0.75, 1, more), at(0.25, 1, more), at(0, 0, end)}
	return there, back
}
