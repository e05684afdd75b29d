package passage_test

import (
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
)

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
