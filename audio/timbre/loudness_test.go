package timbre

import (
	"math"
	"testing"

	"footing/audio/click"
)

// loudness is the programme loudness of mono sound at 48 kHz in LKFS: K-weighted, in
// blocks of 400 ms that overlap by three quarters, gated at −70 LKFS and at 10 LU under
// what passes that (Recommendation ITU-R BS.1770-4, annex 1, with the filters of its
// tables 1 and 2).
func loudnessOf(x []float32) float64 {
	shelf := biquad{b: [3]float64{1.53512485958697, -2.69169618940638, 1.19839281085285}, a: [2]float64{-1.69065929318241, 0.73248077421585}}
	high := biquad{b: [3]float64{1, -2, 1}, a: [2]float64{-1.99004745483398, 0.99007225036621}}
	squares := make([]float64, len(x))
	for i, v := range x {
		y := high.next(shelf.next(float64(v)))
		squares[i] = y * y
	}
	const block = rate * 4 / 10
	var powers []float64
	for at := 0; at+block <= len(x); at += block / 4 {
		sum := 0.0
		for _, s := range squares[at : at+block] {
			sum += s
		}
		powers = append(powers, sum/block)
	}
	gated := func(over float64) float64 {
		sum, n := 0.0, 0
		for _, p := range powers {
			if lkfs(p) > over {
				sum, n = sum+p, n+1
			}
		}
		return lkfs(sum / float64(n))
	}
	return gated(gated(-70) - 10)
}

func lkfs(power float64) float64 { return -0.691 + 10*math.Log10(power) }

type biquad struct {
	b    [3]float64
	a    [2]float64
	w, v float64
}

func (f *biquad) next(x float64) float64 {
	w := x - f.a[0]*f.w - f.a[1]*f.v
	y := f.b[0]*w + f.b[1]*f.w + f.b[2]*f.v
	f.w, f.v = w, f.w
	return y
}

// The recommendation says itself what its meter shows: a sine of 997 Hz at 0 dBFS in one
// front channel is −3.01 LKFS.
func TestTheMeterOfLoudness(t *testing.T) {
	x := make([]float32, 5*rate)
	for i := range x {
		x[i] = float32(math.Sin(2 * math.Pi * 997 * float64(i) / rate))
	}
	if got := loudnessOf(x); math.Abs(got+3.01) > 0.02 {
		t.Errorf("the sine is %.2f LKFS, want -3.01", got)
	}
}

// bar is a bar of sixteenths at 120 with a kit: an accent, beats, and slots between.
func bar(k click.Kit) []float32 {
	out := make([]float32, 2*rate)
	for i := range 16 {
		sound, gain := k.Slot, click.Piano.Gain()
		switch {
		case i == 0:
			sound, gain = k.Accent, click.Forte.Gain()
		case i%4 == 0:
			sound, gain = k.Beat, click.MezzoForte.Gain()
		}
		for j, v := range sound {
			out[i*rate/8+j] += v * gain
		}
	}
	return out
}

// All timbres are equally loud, to within 2 dB by ITU-R BS.1770 on a bar of sixteenths.
func TestTimbresAreEquallyLoud(t *testing.T) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, name := range Names() {
		l := loudnessOf(bar(mustMake(t, name, rate)))
		t.Logf("%s: %.1f LKFS", name, l)
		low, high = min(low, l), max(high, l)
	}
	if high-low > 2 {
		t.Errorf("the timbres are %.1f dB apart, from %.1f to %.1f LKFS", high-low, low, high)
	}
}
