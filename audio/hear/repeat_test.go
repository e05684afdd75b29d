package hear

import (
	"math"
	"testing"
)

// A note struck again is another note, also where the old one still sounds in
// the gap and the new one slides up to its pitch.
func TestRepeatedNotesThatSlideAtFirst(t *testing.T) {
	const every, first, slideSeconds = 0.15, 0.25, 0.05
	for _, slide := range []float64{0, 0.7, 1, 1.3} { // semitones
		for _, note := range []float64{58, 65, 70} {
			since := func(t float64) float64 { return math.Mod(t-first, every) }
			x := sound(44100, first+12*every, func(t float64) float64 {
				if t < first+every {
					return note
				}
				return note - slide*max(0, 1-since(t)/slideSeconds)
			}, []float64{1, 0.7, 0.5, 0.3, 0.2}, func(t float64) float64 {
				if t < first {
					return 0
				}
				return 0.2 * (0.3 + 0.7*min(1, since(t)/0.012, (every-since(t))/0.03))
			})
			got, _ := listen(t, 44100, x)
			right := 0
			for i, o := range got {
				if o.Midi == int(note) && math.Abs(o.Seconds-first-float64(i)*every) < 0.025 {
					right++
				}
			}
			if right < 12 || len(got) != 12 {
				t.Errorf("note %.0f sliding up by %.1f: %d of 12 heard rightly, %d in all", note, slide, right, len(got))
			}
		}
	}
}
