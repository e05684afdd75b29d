package hearing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/ladder"
)

// oneRep is a rep of nine sixteenths at 72 bpm, begun at a second, each note
// late by some seconds and scattered by some milliseconds.
func oneRep(rng *rand.Rand, late, scatter float64) (places []int64, onsets []hear.Onset) {
	const rate = 48_000
	places = Places(run(nil).Loop().RepPhrase(click.BPM(72)), rate, rate)
	for _, p := range places {
		at := float64(p)/rate + late + scatter/1000*max(-2, min(2, rng.NormFloat64()))
		onsets = append(onsets, hear.Onset{Seconds: at, Midi: 60, Certainty: 0.95, PlacedMs: 2.5})
	}
	return places, onsets
}

// The faults are those of the reps that the limits are for; each is planted in a
// hundred reps that are even but for it. A rep called clean that is not costs more
// than one called rough that is clean (Duke, Simmons & Cash 2009, "It's not how
// much; it's how", J. Res. Music Educ. 56, 310-321, found the share of correct
// trials to go with what was retained).
func TestProposals(t *testing.T) {
	without := func(o []hear.Onset, from, to int) []hear.Onset { return slices.Delete(o, from, to) }
	at := func(o []hear.Onset, i int, seconds float64) []hear.Onset {
		n := o[i]
		n.Seconds += seconds
		return slices.Insert(o, i+1, n)
	}
	for _, tt := range []struct {
		name    string
		scatter float64
		plant   func(o []hear.Onset) []hear.Onset
		clean   [2]int // at least and at most
		rough   [2]int
	}{
		{"even", 4, nil, [2]int{98, 100}, [2]int{0, 1}},
		{"as a practised player scatters", 8, nil, [2]int{85, 100}, [2]int{0, 3}},
		{"a note late", 4, func(o []hear.Onset) []hear.Onset { o[3].Seconds += 0.045; return o }, [2]int{0, 1}, [2]int{97, 100}},
		{"a note early", 4, func(o []hear.Onset) []hear.Onset { o[3].Seconds -= 0.045; return o }, [2]int{0, 1}, [2]int{97, 100}},
		{"the landing late", 4, func(o []hear.Onset) []hear.Onset { o[8].Seconds += 0.045; return o }, [2]int{0, 1}, [2]int{97, 100}},
		{"a note missed", 4, func(o []hear.Onset) []hear.Onset { return without(o, 4, 5) }, [2]int{0, 0}, [2]int{97, 100}},
		{"the first note missed", 4, func(o []hear.Onset) []hear.Onset { return without(o, 0, 1) }, [2]int{0, 0}, [2]int{97, 100}},
		{"broken off", 4, func(o []hear.Onset) []hear.Onset { return without(o, 4, 9) }, [2]int{0, 0}, [2]int{100, 100}},
		{"a note too many", 4, func(o []hear.Onset) []hear.Onset { return at(o, 4, 0.1) }, [2]int{0, 0}, [2]int{97, 100}},
		{"the ears' own note too many", 4, func(o []hear.Onset) []hear.Onset {
			o = at(o, 4, 0.1)
			o[5].Certainty = 0.5
			return o
		}, [2]int{95, 100}, [2]int{0, 3}},
		{"too little", 4, func(o []hear.Onset) []hear.Onset { return o[:2] }, [2]int{0, 0}, [2]int{0, 0}},
		{"nothing", 4, func(o []hear.Onset) []hear.Onset { return nil }, [2]int{0, 0}, [2]int{0, 0}},
		{"a note on the edge", 0, func(o []hear.Onset) []hear.Onset { o[3].Seconds += 0.14 * 60 / 72 / 4; return o }, [2]int{0, 0}, [2]int{0, 0}},
		{"known to no more than 25 ms", 4, func(o []hear.Onset) []hear.Onset {
			for i := range o {
				o[i].PlacedMs = 25
			}
			return o
		}, [2]int{0, 0}, [2]int{0, 100}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(11, 12))
			got := map[ladder.Verdict]int{}
			for range 100 {
				places, onsets := oneRep(rng, 0.03, tt.scatter)
				if tt.plant != nil {
					onsets = tt.plant(onsets)
				}
				v, certainty := Propose(onsets, places, 48_000, 0.03)
				got[v]++
				if v == ladder.Unjudged != (certainty == 0) || certainty < 0 || certainty > 1 {
					t.Fatalf("%s with certainty %v", v, certainty)
				}
			}
			in := func(n int, bounds [2]int) bool { return n >= bounds[0] && n <= bounds[1] }
			if !in(got[ladder.Clean], tt.clean) || !in(got[ladder.Rough], tt.rough) {
				t.Errorf("%d clean, %d rough, %d in doubt; want clean %v, rough %v", got[ladder.Clean], got[ladder.Rough], got[ladder.Unjudged], tt.clean, tt.rough)
			}
		})
	}
}

// Something else than the rep is no rough rep.
func TestAnotherPassageIsDoubt(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	places, onsets := oneRep(rng, 0, 4)
	for i := range 9 {
		o := onsets[2*i]
		o.Seconds += 0.1
		onsets = slices.Insert(onsets, 2*i+1, o)
	}
	if v, _ := Propose(onsets, places, 48_000, 0); v != ladder.Unjudged {
		t.Errorf("%s", v)
	}
}

// The farther off a note is, the likelier its rep is rough; and how late all notes
// are expected changes nothing but where they are.
func TestProposalsGoByHowFarOff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		slot := rapid.IntRange(0, 8).Draw(t, "slot")
		late := rapid.Float64Range(-0.1, 0.1).Draw(t, "late")
		less := rapid.Float64Range(0, 0.05).Draw(t, "less")
		more := less + rapid.Float64Range(0, 0.03).Draw(t, "more")
		roughness := func(off, late float64) float64 {
			places, onsets := oneRep(rand.New(rand.NewPCG(seed, 1)), late, 0)
			onsets[slot].Seconds += off
			switch v, c := Propose(onsets, places, 48_000, late); v {
			case ladder.Rough:
				return c
			case ladder.Clean:
				return 1 - c
			}
			return (surelyRough + surelyClean) / 2
		}
		if a, b := roughness(less, late), roughness(more, late); b < a-1e-9 {
			t.Fatalf("rough by %.3f when %.1f ms off, by %.3f when %.1f", a, 1000*less, b, 1000*more)
		}
		if a, b := roughness(less, late), roughness(less, 0); math.Abs(a-b) > 1e-6 {
			t.Fatalf("rough by %.6f, and by %.6f with all notes late", b, a)
		}
	})
}
