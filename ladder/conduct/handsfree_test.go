package conduct

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

func steady(change func(*ladder.Step)) ladder.Routine {
	s := march.Step(nil)
	s.Slots, s.Chunk.At = click.EvenSlots(1), click.Beats{}
	s.Tempo.From, s.Tempo.Goal = click.BPM(60), click.BPM(60)
	s.Rule.Kind = ladder.Steady
	if change != nil {
		change(&s)
	}
	return ladder.Routine{Name: "Runs", Steps: []ladder.Step{s}}
}

func play(t interface{ Fatal(...any) }, r ladder.Routine, rate int) (clicks []int64, places []Place, frames int64) {
	at := int64(0)
	frames, err := Rendition{
		Routine: r, Rate: rate, Volume: 0.5,
		Kit: &click.Kit{Accent: []float32{1}, Beat: []float32{0.5}, Slot: []float32{0.2}},
		Sink: func(mono []float32) error {
			for i, s := range mono {
				if s != 0 {
					clicks = append(clicks, at+int64(i))
				}
			}
			at += int64(len(mono))
			return nil
		},
		Mark: func(p Place) { places = append(places, p) },
	}.Render(context.Background())
	if err != nil || at != frames {
		t.Fatal(err, at, frames)
	}
	return clicks, places, frames
}

// A rung of 5 reps of 2 beats with landing and 2 of breath at 60 lasts
// 2 + 5 × 5 beats, 27 s (common practice, no source).
func TestARungHandsFree(t *testing.T) {
	clicks, places, frames := play(t, steady(nil), 48_000)
	if frames != 27*48_000 || len(clicks) != 27 {
		t.Errorf("%d frames with %d clicks, want %d with 27", frames, len(clicks), 27*48_000)
	}
	for i, c := range clicks {
		if c != int64(i)*48_000 {
			t.Fatalf("click %d at %d", i, c)
		}
	}
	var got []string
	for _, p := range places {
		got = append(got, fmt.Sprint(p.Frame/48_000, ":", p.Rep))
	}
	if want := "[0:0 2:1 7:2 12:3 17:4 22:5]"; fmt.Sprint(got) != want {
		t.Errorf("rungs and reps (second:rep) at %v, want %s", got, want)
	}
}

// A step begins a rung of its own, also at the tempo of the step before.
func TestRungsOfTwoSteps(t *testing.T) {
	r := steady(func(s *ladder.Step) { s.Reps, s.CountIn, s.Breath = 2, 1, 0 })
	r.Steps = append(r.Steps, r.Steps[0])
	_, places, _ := play(t, r, 8_000)
	var got []string
	for _, p := range places {
		got = append(got, fmt.Sprint(p.Part.Step, ":", p.Rep))
	}
	if want := "[0:0 0:1 0:2 1:0 1:1 1:2]"; fmt.Sprint(got) != want {
		t.Errorf("rungs and reps (step:rep) are %v, want %s", got, want)
	}
}

func TestHandsFreeEndsWhereItsLengthSays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := steady(func(s *ladder.Step) {
			s.Tempo.Goal = click.BPM(rapid.IntRange(150, 200).Draw(rt, "goal"))
			s.Tempo.From = click.BPM(rapid.IntRange(120, 150).Draw(rt, "from"))
			s.Tempo.By.Amount = 20_000
			s.Rule.Kind = ladder.RuleKind(rapid.IntRange(0, 5).Draw(rt, "rule"))
			s.Reps, s.Rule.Clean = rapid.IntRange(1, 2).Draw(rt, "reps"), 1
			s.CountIn, s.Breath = rapid.IntRange(0, 1).Draw(rt, "count-in"), rapid.IntRange(0, 1).Draw(rt, "breath")
			s.Chunk.Length, s.Chunk.Landing = click.Frac(1, 2), rapid.Bool().Draw(rt, "landing")
		})
		if rapid.Bool().Draw(rt, "two steps") {
			second := r.Steps[0]
			second.Name = "again"
			r.Steps = append(r.Steps, second)
		}
		rate := rapid.SampledFrom([]int{8_000, 44_100}).Draw(rt, "rate")
		_, _, frames := play(rt, r, rate)
		if want, err := Length(t.Context(), r, rate); frames != want || err != nil {
			rt.Fatalf("%d frames, its length says %d, %v", frames, want, err)
		}
		last := click.Phrase{Seq: 0}
		for _, p := range HandsFree(r) {
			if p.Seq != last.Seq+1 || last.Final {
				rt.Fatalf("phrase %d comes after %d, which is final: %v", p.Seq, last.Seq, last.Final)
			}
			last = p
		}
		if !last.Final {
			rt.Fatal("the last phrase does not say so")
		}
	})
}

func TestHandsFreeCanBeCancelledAndPassesOnTheSinksError(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	full := errors.New("the disk is full")
	take := Rendition{Routine: steady(nil), Rate: 8000, Kit: &click.Kit{}, Sink: func([]float32) error { cancel(); return nil }}
	if n, err := take.Render(ctx); !errors.Is(err, context.Canceled) || n >= 27*8000 {
		t.Errorf("cancelled after %d frames: %v", n, err)
	}
	take.Sink = func([]float32) error { return full }
	if _, err := take.Render(context.Background()); !errors.Is(err, full) {
		t.Errorf("the sink's error comes back as %v", err)
	}
}

// What a phrase takes does not grow with the phrases before it: four times the
// reps take about four times the memory in all, not sixteen.
func TestALongRoutineTakesLinearTime(t *testing.T) {
	took := func(reps int) float64 {
		r := steady(func(s *ladder.Step) {
			s.Tempo.From, s.Tempo.Goal, s.Tempo.By.Amount = click.BPM(100), click.BPM(399), 1000
			s.Reps = reps
		})
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, err := Length(t.Context(), r, 48_000); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	if few, many := took(8), took(32); many > 6*few {
		t.Errorf("four times the reps take %.1f times the memory", many/few)
	}
}

func TestLengthCanBeCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Length(ctx, steady(nil), 48_000); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled, it says %v", err)
	}
}
