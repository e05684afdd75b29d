package timbre

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"footing/audio/click"
)

// The A that an ensemble tunes to, in Hz.
const (
	LowestA   = 415.0
	UsualA    = 440.0
	HighestA  = 466.0
	keys      = 128                 // of MIDI
	windPeak  = 0.25                // −12 dBFS: no wave passes it
	evenness  = 2.5                 // dB between the softest and the loudest pitch of a compass
	bandLimit = 0.45                // of the rate: no partial lies above it
	quarter   = 1.02930223664349207 // half a semitone: as far as a wave serves from its key
)

// Winds lists the winds that a model can sound with, in the order in which to offer them. The first, "plain", has no
// formants and is for any instrument that is not listed.
func Winds() []string {
	names := make([]string, len(instruments))
	for i, w := range instruments {
		names[i] = w.name
	}
	return names
}

// MakeWind makes the sound of a model: partials at exact multiples of the pitch, weighted by the formants of the named
// wind, for an A of 415 to 466 Hz and a rate of 22 050 to 384 000 frames per second. Within the instrument's compass all
// pitches are equally loud to within 3 dB by A-weighting, and no wave peaks above −12 dBFS. It fails on an unknown name
// and on an A or a rate out of range. What it returns takes about 2 MB.
func MakeWind(name string, a float64, rate int) (*click.Wind, error) {
	if err := CheckWind(name, a, rate); err != nil {
		return nil, err
	}
	w := instruments[windAt(name)]
	sine := make([]float64, click.WaveLength)
	for i := range sine {
		sine[i] = math.Sin(2 * math.Pi * float64(i) / click.WaveLength)
	}
	periods, levels := make([][]float64, 0, keys), make([]float64, 0, keys)
	for key := range keys {
		hz := click.Key(key).Hz(a)
		amplitudes := w.spectrum(hz, bandLimit*float64(rate)/quarter)
		if len(amplitudes) == 0 {
			break
		}
		period, top := sum(amplitudes, sine)
		periods = append(periods, period)
		levels = append(levels, loudness(amplitudes, hz)/top)
	}
	most := slices.Min(levels[w.low:min(w.up+1, len(levels))]) * math.Pow(10, evenness/20)
	out := &click.Wind{A: a, Waves: make([]click.Wave, len(periods))}
	for key, period := range periods {
		out.Waves[key] = wave(period, windPeak*min(1, most/levels[key]))
	}
	return out, nil
}

// CheckWind is the error of [MakeWind], without the work.
func CheckWind(name string, a float64, rate int) error {
	switch {
	case windAt(name) < 0:
		return fmt.Errorf("wind %q is not known; the winds are %s", name, strings.Join(Winds(), ", "))
	case !(a >= LowestA && a <= HighestA):
		return fmt.Errorf("an A of %g Hz is out of range; %g to %g Hz can be tuned to", a, LowestA, HighestA)
	case rate < minRate || rate > maxRate:
		return fmt.Errorf("wind %s: rate is %d frames per second; %d to %d can be made", name, rate, minRate, maxRate)
	}
	return nil
}

func windAt(name string) int {
	return slices.IndexFunc(instruments, func(w instrument) bool { return w.name == name })
}

// sum is a period of the partials, all of them rising from 0 at its begin, so that those of two pitches are in phase
// under a slur. top is its peak.
func sum(amplitudes, sine []float64) (period []float64, top float64) {
	period = make([]float64, click.WaveLength)
	for i := range click.WaveLength / 2 {
		for k, a := range amplitudes {
			period[i] += a * sine[(k+1)*i%click.WaveLength]
		}
		top = max(top, math.Abs(period[i]))
		if i > 0 { // and backwards below 0
			period[click.WaveLength-i] = -period[i]
		}
	}
	for i := range period {
		period[i] /= top
	}
	return period, top
}

// wave is a period of peak 1 brought to another peak. It starts at its highest sample.
func wave(period []float64, peak float64) click.Wave {
	w := click.Wave{Samples: make([]float32, click.WaveLength+1)}
	for i, v := range period {
		w.Samples[i] = float32(v * peak)
		if w.Samples[i] > w.Samples[w.Start] {
			w.Start = i
		}
	}
	w.Samples[click.WaveLength] = w.Samples[0]
	return w
}
