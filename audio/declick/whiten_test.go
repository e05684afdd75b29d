package declick

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Held notes are predicted, noise is not, and a faint tone that begins between
// their harmonics stands out at once.
func TestWhitener(t *testing.T) {
	const ms, block = 22, 22 * stepMs
	rest := func(x []float32) (out []float64) {
		w := newWhitener(ms, block)
		for ; len(x) >= block; x = x[block:] {
			out = append(out, w.run(x[:block])...)
		}
		return out
	}
	power := func(x []float64) (p float64) {
		for _, v := range x {
			p += v * v / float64(len(x))
		}
		return p
	}
	note := make([]float32, 20*block)
	noise := make([]float32, len(note))
	rng := rand.New(rand.NewPCG(1, 2))
	sounded := 0.0
	for i := range note {
		for h := 1.0; h <= 8; h++ {
			note[i] += float32(0.3 / h * math.Sin(2*math.Pi*233*h*float64(i)/hz+h))
		}
		noise[i] = float32(rng.NormFloat64())
		sounded += float64(note[i]*note[i]) / float64(len(note))
	}
	if left := 10 * math.Log10(power(rest(note)[4*block:])/sounded); left > -30 {
		t.Errorf("%.1f dB of a held note are left, want at most -30", left)
	}
	if p := power(rest(noise)[4*block:]); p < 0.9 || p > 1.3 {
		t.Errorf("of noise of power 1 is left %.2f", p)
	}
	at := 10*block + 100
	tick(note, float64(at), 0.1, []float64{1000})
	r := rest(note)
	before, after := power(r[at-12*ms:at]), power(r[at:at+2*ms])
	if after < 10*before {
		t.Errorf("a tone that begins lifts what is left by %.1f dB only", 10*math.Log10(after/before))
	}
}

// Notes that begin alike, as a sampler's do, are no clicks when a player's hand
// set them; at exactly regular distances they would be.
func TestRegular(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	const ms = 22
	for _, tt := range []struct {
		name    string
		scatter float64 // milliseconds
		gone    int     // every so many-th click is missing
		least   int
		most    int
	}{{"a metronome", 0, 0, 12, 12}, {"with gaps", 0, 3, 8, 8}, {"a steady player", 4, 0, 2, 4}} {
		for range 50 {
			var clicks []struck
			for i := range 12 {
				if tt.gone > 0 && i%tt.gone == 0 {
					continue
				}
				place := 4000 + 2543.7*float64(i) + tt.scatter*ms*rng.NormFloat64()
				at := int(place)
				clicks = append(clicks, struck{at: at, late: place - float64(at)})
			}
			if got := len(regular(clicks, exactMs*ms)); got < tt.least || got > tt.most {
				t.Fatalf("%s: %d of %d clicks are regular, want %d to %d", tt.name, got, len(clicks), tt.least, tt.most)
			}
		}
	}
}
