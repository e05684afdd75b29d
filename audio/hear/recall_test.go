package hear

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// came is a third of a second of a note that comes up from a place on, within
// rise, both in seconds, its harmonics' phases drawn by rng; in it is white noise
// of so many dB.
func came(rng *rand.Rand, hz, at, note, rise, noise float64) []float32 {
	x := make([]float32, int(hz/3))
	var phase [6]float64
	for h := range phase {
		phase[h] = 2 * math.Pi * rng.Float64()
	}
	for i := range x {
		t := float64(i)/hz - at
		v := math.Pow(10, noise/20) * rng.NormFloat64()
		for h := range phase {
			// The higher harmonics come up later, as a reed's do.
			up := max(0, min(1, (t-0.001*float64(h))/rise))
			v += up * up / float64(h+1) * math.Sin(2*math.Pi*frequency(note)*float64(h+1)*t+phase[h])
		}
		x[i] = float32(0.2 * v)
	}
	return x
}

func heldRing(x []float32) *ring {
	r := newRing(len(x))
	r.write(x)
	return r
}

// A note that comes up later than another is found to do so by as much, whatever
// the phases of its harmonics, and in noise as well.
func TestEnvelopesAlign(t *testing.T) {
	const hz = 22050.0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		note := float64(rapid.IntRange(43, 84).Draw(t, "note"))
		rise := rapid.Float64Range(0.01, 0.04).Draw(t, "rise")
		late := rapid.Float64Range(-0.02, 0.02).Draw(t, "late")
		noise := rapid.SampledFrom([]float64{-90, -30, -20}).Draw(t, "noise")
		a := newEnvelopes(heldRing(came(rng, hz, 0.15, note, rise, noise)), hz, envWindow).hear(0.15, frequency(note))
		c := newEnvelopes(heldRing(came(rng, hz, 0.15+late, note, rise, noise)), hz, envWindow)
		to := c.hear(0.15, frequency(note)).against(a)
		// In a low note neighbouring harmonics beat, by their phases, within a period.
		most := 0.0015 + 0.35/frequency(note)
		if noise > -25 {
			most += 0.002
		}
		if got := to.steps * c.step(); math.Abs(got-late) > most {
			t.Errorf("note %.0f, %.1f ms late, is told to be %.1f ms late", note, late*1000, got*1000)
		}
	})
}

// at is where recall places a note.
func (r *recall) at(a recalled) float64 {
	o := Onset{recalled: a}
	r.apply(&o)
	return o.Seconds
}

// Notes of one pitch that were found now too early and now too late are brought
// together, and as a whole stay where they were.
func TestRecallBringsTogether(t *testing.T) {
	const hz = 22050.0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		note := rapid.IntRange(43, 84).Draw(t, "note")
		rise := rapid.Float64Range(0.01, 0.03).Draw(t, "rise")
		var list []recalled
		var found []float64
		r := newRecall(nil, hz)
		for range 12 {
			r.ups.fine = heldRing(came(rng, hz, 0.15, float64(note), rise, -30))
			slip := 0.005 * max(-2, min(2, rng.NormFloat64()))
			found = append(found, 1000*slip)
			list = append(list, r.place(0.15+slip, 5, note))
		}
		var placed []float64
		for _, a := range list {
			placed = append(placed, 1000*(r.at(a)-0.15))
		}
		before, spreadBefore := meanAndSpread(found)
		after, spread := meanAndSpread(placed)
		if spread > 0.6*spreadBefore {
			t.Errorf("a spread of %.2f ms has become %.2f ms", spreadBefore, spread)
		}
		if math.Abs(after-before) > 0.3*spreadBefore {
			t.Errorf("a mean of %.2f ms has become %.2f ms", before, after)
		}
	})
}

// A note whose pitch comes once stays where it was found, and one that was found
// by its pitch alone is not touched.
func TestRecallLeavesAloneWhatCameOnce(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	r := newRecall(heldRing(came(rng, 22050, 0.15, 60, 0.02, -60)), 22050)
	if got := r.at(r.place(0.147, 3, 60)); got != 0.147 {
		t.Errorf("placed at %.4f s, found at 0.1470 s", got)
	}
	l, err := NewListener(44100)
	if err != nil {
		t.Fatal(err)
	}
	onsets := []Onset{{Seconds: 1, Midi: 60, Slurred: true}, {Seconds: 2, Midi: 60}}
	l.Refine(onsets)
	if onsets[0].Seconds != 1 || onsets[1].Seconds != 2 {
		t.Errorf("placed at %.3f and %.3f s, found at 1 and 2 s", onsets[0].Seconds, onsets[1].Seconds)
	}
}

// Silence has no envelope, and nothing but numbers come of it.
func TestRecallOfSilence(t *testing.T) {
	r := newRecall(heldRing(make([]float32, 22050)), 22050)
	for range 3 {
		a := r.place(0.15, 3, 60)
		if got := r.at(a); got != 0.15 {
			t.Errorf("placed at %v, found at 0.15", got)
		}
	}
	// What the ring no longer holds is silence too.
	r.place(-3, 3, 61)
	if got := r.at(r.place(90, 3, 61)); got != 90 {
		t.Errorf("placed at %v, found at 90", got)
	}
}

func meanAndSpread(v []float64) (mean, spread float64) {
	for _, x := range v {
		mean += x / float64(len(v))
	}
	for _, x := range v {
		spread += (x - mean) * (x - mean) / float64(len(v))
	}
	return mean, math.Sqrt(spread)
}

// Placing a note by recall takes a small part of what hearing it does: compare
// with BenchmarkListen's time for a second of sound and ten notes.
func BenchmarkRecall(b *testing.B) {
	rng := rand.New(rand.NewPCG(7, 8))
	r := newRecall(heldRing(came(rng, 22050, 0.15, 60, 0.02, -60)), 22050)
	for b.Loop() {
		r.place(0.15, 3, 60)
	}
}
