package takes

import (
	"math"
	"math/rand/v2"
)

// normalise brings the peak to half of full scale.
func normalise(x []float32) {
	peak := float32(0)
	for _, v := range x {
		peak = max(peak, max(v, -v))
	}
	if peak == 0 {
		return
	}
	for i := range x {
		x[i] *= 0.5 / peak
	}
}

// loudness is the root mean square of the part that sounds.
func loudness(x []float32) float64 {
	sum, n := 0.0, 0
	for _, v := range x {
		if v > 0.005 || v < -0.005 {
			sum += float64(v) * float64(v)
			n++
		}
	}
	return math.Sqrt(sum / float64(max(n, 1)))
}

// addNoise adds white noise so many decibels below the notes.
func addNoise(x []float32, decibels float64, rng *rand.Rand) {
	level := loudness(x) * math.Pow(10, -decibels/20)
	for i := range x {
		x[i] += float32(rng.NormFloat64() * level)
	}
}

// addRoom plays the take in a room whose sound dies by 60 dB in t60 seconds: a
// few early reflections and a tail of decaying noise 9 dB below the direct
// sound, low-passed as walls do.
func addRoom(x []float32, t60 float64, rng *rand.Rand) []float32 {
	const taps = 400
	length := int(t60 * Rate)
	type tap struct {
		at   int
		gain float64
	}
	tail := make([]tap, 0, taps+3)
	energy := 0.0
	for range taps {
		at := 400 + rng.IntN(length-400)
		g := rng.NormFloat64() * math.Pow(10, -3*float64(at)/float64(length))
		tail = append(tail, tap{at, g})
		energy += g * g
	}
	scale := math.Pow(10, -9.0/20) / math.Sqrt(energy)
	for i := range tail {
		tail[i].gain *= scale
	}
	tail = append(tail, tap{311, 0.30}, tap{587, -0.22}, tap{1009, 0.15})
	y := make([]float32, len(x)+length)
	copy(y, x)
	wet := make([]float32, len(y))
	for _, tp := range tail {
		g := float32(tp.gain)
		for i, v := range x {
			wet[i+tp.at] += g * v
		}
	}
	low := float32(0)
	for i := range y {
		low += 0.4 * (wet[i] - low)
		y[i] += low
	}
	return y
}

// addClicks mixes a struck click onto every slot of the grid (stronger on the
// beat), as a loudspeaker in the room would. The kind picks a spectrum.
func addClicks(x []float32, s Spec, kind int) {
	modes := [][]float64{
		{830, 1370, 2210, 2890, 4300},  // woody
		{2100, 3400, 5150, 7230, 9310}, // metallic
		{1500},                         // a pure high pip
		{620, 905, 1480},               // soft
	}[kind%4]
	step := 60 / s.BPM / float64(s.Slots)
	level := loudness(x)
	for i := range s.Beats * s.Slots {
		at := int(math.Round((Lead + float64(i)*step) * Rate))
		gain := 1.0
		if i%s.Slots != 0 {
			gain = 0.6
		}
		for n := range int(0.08 * Rate) {
			if at+n >= len(x) {
				break
			}
			t := float64(n) / Rate
			v := 0.0
			for m, f := range modes {
				v += math.Cos(2*math.Pi*f*t) * math.Exp(-t*(45+25*float64(m)))
			}
			fade := 1 - t/0.08
			x[at+n] += float32(gain * 1.4 * level * v * fade / math.Sqrt(float64(len(modes))))
		}
	}
}
