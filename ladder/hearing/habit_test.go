package hearing_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"strings"
	"sync"
	"testing"

	"footing/audio/judge"
	"footing/audio/takes"
	"footing/ladder/hearing"
)

// habitTake is the seed's take: eight short reps under 6 ms of scatter on one
// of the five instruments, tongued or slurred, with a wide or a narrow gap,
// alone or with the clicks in the recording, in some pattern of some number of
// slots; and the slot and the deviation to plant.
func habitTake(seed uint64) (s takes.Spec, slot int, late float64) {
	rng := rand.New(rand.NewPCG(seed, 8))
	five := takes.Instruments()
	patterns := []takes.Pattern{takes.Scale, takes.Thirds, takes.Arpeggio, takes.Zigzag}
	s = takes.Spec{
		Instrument: five[seed%5], Articulation: []takes.Articulation{takes.Tongued, takes.Slurred}[seed/5%2],
		Pattern: patterns[rng.IntN(len(patterns))], Place: []takes.Place{takes.Dry, takes.Clicks}[seed/10%2], Slots: []int{4, 3}[rng.IntN(2)],
		Gate: []float64{0.75, 0.9}[seed/20%2],
		BPM:  float64(112 + rng.IntN(33)), Beats: 8, ScatterMs: 6, Up: rng.IntN(5), Seed: seed,
	}
	return s, 1 + rng.IntN(s.Slots), []float64{25, 25, -25}[rng.IntN(3)]
}

// From sound to sentence, on a hundred takes each: a change planted 25 ms late
// or early in every rep of eight is named, and in an even take none is.
func TestHabitsAreNamedAndEvenTakesLeftAlone(t *testing.T) {
	const seeds = 100
	var mu sync.Mutex
	named, even := 0, 0
	var astray []string
	try := func(seed uint64) error {
		s, slot, late := habitTake(seed)
		for _, planted := range []bool{true, false} {
			s.LateMs = nil
			if planted {
				s.LateMs = map[int]float64{slot: late}
			}
			take, err := takes.Make(context.Background(), s)
			if err != nil {
				return fmt.Errorf("%w (the tests play takes with Debian's fluidsynth and timgm6mb-soundfont)", err)
			}
			heard, err := hearing.Listen(take.Samples, takes.Rate)
			if err != nil {
				return err
			}
			r := hearing.Compare(heard, hearing.Question{Hint: judge.Hint{BPM: s.BPM, SlotsPerBeat: s.Slots}})
			right := r.Weak == nil && strings.HasPrefix(r.Sentence, "Even")
			if planted {
				right = r.Weak != nil && r.Weak.ToSlot == slot && r.Weak.FromSlot == (slot+s.Slots-2)%s.Slots+1 &&
					r.Weak.LateMs*late > 0
			}
			mu.Lock()
			switch {
			case !right:
				astray = append(astray, fmt.Sprintf("seed %d, %s %s %s at %.0f bpm, %d slots, planted %v: %s",
					seed, s.Instrument.Name, s.Articulation, s.Pattern, s.BPM, s.Slots, s.LateMs, r.Sentence))
			case planted:
				named++
			default:
				even++
			}
			mu.Unlock()
		}
		return nil
	}
	work := make(chan uint64)
	var players sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		players.Go(func() {
			for seed := range work {
				if err := try(seed); err != nil {
					t.Error(err)
				}
			}
		})
	}
	for seed := range uint64(seeds) {
		work <- seed
	}
	close(work)
	players.Wait()
	t.Logf("%d and %d of %d", named, even, seeds)
	if named < 95 || even < 95 {
		t.Errorf("named rightly in %d of %d planted takes, left alone in %d of %d even ones, want 95; astray:\n%s",
			named, seeds, even, seeds, strings.Join(astray, "\n"))
	}
}
