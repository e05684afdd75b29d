package ladder_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
)

func bpms(whole ...int) []click.Tempo {
	out := make([]click.Tempo, len(whole))
	for i, n := range whole {
		out[i] = click.BPM(n)
	}
	return out
}

func bpm(n int64) ladder.StepSize { return ladder.StepSize{Kind: ladder.ByBPM, Amount: n * 1000} }

func percent(n int64) ladder.StepSize {
	return ladder.StepSize{Kind: ladder.ByPercent, Amount: n * 1000}
}

var byMarks = ladder.StepSize{Kind: ladder.ByMarks}

func TestRungs(t *testing.T) {
	tests := []struct {
		name string
		in   ladder.Range
		want []click.Tempo
	}{
		// M. Estrin, "How to Master Technical Passages for Woodwind Players":
		// goal 120, start ten marks below it.
		{"ten marks below 120", ladder.Range{Below: 10, Goal: click.BPM(120), By: byMarks},
			bpms(80, 84, 88, 92, 96, 100, 104, 108, 112, 116, 120)},
		{"by bpm, ending on the goal by itself", ladder.Range{From: click.BPM(64), Goal: click.BPM(104), By: bpm(4)},
			bpms(64, 68, 72, 76, 80, 84, 88, 92, 96, 100, 104)},
		{"by bpm, the last rung shorter", ladder.Range{From: click.BPM(60), Goal: click.BPM(75), By: bpm(10)},
			bpms(60, 70, 75)},
		// The arch of the Stees bassoon column, "The Pyramid" (29 March 2015),
		// climbs these.
		{"110 to 130 by 5", ladder.Range{From: click.BPM(110), Goal: click.BPM(130), By: bpm(5)},
			bpms(110, 115, 120, 125, 130)},
		{"by percent, rounded to a tenth", ladder.Range{From: click.BPM(60), Goal: click.BPM(70), By: percent(5)},
			[]click.Tempo{60_000, 63_000, 66_200, 69_500, 70_000}},
		{"percent below", ladder.Range{Below: 2, Goal: click.BPM(110), By: percent(10)},
			[]click.Tempo{90_900, 100_000, 110_000}},
		{"bpm below", ladder.Range{Below: 3, Goal: click.BPM(100), By: bpm(8)}, bpms(76, 84, 92, 100)},
		{"marks from a tempo between two marks", ladder.Range{From: click.BPM(61), Goal: click.BPM(70), By: byMarks},
			bpms(61, 63, 66, 69, 70)},
		{"marks above the last mark", ladder.Range{From: click.BPM(200), Goal: click.BPM(240), By: byMarks},
			bpms(200, 208, 240)},
		{"marks below the first mark", ladder.Range{Below: 3, Goal: click.BPM(42), By: byMarks}, bpms(36, 38, 40, 42)},
		{"start on the goal", ladder.Range{From: click.BPM(90), Goal: click.BPM(90), By: bpm(4)}, bpms(90)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := tt.in.Rungs(); !slices.Equal(got, tt.want) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
}

// The 39 marks by their step rule: by 2 to 60, by 3 to 72, by 4 to 120, by 6 to
// 144, by 8 to 208 ("Metronome Scale", horn list, msg29184).
func TestMarks(t *testing.T) {
	var want []int
	for m := 40; m <= 208; {
		want = append(want, m)
		switch {
		case m < 60:
			m += 2
		case m < 72:
			m += 3
		case m < 120:
			m += 4
		case m < 144:
			m += 6
		default:
			m += 8
		}
	}
	got := ladder.Marks()
	if !slices.Equal(got, want) || len(got) != 39 {
		t.Errorf("%d marks %v, want %v", len(got), got, want)
	}
	got[0] = 1
	if ladder.Marks()[0] != 40 {
		t.Error("a caller can change the marks")
	}
}

// Whatever the range, its rungs climb, stay within 10 to 400 bpm and end
// exactly on the goal; counted from the goal there are exactly so many below.
func TestRungsLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := ladder.DefaultStep()
		s.Tempo = ladder.Range{
			Goal: click.Tempo(rapid.Int64Range(9_000, 401_000).Draw(t, "goal")),
			By: ladder.StepSize{
				Kind:   ladder.StepKind(rapid.IntRange(0, 2).Draw(t, "kind")),
				Amount: rapid.Int64Range(50, 101_000).Draw(t, "amount"),
			},
		}
		if rapid.Bool().Draw(t, "from the top") {
			s.Tempo.Below = rapid.IntRange(0, 410).Draw(t, "below")
		} else {
			s.Tempo.From = click.Tempo(rapid.Int64Range(9_000, 401_000).Draw(t, "from"))
		}
		if len(s.Check()) > 0 {
			return
		}
		r, rungs := s.Tempo, s.Tempo.Rungs()
		if rungs[len(rungs)-1] != r.Goal {
			t.Fatalf("the last rung is %s, not the goal %s", rungs[len(rungs)-1], r.Goal)
		}
		if len(rungs) > ladder.MaxRungs {
			t.Fatalf("%d rungs", len(rungs))
		}
		if r.From != 0 && rungs[0] != r.From {
			t.Fatalf("the first rung is %s, not the start %s", rungs[0], r.From)
		}
		if r.From == 0 && len(rungs) != r.Below+1 {
			t.Fatalf("%d rungs for %d below the goal", len(rungs), r.Below)
		}
		for i, tempo := range rungs {
			if !tempo.Valid() || i > 0 && tempo <= rungs[i-1] {
				t.Fatalf("rung %d of %v", i, rungs)
			}
		}
	})
}

// A rung up from a rung down leads back, for marks and bpm exactly and for
// percent within the rounding of a tenth of a bpm each way.
func TestDownUndoesUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		goal := click.BPM(rapid.IntRange(60, 208).Draw(t, "goal"))
		by := rapid.SampledFrom([]ladder.StepSize{bpm(1), bpm(7), percent(3), percent(20), byMarks}).Draw(t, "by")
		below, ok := by.Down(goal)
		if !ok || below >= goal {
			t.Fatalf("down from %s by %s is %s, %v", goal, by, below, ok)
		}
		rungs := ladder.Range{From: below, Goal: goal, By: by}.Rungs()
		if n := len(rungs); n != 2 {
			t.Fatalf("from %s by %s to %s takes %v", below, by, goal, rungs)
		}
	})
}
