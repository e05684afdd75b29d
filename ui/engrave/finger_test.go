package engrave_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/ui/engrave"
	"footing/ui/engrave/sample"
)

// Finger marks stand over their notes and clear of the ink below them, arches from
// note to note above all of that, the strong ones thicker, and pencil marks on top.
func TestFingerMarksAndArches(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var bars []string
		pitches := []string{"E4", "G4", "B4", "C#5", "D#5", "F#5", "A5", "C6"}
		for range rapid.IntRange(1, 3).Draw(rt, "bars") {
			var notes []string
			for range 8 {
				notes = append(notes, rapid.SampledFrom(pitches).Draw(rt, "pitch")+":8")
			}
			bars = append(bars, strings.Join(notes, " "))
		}
		n := 8 * len(bars)
		var o engrave.Options
		o.Width = rapid.SampledFrom([]float64{0, 45}).Draw(rt, "width")
		for range rapid.IntRange(0, 6).Draw(rt, "marks") {
			o.Fingers = append(o.Fingers, engrave.FingerMark{Note: rapid.IntRange(0, n-1).Draw(rt, "note"), Text: rapid.SampledFrom([]string{"L", "side"}).Draw(rt, "text")})
		}
		for from := 0; from+1 < n; from += rapid.IntRange(1, 5).Draw(rt, "on") {
			o.Arches = append(o.Arches, engrave.Arch{From: from, To: from + 1, Strong: from%2 == 0})
		}
		o.Pencil = []engrave.PencilMark{{Note: 0, Text: "slow"}}
		d := layout(t, made(t, sample.Treble, 0, "4/4", bars...), o)
		for _, s := range d.Systems {
			shapes := d.Shapes[s.First:s.End]
			arches := 0
			for i, a := range shapes {
				ink := a.Ink()
				switch a.Role {
				case engrave.Finger:
					place, ok := d.Place(a.Note)
					if !ok || ink.Y1 > place.Head.Y0 || place.X() < ink.X0-0.5 || place.X() > ink.X1+0.5 {
						rt.Fatalf("%q of note %d lies at %+v, its head at %+v", a.Text, a.Note, ink, place.Head)
					}
				case engrave.HardArch:
					arches++
					if a.Bend >= 0 || a.X2 <= a.X {
						rt.Fatalf("an arch hangs: %+v", a)
					}
				default:
					continue
				}
				for k, b := range shapes {
					other := b.Ink()
					if k == i || b.Role == engrave.StaffLine || b.Role == a.Role || b.Role == engrave.Pencil || a.Role == engrave.Finger && b.Role == engrave.HardArch {
						continue
					}
					if y := a.Y; a.Role == engrave.HardArch && other.X0 < a.X2-0.01 && other.X1 > a.X+0.01 && other.Y0 < y {
						rt.Fatalf("an arch from %v to %v at %v lies on %+v", a.X, a.X2, y, other)
					}
				}
			}
			if o.Width == 0 && arches != len(o.Arches) {
				rt.Fatalf("%d arches for %d", arches, len(o.Arches))
			}
		}
		thick := map[bool]float64{}
		for _, s := range d.Shapes {
			if s.Role == engrave.HardArch {
				thick[s.Note%2 == 0] = s.Thick
			}
		}
		if thick[false] > 0 && thick[true] <= thick[false] {
			rt.Fatalf("strong arches are %v thick, others %v", thick[true], thick[false])
		}
	})
}
