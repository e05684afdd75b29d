package timbre

import (
	"math"
	"strings"
)

// instrument is a wind as its sound is heard: where it is strong, and which partials it lacks.
type instrument struct {
	name     string
	formants []float64 // Hz
	low, up  int       // the keys of MIDI that it sounds, lowest and highest
	odd      bool      // a closed tube: even partials are weak below the tone holes' cutoff
	fall     float64   // by which each partial is weaker than the one before, besides what holds for all
}

// Formants are those of the table of the acoustics pages at iazzetta.eca.usp.br, the middle of each range; the horn's
// second is J. Meyer's, Acoustics and the Performance of Music. Compasses are common practice, no source. The plain
// wind is for any other instrument.
var instruments = []instrument{
	{name: "plain", low: 34, up: 96, fall: 1},
	{name: "flute", formants: []float64{800}, low: 60, up: 96, fall: 0.3},
	{name: "oboe", formants: []float64{1400, 3000}, low: 58, up: 91, fall: 1},
	{name: "English horn", formants: []float64{930, 2300}, low: 52, up: 81, fall: 1},
	{name: "clarinet", formants: []float64{1600, 4000}, low: 50, up: 94, odd: true, fall: 1},
	{name: "bassoon", formants: []float64{470, 1250}, low: 34, up: 76, fall: 1},
	{name: "trumpet", formants: []float64{1300, 2500}, low: 52, up: 84, fall: 1},
	{name: "horn", formants: []float64{450, 750}, low: 35, up: 77, fall: 1},
	{name: "trombone", formants: []float64{700}, low: 34, up: 77, fall: 1},
	{name: "tuba", formants: []float64{300}, low: 26, up: 65, fall: 1},
}

// partials is how many partials a tone has at most.
const partials = 24

// spectrum is the amplitudes of the partials of a tone of hz, those under limit in Hz.
func (w instrument) spectrum(hz, limit float64) []float64 {
	var out []float64
	for k := 1; k <= partials && float64(k)*hz < limit; k++ {
		f := float64(k) * hz
		a := math.Pow(float64(k), -1.2) * w.formant(f) * math.Pow(w.fall, float64(k-1))
		if w.odd && k%2 == 0 {
			a *= even(f)
		}
		out = append(out, a)
	}
	return out
}

// formant is the gain at f Hz: bells half an octave wide on a floor; 1 where there are none.
func (w instrument) formant(f float64) float64 {
	if len(w.formants) == 0 {
		return 1
	}
	sum := 0.2
	for _, at := range w.formants {
		octaves := math.Log2(f/at) / 0.5
		sum += math.Exp(-octaves * octaves / 2)
	}
	return sum
}

// even is the gain of even partials of a clarinet at f Hz. They match the odd ones from the tone holes' cutoff on
// (Petersen and others, 2020), which lies at about 1500 Hz (common practice, no source); it is reached within an octave.
func even(f float64) float64 {
	const weak, cutoff = 0.1, 1500
	octaves := math.Log2(f/cutoff) + 1
	return weak + (1-weak)*min(max(octaves, 0), 1)
}

// weighting is the A-weighting of f Hz as a gain, about 1 at 1 kHz: IEC 61672-1, annex E (from memory).
func weighting(f float64) float64 {
	const a, b, c, d = 20.6 * 20.6, 107.7 * 107.7, 737.9 * 737.9, 12194.0 * 12194.0
	f2 := f * f
	return 1.2589 * d * f2 * f2 / ((f2 + a) * math.Sqrt((f2+b)*(f2+c)) * (f2 + d))
}

// loudness is the A-weighted level of a tone, root mean square.
func loudness(amplitudes []float64, hz float64) float64 {
	sum := 0.0
	for i, a := range amplitudes {
		a *= weighting(float64(i+1) * hz)
		sum += a * a / 2
	}
	return math.Sqrt(sum)
}

// WindOf is the wind that sounds most like an instrument: the one whose name is the longest in the instrument's, as
// "clarinet" in "bass clarinet in B flat"; "plain" where there is none.
func WindOf(name string) string {
	best, others := instruments[0].name, map[string]string{
		"piccolo": "flute", "cor anglais": "English horn", "cornet": "trumpet", "flugelhorn": "trumpet", "euphonium": "tuba",
	}
	length := 0
	try := func(key, wind string) {
		if len(key) > length && strings.Contains(strings.ToLower(name), strings.ToLower(key)) {
			best, length = wind, len(key)
		}
	}
	for _, w := range instruments[1:] {
		try(w.name, w.name)
	}
	for key, wind := range others {
		try(key, wind)
	}
	return best
}
