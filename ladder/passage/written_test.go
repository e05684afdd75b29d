package passage_test

import (
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
)

func TestWritten(t *testing.T) {
	for v := passage.Maxima; v <= passage.Value1024; v++ {
		for dots := range 4 {
			if got, d, ok := passage.Written(v.Length(dots)); got != v || d != dots || !ok {
				t.Errorf("%s with %d dots is read as %s with %d", v, dots, got, d)
			}
		}
	}
	for _, q := range []passage.Quarters{{}, click.Frac(5, 2), click.Frac(1, 3), click.Whole(-1), click.Frac(31, 16)} {
		if v, _, ok := passage.Written(q); ok {
			t.Errorf("%v is written as %s", q, v)
		}
	}
}

func TestClefFor(t *testing.T) {
	for want, names := range map[string][]string{"G2": {"C4", "G5", "E6"}, "F4": {"Bb1", "D3", "F3"}} {
		var notes []passage.Note
		for _, name := range names {
			p, err := passage.ParsePitch(name)
			if err != nil {
				t.Fatal(err)
			}
			notes = append(notes, passage.Note{Pitch: p})
		}
		if got := passage.ClefFor(append(notes, passage.Note{Kind: passage.Rest})).String(); got != want {
			t.Errorf("%v stand in %s, want %s", names, got, want)
		}
	}
}

func TestFromClick(t *testing.T) {
	for _, s := range []string{"4/4", "6/8", "3+2/8", "7/16"} {
		m, err := click.ParseMeter(s)
		if err != nil {
			t.Fatal(err)
		}
		meter := passage.FromClick(m)
		if back, ok := meter.Click(); !ok || back != m || meter.String() != s {
			t.Errorf("%s became %s and %s", s, meter, back)
		}
	}
}
