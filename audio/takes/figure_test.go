package takes

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// Every note of a figure sounds, on each bank, and a planted slot is moved by what
// was planted and nothing else.
func TestFigureSounds(t *testing.T) {
	for _, bank := range []string{MadeUp, SoundFont} {
		for _, a := range []Articulation{Tongued, Legato, Slurred, Faded} {
			f := Figure{
				Instrument: Instruments()[1], Bank: bank, Articulation: a, Keys: []int{0, 4, 2, 7}, BPM: 80, Slots: 4, Reps: 3,
				Breath: 1, ScatterMs: 4, Seed: 5,
			}
			even, err := PlayFigure(context.Background(), f)
			if err != nil {
				t.Fatal(err)
			}
			if len(even.Notes) != 12 || math.Abs(even.Notes[0].Seconds-f.First()) > 0.01 || math.Abs(even.Notes[4].Seconds-f.First()-f.Period()) > 0.02 {
				t.Errorf("%s: %d notes from %.3f s", f, len(even.Notes), even.Notes[0].Seconds)
			}
			for _, n := range even.Notes {
				if l := loudness(even.Samples[int((n.Seconds+0.03)*Rate):][:2000]); l < 0.02 {
					t.Errorf("%s: nothing sounds after the note at %.3f s", f, n.Seconds)
				}
			}
			f.LateMs = map[int]float64{3: 25}
			late, err := PlayFigure(context.Background(), f)
			if err != nil {
				t.Fatal(err)
			}
			for i, n := range late.Notes {
				if d := 1000 * (n.Seconds - even.Notes[i].Seconds); math.Abs(d-f.LateMs[n.Slot]) > 1e-6 {
					t.Errorf("%s: note %d is moved by %.2f ms", f, i, d)
				}
			}
		}
	}
}

// A room's sound falls by 30 dB in half its T60, and is the stronger the farther
// the microphone is, with the direct sound first.
func TestRooms(t *testing.T) {
	energy := func(h []float64, from, to float64) (sum float64) {
		for _, v := range h[int(from*Rate):int(to*Rate)] {
			sum += v * v
		}
		return sum
	}
	for _, walls := range []bool{false, true} {
		near := Room{Metres: 0.5, T60: 0.4, Walls: walls}.impulse(rand.New(rand.NewPCG(1, 1)))
		far := Room{Metres: 1.5, T60: 0.4, Walls: walls}.impulse(rand.New(rand.NewPCG(1, 1)))
		fall := 10 * math.Log10(energy(far, 0.05, 0.1)/energy(far, 0.25, 0.3))
		if fall < 22 || fall > 38 {
			t.Errorf("walls %v: the sound falls by %.1f dB in half its T60", walls, fall)
		}
		if r := energy(far, 0.02, 0.4) / energy(near, 0.02, 0.4); r < 4 || r > 18 {
			t.Errorf("walls %v: thrice as far, the room is %.1f times as strong", walls, r)
		}
		if near[0] < 0.9 {
			t.Errorf("walls %v: the direct sound is %.2f", walls, near[0])
		}
	}
}

// Trials are the same each time, and a habit is all that parts an odd one from the
// even one before.
func TestTrials(t *testing.T) {
	banks := []string{MadeUp}
	for _, row := range Rows() {
		for i := range 6 {
			a, b := NewTrial(row, i, banks), NewTrial(row, i, banks)
			if !reflect.DeepEqual(a, b) {
				t.Errorf("%s %d differs from itself", row, i)
			}
			even := NewTrial(row, i-i%2, banks)
			late := a.Late
			a.Late, a.LateMs = 0, nil
			if !reflect.DeepEqual(a, even) || i%2 == 1 && (late < 1 || late > len(a.Keys)) {
				t.Errorf("%s %d has slot %d late", row, i, late)
			}
		}
	}
}
