package engrave

import (
	"math"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"

	"footing/assets"
)

// The table of glyphs is what the font's outlines measure.
func TestGlyphsAreTheFonts(t *testing.T) {
	f, err := sfnt.Parse(assets.Music)
	if err != nil {
		t.Fatal(err)
	}
	var buf sfnt.Buffer
	for g, want := range inks {
		i, err := f.GlyphIndex(&buf, rune(g))
		if err != nil || i == 0 {
			t.Errorf("the font has no glyph %X", g)
			continue
		}
		b, advance, err := f.GlyphBounds(&buf, i, fixed.I(1000), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		for k, pair := range [][2]float64{{want.X0, float64(b.Min.X)}, {want.Y0, float64(b.Min.Y)}, {want.X1, float64(b.Max.X)}, {want.Y1, float64(b.Max.Y)}, {want.advance, float64(advance)}} {
			if math.Abs(pair[0]-pair[1]/64/250) > 0.005 { // 1 em is 4 spaces
				t.Errorf("glyph %X: measure %d is %.3f, want %.3f", g, k, pair[0], pair[1]/64/250)
			}
		}
	}
}

func TestStretchFillsTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		links := make([]link, rapid.IntRange(1, 30).Draw(t, "links"))
		least := 0.0
		for i := range links {
			links[i] = link{rapid.Float64Range(0.1, 4).Draw(t, "rod"), rapid.Float64Range(0.5, 7).Draw(t, "spring")}
			least += links[i].rod
		}
		width := least + rapid.Float64Range(0.01, 80).Draw(t, "room")
		k, sum := stretch(links, width), 0.0
		for _, l := range links {
			sum += l.at(k)
		}
		if math.Abs(sum-width) > 1e-6 {
			t.Errorf("stretched by %v the links are %v wide, want %v", k, sum, width)
		}
	})
}

// Breaking into lines equals trying every way.
func TestBreaksAreTheBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		widths := make([]float64, rapid.IntRange(1, 12).Draw(t, "bars"))
		for i := range widths {
			widths[i] = rapid.Float64Range(3, 40).Draw(t, "width")
		}
		cost := func(i, j int) float64 {
			sum := 0.0
			for _, w := range widths[i:j] {
				sum += w
			}
			if sum > 60 {
				return overfull * (sum - 60)
			}
			if j == len(widths) {
				return 0
			}
			return badness((60 - sum) / sum)
		}
		total := func(starts []int) float64 {
			c := 0.0
			for k, i := range starts {
				j := len(widths)
				if k+1 < len(starts) {
					j = starts[k+1]
				}
				c += cost(i, j)
			}
			return c
		}
		best := math.Inf(1)
		for ways := range 1 << (len(widths) - 1) {
			starts := []int{0}
			for i := 1; i < len(widths); i++ {
				if ways>>(i-1)&1 == 1 {
					starts = append(starts, i)
				}
			}
			best = math.Min(best, total(starts))
		}
		if got := total(breaks(len(widths), 64, cost)); got > best*(1+1e-9) {
			t.Errorf("the lines cost %v, the best way %v", got, best)
		}
	})
}
