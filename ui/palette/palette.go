// Package palette is the colours of Footing, by day and by night, as plain
// values, so that a picture in a file and the window can share them.
package palette

import "image/color"

// Palette is one set of colours. Every pair that carries text has a contrast of
// at least 4.5:1 and every pair that carries a needed shape at least 3:1, as
// WCAG 2.2 (1.4.3 and 1.4.11) asks; [Palette.Pairs] lists them and a test holds
// them.
type Palette struct {
	Night bool

	Paper color.NRGBA // the ground
	Card  color.NRGBA // raised ground: the lane, the verdict bar
	Wash  color.NRGBA // ground of what is being worked on

	Ink    color.NRGBA // what matters
	Soft   color.NRGBA // what can wait
	Accent color.NRGBA // the current rung, the chunk, clean
	Warm   color.NRGBA // rough, the pencil, a caution
	On     color.NRGBA // text on Accent or Warm

	Rung color.NRGBA // shapes that must be seen but lie in wait
	Hair color.NRGBA // hairlines that only part areas
}

// Day is dark ink on warm paper.
func Day() *Palette {
	return &Palette{
		Paper: rgb(0xF6F1E7), Card: rgb(0xFCF9F2), Wash: rgb(0xD5E6E6),
		Ink: rgb(0x20242B), Soft: rgb(0x5F5C55), Accent: rgb(0x0B5A6B), Warm: rgb(0x8A5200), On: rgb(0xFCF9F2),
		Rung: rgb(0x8F8672), Hair: rgb(0xCFC5B2),
	}
}

// Night is light ink on a dark ground, for a dim pit or a late room.
func Night() *Palette {
	return &Palette{
		Night: true,
		Paper: rgb(0x14171C), Card: rgb(0x1C2027), Wash: rgb(0x173A43),
		Ink: rgb(0xF1E9DA), Soft: rgb(0xA9A294), Accent: rgb(0x6CC5D6), Warm: rgb(0xE3AE4F), On: rgb(0x14171C),
		Rung: rgb(0x6E7480), Hair: rgb(0x3A3F48),
	}
}

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 0xFF}
}

// Pair is a colour that is drawn on another, with the least contrast it needs.
type Pair struct {
	Name      string
	Over      color.NRGBA
	Under     color.NRGBA
	AtLeast   float64
	TextPairs bool
}

// Pairs lists every pair in which text or a needed shape is drawn.
func (p *Palette) Pairs() []Pair {
	const text, shape = 4.5, 3
	var pairs []Pair
	add := func(name string, least float64, over color.NRGBA, under ...color.NRGBA) {
		for _, u := range under {
			pairs = append(pairs, Pair{Name: name, Over: over, Under: u, AtLeast: least, TextPairs: least == text})
		}
	}
	add("ink", text, p.Ink, p.Paper, p.Card, p.Wash)
	add("soft", text, p.Soft, p.Paper, p.Card, p.Wash)
	add("accent", text, p.Accent, p.Paper, p.Card, p.Wash)
	add("warm", text, p.Warm, p.Paper, p.Card, p.Wash)
	add("on", text, p.On, p.Accent, p.Warm)
	add("rung", shape, p.Rung, p.Paper, p.Card)
	return pairs
}
