package engrave

import (
	"strconv"

	"footing/ladder/passage"
)

// signs of clef, key and meter are made with their left edge at 0.

func clefShapes(c passage.Clef, size float64) []Shape {
	y := float64(3 - c.Line)
	g, plain := clefC, true
	switch c.Sign {
	case "G":
		g = clefG
		switch c.Octave {
		case 1:
			g, plain = clefG8up, false
		case -1:
			g, plain = clefG8down, false
		}
	case "F":
		g = clefF
		switch c.Octave {
		case 1:
			g, plain = clefF8up, false
		case -1:
			g, plain = clefF8down, false
		}
	}
	out := []Shape{{Kind: Sign, Role: ClefSign, Glyph: g, X: -inks[g].X0 * size, Y: y, Size: size}}
	if c.Octave == 0 || !plain {
		return out
	}
	// There is no glyph of its own: an 8 or 15 above or below.
	text, x := strconv.Itoa(7*max(c.Octave, -c.Octave)+1), 0.9
	for _, d := range text {
		n := Shape{Kind: Sign, Role: ClefSign, Glyph: tuplet0 + Glyph(d-'0'), X: x * size, Size: 0.8 * size}
		if n.Y = y + inks[g].Y0*size - 0.1; c.Octave < 0 {
			n.Y = y + (inks[g].Y1+1.4)*size
		}
		out = append(out, n)
		x += inks[n.Glyph].advance * 0.8
	}
	return out
}

// lowest is the lowest position that signs of a key take; the seven of them take
// seven positions (common practice, no source: tables of key signatures).
func lowest(c passage.Clef, flats bool) int {
	if !flats {
		switch {
		case c.Sign == "G" && c.Line == 2:
			return -1
		case c.Sign == "F" && c.Line == 4:
			return -3
		}
		return -2
	}
	switch {
	case c.Sign == "F" && c.Line == 4:
		return -5
	case c.Sign == "C" && c.Line == 3:
		return -4
	case c.Sign == "C" && c.Line == 4:
		return -2
	}
	return -3
}

// keyPosition is where the sign for a letter stands.
func keyPosition(c passage.Clef, l passage.Letter, flats bool) int {
	middle, _ := c.Middle()
	low := lowest(c, flats)
	pos := (int(l) - middle.Steps() - low) % 7
	if pos < 0 {
		pos += 7
	}
	return low + pos
}

var sharpsOrder = [7]passage.Letter{passage.F, passage.C, passage.G, passage.D, passage.A, passage.E, passage.B}

// keySigns are a key's signs in printed order.
func keySigns(k passage.Key) []passage.KeySign {
	if len(k.Signs) > 0 {
		return k.Signs
	}
	var out []passage.KeySign
	for i := range min(k.Fifths, 7) {
		l := sharpsOrder[i]
		out = append(out, passage.KeySign{Letter: l, Alter: k.Of(l)})
	}
	for i := range min(-k.Fifths, 7) {
		l := sharpsOrder[6-i]
		out = append(out, passage.KeySign{Letter: l, Alter: k.Of(l)})
	}
	return out
}

// keyShapes are a key's signs, behind naturals for what it takes back from the
// key before, where that was of another kind or it has none itself.
func keyShapes(c passage.Clef, before, k passage.Key) []Shape {
	var out []Shape
	x := 0.0
	put := func(g Glyph, pos int) {
		out = append(out, Shape{Kind: Sign, Role: KeySign, Glyph: g, X: x, Y: yOf(pos), Size: 1})
		x += inks[g].advance + 0.1
	}
	signs, old := keySigns(k), keySigns(before)
	if len(old) > 0 && (len(signs) == 0 || (signs[0].Alter < 0) != (old[0].Alter < 0)) {
		for _, s := range old {
			if k.Of(s.Letter) == 0 {
				put(natural, keyPosition(c, s.Letter, s.Alter < 0))
			}
		}
	}
	for _, s := range signs {
		put(signOf(s.Alter), keyPosition(c, s.Letter, s.Alter < 0))
	}
	return out
}

func meterShapes(m passage.Meter) []Shape {
	if len(m.Terms) == 0 {
		return nil
	}
	one := func(g Glyph) []Shape { return []Shape{{Kind: Sign, Role: MeterSign, Glyph: g, Size: 1}} }
	switch m.Symbol {
	case "common":
		return one(meterCommon)
	case "cut":
		return one(meterCut)
	}
	var out []Shape
	x := 0.0
	for i, t := range m.Terms {
		if i > 0 {
			out = append(out, Shape{Kind: Sign, Role: MeterSign, Glyph: meterPlus, X: x + 0.1, Size: 1})
			x += inks[meterPlus].advance + 0.2
		}
		above, aw := figures(t.Above, -1)
		below, bw := figures([]int{t.Below}, 1)
		if m.Symbol == "single-number" {
			above, aw = figures(t.Above, 0)
			below, bw = nil, 0
		}
		w := max(aw, bw)
		out = append(append(out, shifted(above, x+(w-aw)/2)...), shifted(below, x+(w-bw)/2)...)
		x += w
	}
	return out
}

// figures are numbers with plus signs between, on a height.
func figures(numbers []int, y float64) (out []Shape, width float64) {
	put := func(g Glyph) {
		out = append(out, Shape{Kind: Sign, Role: MeterSign, Glyph: g, X: width, Y: y, Size: 1})
		width += inks[g].advance
	}
	for i, n := range numbers {
		if i > 0 {
			put(meterPlus)
		}
		for _, d := range strconv.Itoa(n) {
			put(digit0 + Glyph(d-'0'))
		}
	}
	return out, width
}

func shifted(s []Shape, dx float64) []Shape {
	for i := range s {
		s[i].X += dx
		s[i].X2 += dx
	}
	return s
}

func inkOf(s []Shape) Box {
	b := s[0].Ink()
	for _, t := range s[1:] {
		b = b.union(t.Ink())
	}
	return b
}
