package takes

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Room is a living room that a take is recorded in.
type Room struct {
	// Metres from the instrument to the microphone; 0 is no room at all.
	Metres float64
	// T60 is the time in seconds in which its sound dies by 60 dB, 0.4 when 0.
	T60 float64
	// Walls has every reflection of a box computed (Allen & Berkley 1979, "Image
	// method for efficiently simulating small-room acoustics", J. Acoust. Soc. Am.
	// 65, 943); without it the tail is decaying noise.
	Walls bool
}

// box is the room's length, width and height in metres.
var box = [3]float64{5.2, 4.1, 2.5}

// impulse is what one sample's worth of sound becomes at the microphone, the
// direct sound being 1 at its index 0.
func (r Room) impulse(rng *rand.Rand) []float64 {
	t60 := r.T60
	if t60 == 0 {
		t60 = 0.4
	}
	if r.Walls {
		return r.reflections(t60, rng)
	}
	// Reverberation is as strong as the direct sound at the critical distance
	// (Kuttruff, Room Acoustics: 0.057·√(V/T60) metres).
	critical := 0.057 * math.Sqrt(box[0]*box[1]*box[2]/t60)
	n := int(1.1 * t60 * Rate)
	h := make([]float64, n)
	energy, low := 0.0, 0.0
	for i := Rate / 500; i < n; i++ {
		t := float64(i) / Rate
		// Air and walls take the high tones first.
		low += (0.25 + 0.5*math.Exp(-t/0.08)) * (rng.NormFloat64() - low)
		h[i] = low * math.Exp(-6.91*t/t60)
		energy += h[i] * h[i]
	}
	gain := r.Metres / critical / math.Sqrt(energy)
	for i := range h {
		h[i] *= gain
	}
	h[0] = 1
	return h
}

// reflections is the impulse response of the box.
func (r Room) reflections(t60 float64, rng *rand.Rand) []float64 {
	const speed = 343.0 // metres a second
	volume := box[0] * box[1] * box[2]
	surface := 2 * (box[0]*box[1] + box[0]*box[2] + box[1]*box[2])
	// Eyring's formula gives what the walls take of the sound's power.
	keeps := math.Exp(-0.161 * volume / surface / t60 / 2)
	var source, mic [3]float64
	for {
		d := 0.0
		v := [3]float64{}
		for i := range v {
			source[i] = box[i] * (0.25 + 0.5*rng.Float64())
			v[i] = rng.NormFloat64()
			if i == 2 {
				v[i] *= 0.3 // about as high as the instrument
			}
			d += v[i] * v[i]
		}
		inside := true
		for i := range v {
			mic[i] = source[i] + v[i]*r.Metres/math.Sqrt(d)
			inside = inside && mic[i] > 0.2 && mic[i] < box[i]-0.2
		}
		if inside {
			break
		}
	}
	n := int(1.1 * t60 * Rate)
	h := make([]float64, n+1)
	reach := [3]int{}
	for i := range reach {
		reach[i] = int(speed*t60/box[i]/2) + 1
	}
	for x := -reach[0]; x <= reach[0]; x++ {
		for y := -reach[1]; y <= reach[1]; y++ {
			for z := -reach[2]; z <= reach[2]; z++ {
				for side := range 8 {
					m := [3]int{x, y, z}
					sum, bounces := 0.0, 0
					for i := range m {
						q := side >> i & 1
						image := (1-2*float64(q))*source[i] + 2*float64(m[i])*box[i]
						sum += (image - mic[i]) * (image - mic[i])
						bounces += max(m[i]-q, q-m[i]) + max(m[i], -m[i])
					}
					d := math.Sqrt(sum)
					at := (d - r.Metres) / speed * Rate
					if at < 0 || at >= float64(n-1) {
						continue
					}
					k := int(at)
					gain := r.Metres / d * math.Pow(keeps, float64(bounces))
					h[k] += gain * (1 - at + float64(k))
					h[k+1] += gain * (at - float64(k))
				}
			}
		}
	}
	// Rigid walls add up at no frequency at all; real ones, and microphones, let
	// none of that through (Allen & Berkley take out what is under 100 Hz).
	for range 2 {
		pole, last, out := math.Exp(-2*math.Pi*60/Rate), 0.0, 0.0
		for i, v := range h {
			out = pole*out + v - last
			h[i], last = out, v
		}
	}
	return h
}

// convolved is x as it sounds through h, block by block.
func convolved(x []float32, h []float64) []float32 {
	const n = 1 << 16
	block := n - len(h)
	fft := fourier.NewFFT(n)
	b := make([]float64, n)
	copy(b, h)
	room := fft.Coefficients(nil, b)
	spec := make([]complex128, len(room))
	y := make([]float32, len(x)+len(h))
	for at := 0; at < len(x); at += block {
		clear(b)
		for i, v := range x[at:min(len(x), at+block)] {
			b[i] = float64(v)
		}
		fft.Coefficients(spec, b)
		for i := range spec {
			spec[i] *= room[i]
		}
		fft.Sequence(b, spec)
		for i := range min(n, len(y)-at) {
			y[at+i] += float32(b[i] / n)
		}
	}
	return y
}
