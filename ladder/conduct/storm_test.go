package conduct

import (
	"context"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
)

// Two tickers follow the session while verdicts and edits rain on it, and what
// writes the records waits for its disk: the first record blocks the writer until
// the whole practice is over, which is slower than any disk. All 20 000 reps come
// out in order, none is lost, and the goroutine that feeds the click waits for the
// disk not once: it would not come back from it.
func TestRecordsAreInOrderUnderAStorm(t *testing.T) {
	const reps = 20_000
	step := ladder.DefaultStep()
	step.Name, step.CountIn, step.Breath = "Weir Street run", 0, 0
	step.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(1)}
	step.Tempo = ladder.Range{From: click.BPM(360), Goal: click.BPM(400), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 4000}}
	renderer := click.NewRenderer(8_000, &click.Kit{})
	s := New(ladder.New(ladder.Routine{Name: "Runs", Steps: []ladder.Step{step}}, false), renderer, renderer.Frames)
	ctx, end := context.WithCancel(t.Context())
	defer end()

	ticks := make(chan time.Time)
	var owner sync.WaitGroup
	owner.Go(func() { s.Run(ctx, ticks) })

	disk := make(chan struct{})
	var written []ladder.Played
	var writer sync.WaitGroup
	writer.Go(func() {
		<-disk
		for p := range s.Records() {
			written = append(written, p)
		}
	})
	// One ticker waits for its answer as a picture does, the other sends as a
	// clock does; both at will, like the two that tell of verdicts and edits.
	var over atomic.Bool
	var others sync.WaitGroup
	others.Go(func() {
		for !over.Load() {
			s.Tick()
		}
	})
	others.Go(func() {
		for !over.Load() {
			ticks <- time.Time{}
		}
	})
	for seed := range uint64(2) {
		others.Go(func() {
			random := rand.New(rand.NewPCG(seed, 9))
			for !over.Load() {
				switch random.IntN(8) {
				case 0:
					s.Judge(ladder.Rough)
				case 1:
					s.Do(ladder.MoveRung{By: 1})
				case 2:
					s.Change(func(step ladder.Step) ladder.Step { step.Reps = 1 + random.IntN(9); return step })
				default:
					s.Judge(ladder.Clean)
				}
			}
		})
	}

	s.Start()
	buf := make([]float32, 2*600) // half the shortest phrase
	begun := 0
	for seq := uint64(0); begun < reps+10; {
		renderer.Render(buf)
		s.Tick() // the sound goes no faster than the session follows
		if now := s.View().State.Sounding.Seq; now != seq {
			seq = now
			begun++
		}
	}
	over.Store(true)
	others.Wait()
	s.Stop()
	end()
	close(disk)
	writer.Wait()
	owner.Wait()

	if renderer.LostMarks() > 0 {
		t.Fatalf("%d marks were lost", renderer.LostMarks())
	}
	if len(written) < reps {
		t.Fatalf("%d reps recorded, want at least %d", len(written), reps)
	}
	for i, p := range written {
		if i > 0 && p.Number <= written[i-1].Number {
			t.Fatalf("rep %d is recorded after %d", p.Number, written[i-1].Number)
		}
	}
	if got := s.View().State.Reps; got != len(written) {
		t.Errorf("%d reps recorded of %d", len(written), got)
	}
}
