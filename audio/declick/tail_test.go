package declick

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// inRoom is x with the sound of a room that dies by 60 dB in 0.4 s, at a metre.
func inRoom(x []float32, rng *rand.Rand) []float32 {
	const t60 = 0.4
	y := slices.Clone(x)
	for k := hz / 500; k < t60*hz/2; k++ {
		g := float32(0.04 * rng.NormFloat64() * math.Exp(-6.91*float64(k)/hz/t60))
		for i, v := range x[:len(x)-k] {
			if v != 0 {
				y[i+k] += g * v
			}
		}
	}
	return y
}

// What a room makes of clicks goes with them: where they sound alone, and where
// louder notes sound with them.
func TestFilterTakesClicksInARoomOut(t *testing.T) {
	for name, modes := range map[string][]float64{"woody": {830, 1370, 2210, 2890, 4300}, "metallic": {2100, 3400, 5150, 7230}, "soft": {620, 905}} {
		rng := rand.New(rand.NewPCG(5, 6))
		const step, alone, all = 4410, 10, 36
		clicks := make([]float32, (all+2)*step)
		var heard [2][]float32
		for i := range heard {
			heard[i] = make([]float32, 3*step)
		}
		tick(heard[0], 0, 0.25, modes)
		tick(heard[1], 0, 0.25, []float64{modes[0] * 1.26, modes[1] * 1.26})
		seed := rng.Uint64()
		for i, x := range heard {
			heard[i] = inRoom(x, rand.New(rand.NewPCG(seed, 0)))
		}
		for i := range all {
			sound := heard[0]
			if i%4 == 0 {
				sound = heard[1]
			}
			for k, v := range sound[:min(len(sound), len(clicks)-500-i*step)] {
				clicks[500+i*step+k] += v
			}
		}
		keys := make([]float64, all-alone+1)
		for i := range keys {
			keys[i] = 53 + float64([]int{0, 2, 4, 5, 7, 5, 4, 2}[i%8])
		}
		notes := make([]float32, len(clicks))
		copy(notes[alone*step+500:], phrase(keys, 4321))
		both := slices.Clone(notes)
		for i, v := range clicks {
			both[i] += v + float32(1e-5*rng.NormFloat64())
		}
		y := declicked(both, func() int { return len(both) })
		for _, part := range []struct {
			what     string
			from, to int
			most     float64
		}{{"alone", 0, alone, -18}, {"with notes", alone + 1, all, -12}} {
			before, after := 0.0, 0.0
			for n := part.from*step + 500; n < part.to*step+500; n++ {
				d, e := float64(clicks[n]), float64(y[n]-notes[n])
				before, after = before+d*d, after+e*e
			}
			if left := 10 * math.Log10(after/before); left > part.most {
				t.Errorf("%s: %.1f dB are left of the clicks %s, want at most %.0f", name, left, part.what, part.most)
			} else {
				t.Logf("%s: %.1f dB are left of the clicks %s", name, left, part.what)
			}
		}
	}
}

// Sounds that ring on, out of silence, are clicks when they are the same and come
// evenly; those that grow may be notes.
func TestWhatRingsIsLearned(t *testing.T) {
	var even []float64
	for k := range 24 {
		even = append(even, float64(k))
	}
	// A Golomb ruler: no mark lies in the middle of two others, nor does any grid hold four
	// of them now that they are a little off.
	uneven := []float64{0.07, 1.21, 6, 9.86, 23.14, 26.05, 33.82, 41.11, 52.93, 55.2}
	for _, tt := range []struct {
		name    string
		grow    float64   // seconds that they take to come up
		places  []float64 // where they lie, in units of 0.3 s
		learned bool
	}{{"even", 0, even, true}, {"even, but they grow", 0.08, even, false}, {"not even", 0, uneven, false}} {
		rng := rand.New(rand.NewPCG(7, 8))
		x := make([]float32, 18*hz)
		for i := range x {
			x[i] = float32(1e-5 * rng.NormFloat64())
		}
		for _, place := range tt.places {
			at := 500 + place*0.3*hz
			for i := int(math.Ceil(at)); i < int(at)+13000; i++ {
				age := (float64(i) - at) / hz
				come := 1.0
				if tt.grow > 0 {
					come = 0.2 + 0.8*min(1, age/tt.grow)
				}
				for _, mode := range []float64{830, 1370, 2210} {
					x[i] += float32(0.1 * come * math.Sin(2*math.Pi*mode*age) * math.Exp(-8*age))
				}
			}
		}
		d := New(hz)
		d.Run(nil, x)
		learned := slices.ContainsFunc(d.sounds, (*clickSound).heardAlone)
		if learned != tt.learned {
			t.Errorf("%s: heard alone is %v, want %v, of %d sounds", tt.name, learned, tt.learned, len(d.sounds))
		}
	}
}
