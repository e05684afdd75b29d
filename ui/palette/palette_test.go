package palette

import (
	"image/color"
	"math"
	"testing"
)

// luminance is the relative luminance of WCAG 2.2 (w3.org/TR/WCAG22,
// "relative luminance"; the formula is from memory).
func luminance(c color.NRGBA) float64 {
	lin := func(v uint8) float64 {
		f := float64(v) / 255
		if f <= 0.04045 {
			return f / 12.92
		}
		return math.Pow((f+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

func contrast(a, b color.NRGBA) float64 {
	la, lb := luminance(a), luminance(b)
	if la < lb {
		la, lb = lb, la
	}
	return (la + 0.05) / (lb + 0.05)
}

// Ratios computed from the WCAG definition for well-known pairs.
func TestContrastFormula(t *testing.T) {
	for _, tt := range []struct {
		a, b uint32
		want float64
	}{
		{0x000000, 0xFFFFFF, 21},
		{0x767676, 0xFFFFFF, 4.542},
		{0x777777, 0xFFFFFF, 4.478},
		{0x949494, 0xFFFFFF, 3.033},
		{0xFF0000, 0xFFFFFF, 3.998},
		{0x0000FF, 0xFFFFFF, 8.592},
	} {
		if got := contrast(rgb(tt.a), rgb(tt.b)); math.Abs(got-tt.want) > 0.0006 {
			t.Errorf("contrast of %06X and %06X is %.4f, want %.3f", tt.a, tt.b, got, tt.want)
		}
	}
}

// WCAG 2.2: 4.5:1 for text (1.4.3), 3:1 for needed shapes (1.4.11); computed
// values are not rounded.
func TestPalettesHaveTheContrastTheyNeed(t *testing.T) {
	for name, p := range map[string]*Palette{"day": Day(), "night": Night()} {
		for _, pair := range p.Pairs() {
			if got := contrast(pair.Over, pair.Under); got < pair.AtLeast {
				t.Errorf("%s: %s %v on %v has contrast %.2f, want at least %.1f", name, pair.Name, pair.Over, pair.Under, got, pair.AtLeast)
			}
		}
	}
}
