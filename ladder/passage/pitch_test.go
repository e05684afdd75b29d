package passage

import (
	"testing"

	"pgregory.net/rapid"
)

func pitches() *rapid.Generator[Pitch] {
	return rapid.Custom(func(t *rapid.T) Pitch {
		return Pitch{
			Letter: Letter(rapid.IntRange(0, 6).Draw(t, "letter")),
			Octave: int8(rapid.IntRange(0, 9).Draw(t, "octave")),
			Alter:  Alter(rapid.SampledFrom([]int{-300, -200, -150, -100, -50, 0, 50, 100, 150, 200, 300, 33}).Draw(t, "alter")),
		}
	})
}

func TestPitches(t *testing.T) {
	for _, c := range []struct {
		text string
		midi float64
		name string
	}{
		{"C4", 60, "C"}, {"Bb4", 70, "B flat"}, {"B#3", 60, "B sharp"}, {"Cb5", 71, "C flat"},
		{"F##5", 79, "F double sharp"}, {"Ebb2", 38, "E double flat"},
		{"D(-0.5)4", 61.5, "D quarter flat"}, {"C(+1.5)4", 61.5, "C three quarters sharp"}, {"A0", 21, "A"}, {"C(-3)9", 117, "C(-3)"},
	} {
		p, err := ParsePitch(c.text)
		if err != nil || p.MIDI() != c.midi || p.Name() != c.name || p.String() != c.text {
			t.Errorf("%s: %v, midi %v, name %q, written %q", c.text, err, p.MIDI(), p.Name(), p)
		}
	}
	for _, bad := range []string{"", "C", "4", "H4", "C#", "c4", "C###4", "C()4", "C(4", "C(1e1)4", "C(4)4", "C-1", "C10", "C(+)4"} {
		if p, err := ParsePitch(bad); err == nil {
			t.Errorf("%q was read as %v", bad, p)
		}
	}
}

func TestPitchIntervals(t *testing.T) {
	for _, c := range []struct {
		from string
		by   Interval
		to   string
	}{
		{"C#4", Interval{2, 300}, "E4"}, {"C#4", Interval{1, 300}, "D##4"}, {"B3", Interval{1, 100}, "C4"},
		{"D#4", Interval{6, 1100}, "C##5"}, {"C4", Interval{-1, -200}, "Bb3"}, {"F4", Interval{-4, -700}, "Bb3"},
	} {
		p, _ := ParsePitch(c.from)
		if got := p.Up(c.by); got.String() != c.to {
			t.Errorf("%s by %v is %s, want %s", c.from, c.by, got, c.to)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		p, q := pitches().Draw(t, "p"), pitches().Draw(t, "q")
		if back, err := ParsePitch(p.String()); err != nil || back != p {
			t.Fatalf("%s is read back as %s, %v", p, back, err)
		}
		if got := p.Up(p.To(q)); got != q {
			t.Fatalf("%s by %v is %s, want %s", p, p.To(q), got, q)
		}
		if got := p.Up(p.To(q)).Down(p.To(q)); got != p {
			t.Fatalf("%s up and down by %v is %s", p, p.To(q), got)
		}
	})
}
