package timbre

import (
	"fmt"
	"math"
	"math/cmplx"

	"footing/audio/click"
)

// The pitches that a drone can have, as keys of MIDI: C1 to C7.
const (
	LowestDrone  = 24
	HighestDrone = 96
)

// droneLoudness is the K-weighted level of a drone at level 1, root mean square, that
// makes it as loud as a bar of sixteenths of the click.
const droneLoudness = 0.0355

// MakeDrone makes a steady tone of a pitch, C1 to C7, for an A of 415 to 466 Hz and a
// rate of 22 050 to 384 000 frames per second: the plain wind, whose partials are exact
// multiples, so that beats against it are heard in any register. At level 1 it is as loud as
// a bar of sixteenths of the click, to within 1 dB by ITU-R BS.1770, and peaks under −20 dBFS. It fails on what is out
// of range.
func MakeDrone(pitch click.Cents, a float64, rate int) (*click.Drone, error) {
	if err := CheckWind(instruments[0].name, a, rate); err != nil {
		return nil, err
	}
	if pitch < click.Key(LowestDrone) || pitch > click.Key(HighestDrone) {
		return nil, fmt.Errorf("a drone of %.1f Hz is out of range; C1 to C7 can sound", pitch.Hz(a))
	}
	hz := pitch.Hz(a)
	amplitudes := instruments[0].spectrum(hz, bandLimit*float64(rate))
	sine := make([]float64, click.WaveLength)
	for i := range sine {
		sine[i] = math.Sin(2 * math.Pi * float64(i) / click.WaveLength)
	}
	period, top := sum(amplitudes, sine)
	w := wave(period, droneLoudness*top/programme(amplitudes, hz))
	return &click.Drone{Wave: &w, Hz: hz, Level: 1}, nil
}

// programme is the K-weighted level of a tone, root mean square.
func programme(amplitudes []float64, hz float64) float64 {
	power := 0.0
	for i, a := range amplitudes {
		a *= shelf.gain(float64(i+1)*hz) * high.gain(float64(i+1)*hz)
		power += a * a / 2
	}
	return math.Sqrt(power)
}

// filter is the coefficients of a filter of the second order for 48 000 frames a second.
type filter struct{ b0, b1, b2, a1, a2 float64 }

// K-weighting is these two, one after the other: Recommendation ITU-R BS.1770-4, annex 1,
// tables 1 and 2.
var (
	shelf = filter{1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585}
	high  = filter{1, -2, 1, -1.99004745483398, 0.99007225036621}
)

// gain is what becomes of a sine of hz, up to 24 kHz.
func (f filter) gain(hz float64) float64 {
	z := cmplx.Rect(1, -2*math.Pi*min(hz, 24_000)/48_000)
	one := func(c0, c1, c2 float64) complex128 { return complex(c0, 0) + z*(complex(c1, 0)+z*complex(c2, 0)) }
	return cmplx.Abs(one(f.b0, f.b1, f.b2) / one(1, f.a1, f.a2))
}
