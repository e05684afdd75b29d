package takes

import (
	"context"
	"testing"
)

func TestTakeSounds(t *testing.T) {
	for _, a := range []Articulation{Tongued, Legato, Slurred} {
		tk, err := Make(context.Background(), Spec{Instrument: Instruments()[0], Pattern: Scale, Articulation: a, Place: Dry, BPM: 96, Beats: 4})
		if err != nil {
			t.Fatal(err)
		}
		if len(tk.Notes) != 16 {
			t.Fatalf("%d notes", len(tk.Notes))
		}
		for _, n := range tk.Notes {
			from := int((n.Seconds + 0.03) * Rate)
			if l := loudness(tk.Samples[from : from+2000]); l < 0.02 {
				t.Errorf("%s: nothing sounds after the note at %.3f s", a, n.Seconds)
			}
		}
	}
}
