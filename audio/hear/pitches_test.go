package hear

import (
	"math"
	"testing"
)

// What is kept lies at its time: a note is heard as long as it sounds, in blocks of any
// size, and nothing is kept unless it is asked for.
func TestPitchesLieAtTheirTime(t *testing.T) {
	const rate, from, to = 44_100, 0.5, 0.9
	samples := make([]float32, rate*3/2)
	for i := range samples {
		if s := float64(i) / rate; s >= from && s < to {
			for k := 1.0; k <= 4; k++ {
				samples[i] += float32(0.2 / k * math.Sin(2*math.Pi*k*220*s))
			}
		}
	}
	for _, keep := range []bool{true, false} {
		l, err := NewListener(rate)
		if err != nil {
			t.Fatal(err)
		}
		if keep {
			l.KeepPitches()
		}
		for i := 0; i < len(samples); i += 1234 {
			l.Write(samples[i:min(len(samples), i+1234)])
		}
		l.Close()
		p := l.Pitches()
		if !keep {
			if got := p.Between(0, 9); len(got) > 0 {
				t.Errorf("%d moments are kept though nobody asked", len(got))
			}
			continue
		}
		if n := len(p.Between(0, math.Inf(1))); math.Abs(float64(n)*frameSeconds-1.5) > 0.02 {
			t.Errorf("%d moments in 1.5 s", n)
		}
		for _, m := range p.Between(from+0.03, to-0.03) {
			if math.Abs(m.Note-57) > 0.1 || m.Level < -20 || m.Level > 0 {
				t.Fatalf("%+v while an A sounds", m)
			}
		}
		for _, stretch := range [][2]float64{{-1, from - 0.04}, {to + 0.04, 9}} {
			for _, m := range p.Between(stretch[0], stretch[1]) {
				if m.Note != 0 {
					t.Fatalf("%+v between %v s", m, stretch)
				}
			}
		}
		if got := len(p.Between(2, 1)) + len(p.Between(math.NaN(), 1)); got > 0 {
			t.Errorf("%d moments in no time", got)
		}
	}
	if got := PitchesOf(0.01, []Moment{{60, -10}, {0, -200}}).Between(0, 1); len(got) != 2 || got[0] != (Moment{60, -10}) || got[1] != (Moment{0, -128}) {
		t.Errorf("%+v", got)
	}
}
