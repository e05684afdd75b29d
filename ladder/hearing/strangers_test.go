package hearing

import (
	"math/rand/v2"
	"strings"
	"testing"

	"footing/audio/hear"
	"footing/audio/judge"

	"pgregory.net/rapid"
)

// looped is a figure of sixteenths at 75 bpm, over and over with a breath after each, of
// which the ears miss some notes.
func looped(keys []int, reps int, breath, unheard float64, rng *rand.Rand) (out []hear.Onset) {
	at := 2.0
	for range reps {
		for _, k := range keys {
			if rng.Float64() >= unheard {
				out = append(out, hear.Onset{Seconds: at + 0.005*rng.NormFloat64(), Midi: k, Certainty: 1, PlacedMs: 2})
			}
			at += 0.2
		}
		at += breath
	}
	return out
}

var figure = []int{60, 62, 64, 65, 67, 65, 64, 62}

// A voice in the breaths and before the first rep is called outside the reps, and
// neither the notes nor where they begin are the worse for it.
func TestAVoiceIsOutsideTheReps(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 3))
		notes := looped(figure, 8, 1.9, 0, rng)
		var all []hear.Onset
		voice := 0
		speak := func(from, to float64) {
			for at := from; at < to; at += 0.06 + 0.3*rng.Float64() {
				all = append(all, hear.Onset{Seconds: at, Midi: 44 + rng.IntN(6), Certainty: 0.9, PlacedMs: 4})
				voice++
			}
		}
		speak(0.1, 1.2)
		for i, o := range notes {
			all = append(all, o)
			if i%8 == 7 && i < len(notes)-1 && i%16 == 7 {
				speak(o.Seconds+0.35, notes[i+1].Seconds-0.3)
			}
		}
		r := Compare(Recording{Onsets: all}, Question{Hint: judge.Hint{BPM: 75, SlotsPerBeat: 4}})
		if !strings.HasPrefix(r.Sentence, "Even") || r.Reps != 8 || len(r.Missed) != 0 || r.Outside < voice-2 || r.Clicks {
			t.Errorf("seed %d: %d reps, %d of %d outside, clicks %v: %s", seed, r.Reps, r.Outside, voice, r.Clicks, r.Sentence)
		}
		for _, n := range r.Notes {
			if n.Kind == judge.Played && (n.Slot > 8 || n.Midi != figure[n.Slot-1]) {
				t.Errorf("seed %d: key %d on slot %d", seed, n.Midi, n.Slot)
				break
			}
		}
	}
}

// No note of a figure is a stranger because others about it were not heard.
func TestTheNotesOfAFigureAreNoStrangers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		n := rapid.IntRange(3, 12).Draw(t, "notes")
		keys := make([]int, n)
		for i := range keys {
			keys[i] = 60 + rng.IntN(12)
		}
		onsets := looped(keys, rapid.IntRange(6, 14).Draw(t, "reps"), rapid.SampledFrom([]float64{0, 0.4, 0.83}).Draw(t, "breath"), 0.05, rng)
		strange, _ := strangers(onsets, 0.2)
		lost := 0
		for _, s := range strange {
			if s {
				lost++
			}
		}
		if lost > 1+len(onsets)/20 {
			t.Fatalf("%d of %d notes are called strangers", lost, len(onsets))
		}
	})
}

// The mains are no note; an instrument as low as they are is one.
func TestTheMainsAreNoNote(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	hum := func(at, hz float64) hear.Onset {
		return hear.Onset{Seconds: at, Midi: map[float64]int{50: 31, 60: 34, 100: 43}[hz], Cents: map[float64]float64{50: 35.1, 60: 50.7, 100: 35}[hz], Certainty: 1}
	}
	notes := looped(figure, 6, 0, 0, rng)
	for _, hz := range []float64{50, 60, 100} {
		kept, at := withoutHum(append(append([]hear.Onset{hum(0.01, hz)}, notes...), hum(14, hz)))
		if len(kept) != len(notes) || at != hz {
			t.Errorf("%v Hz: %d of %d notes are left, heard at %v Hz", hz, len(kept), len(notes), at)
		}
	}
	low := looped([]int{31, 33, 35, 36, 38}, 6, 0, 0, rng)
	for i := range low {
		low[i].Cents = 34 // an A of 449 Hz
	}
	for _, takes := range [][]hear.Onset{low, notes, notes[:2], nil} {
		if kept, hz := withoutHum(takes); len(kept) != len(takes) || hz != 0 {
			t.Errorf("%d of %d notes are left, the mains at %v Hz", len(kept), len(takes), hz)
		}
	}
}
