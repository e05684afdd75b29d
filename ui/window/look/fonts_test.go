package look

import (
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

func parse(t *testing.T, f Face) *sfnt.Font {
	t.Helper()
	parsed, err := sfnt.Parse(f.Resource().Content())
	if err != nil {
		t.Fatalf("font %d: %v", f, err)
	}
	return parsed
}

func TestFontsHoldEveryGlyphTheWindowDraws(t *testing.T) {
	text := "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .,:;!?&+-/()[]{}<>=%–—·…½¼×−“”’'\""
	notes := HeadBlack + HeadHalf + HeadX + HeadDiamond + RestEighth + noteWhole + noteHalf + noteQuarter + noteEighth + note16th + note32nd + Dot
	for f, glyphs := range map[Face]string{Regular: text, Medium: text, Bold: text, Notes: notes} {
		parsed := parse(t, f)
		var buf sfnt.Buffer
		for _, r := range glyphs {
			if g, err := parsed.GlyphIndex(&buf, r); err != nil || g == 0 {
				t.Errorf("font %s has no glyph for %q (%U)", f.Resource().Name(), r, r)
			}
		}
	}
}

// ISO 9241-3: 16 minutes of arc at least; at 1.2 m that is a capital of 5.59 mm.
func TestFarSizeIsReadableFromBehindTheStand(t *testing.T) {
	for _, f := range []Face{Regular, Medium, Bold} {
		m, err := parse(t, f).Metrics(&sfnt.Buffer{}, fixed.I(1000), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(m.CapHeight.Round()) / 1000; got != CapHeight {
			t.Errorf("%s has capitals of %.3f em, want %.3f", f.Resource().Name(), got, CapHeight)
		}
	}
	if got := FarSize * CapHeight; got < FarCap {
		t.Errorf("capitals at %d px are %.2f px high, want %.2f", FarSize, got, FarCap)
	}
}

func TestNoteFor(t *testing.T) {
	for _, tt := range []struct {
		num, den int
		note     string
		dotted   bool
		ok       bool
	}{
		{1, 1, noteWhole, false, true},
		{1, 2, noteHalf, false, true},
		{1, 4, noteQuarter, false, true},
		{3, 8, noteQuarter, true, true},
		{3, 16, noteEighth, true, true},
		{1, 32, note32nd, false, true},
		{5, 8, "", false, false},
		{1, 3, "", false, false},
	} {
		note, dotted, ok := NoteFor(tt.num, tt.den)
		if note != tt.note || dotted != tt.dotted || ok != tt.ok {
			t.Errorf("NoteFor(%d, %d) = %q %v %v", tt.num, tt.den, note, dotted, ok)
		}
	}
}
