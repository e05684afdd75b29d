package hear

import (
	"math"
	"testing"
)

// mixture is the correlation of a lasting sound: of partials of the given
// powers at multiples of frequencies, in Hz.
func mixture(c *correlator, lags int, notes map[float64][]float64) []float64 {
	norm := make([]float64, lags)
	total := 0.0
	for f, powers := range notes {
		for h, p := range powers {
			total += p
			for lag := range norm {
				norm[lag] += p * math.Cos(2*math.Pi*f*float64(h+1)*float64(lag)/c.rate)
			}
		}
	}
	for lag := range norm {
		norm[lag] /= total
	}
	return norm
}

func TestPitchAmongItsMultiples(t *testing.T) {
	even := []float64{1, .5, .3, .2, .1}
	for _, tt := range []struct {
		name       string
		now        float64 // note number
		sound      []float64
		old        float64
		ringing    float64 // power of the old note, of the same sound
		guess      float64
		usualNotes int // notes of that sound that came before
	}{
		{"a note by itself", 60, even, 0, 0, 60, 0},
		{"a high one", 89, even, 0, 0, 89, 0},
		{"a low one", 41, even, 0, 0, 41, 0},
		{"nothing but its first harmonic", 74, []float64{1}, 0, 0, 74, 0},
		{"odd harmonics alone", 55, []float64{1, 0, .6, 0, .4}, 0, 0, 55, 0},
		{"the third harmonic above all", 50, []float64{.1, .2, 1, .2, .1, .1}, 0, 0, 69, 0},
		{"a minor third under it ringing", 69, even, 66, .2, 69, 0},
		{"the same, heard an octave low", 69, even, 66, .2, 57, 0},
		{"a fifth over it ringing", 62, even, 69, .2, 50, 0},
		{"a fourth under it ringing", 65, even, 60, .2, 53, 0},
		{"a major third over it ringing", 60, even, 64, .2, 48, 0},
		{"an octave of which little else sounds, after others", 62, []float64{.02, 1, .02, .3}, 65, .05, 74, 8},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := &correlator{rate: 11_025}
			usual := fit{}
			if tt.usualNotes > 0 {
				at := c.rate / frequency(57) * fineSteps
				usual = finely(nil, mixture(c, 284, map[float64][]float64{frequency(57): tt.sound})).fit(at)
			}
			notes := map[float64][]float64{frequency(tt.now): tt.sound}
			if tt.old > 0 {
				for _, p := range tt.sound {
					notes[frequency(tt.old)] = append(notes[frequency(tt.old)], p*tt.ringing)
				}
			}
			norm := mixture(c, 284, notes)
			p := likeliest(c.contenders(nil, norm, c.peaks(norm), tt.guess, tt.old, usual))
			if p == nil {
				t.Fatal("nothing heard")
			}
			if got := noteNumber(c.rate / p.lag); math.Abs(got-tt.now) > 0.5 {
				t.Errorf("heard %.2f, want %.0f", got, tt.now)
			}
		})
	}
}

func TestSilenceHasNoPeriod(t *testing.T) {
	c := &correlator{rate: 11_025}
	norm := make([]float64, 284)
	if p := likeliest(c.contenders(nil, norm, c.peaks(norm), 60, 0, fit{})); p != nil {
		t.Errorf("heard %.2f in silence", noteNumber(c.rate/p.lag))
	}
}

// What repeats with the old note's period is gone from the curve without it,
// whatever it is; another note is all that is left.
func TestCurveWithoutANote(t *testing.T) {
	c := &correlator{rate: 11_025}
	old, now := frequency(66.0), frequency(69.0)
	both := finely(nil, mixture(c, 284, map[float64][]float64{old: {1, .8, .6}, now: {1, .3}}))
	left := both.without(nil, c.rate/old)
	if got := left.fit(c.rate / now * fineSteps).whole; got > both.fit(c.rate/now*fineSteps).whole-1 {
		t.Errorf("the new note leaves %.2f unexplained (log) where it should be alone", got)
	}
	only := finely(nil, mixture(c, 284, map[float64][]float64{old: {1, .8, .6}}))
	if left := only.without(nil, c.rate/old); len(left) != 0 {
		t.Errorf("%d values left of a note without itself", len(left))
	}
}
