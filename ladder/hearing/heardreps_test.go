package hearing_test

import (
	"context"
	"math"
	"testing"

	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/takes"
	"footing/ladder"
	"footing/ladder/hearing"
)

// From sound to a proposed verdict, a rep being two beats of sixteenths: of even
// reps few are called rough, and of reps with a slot 50 ms late, or without a
// note, hardly one is called clean.
func TestRepsThatAreHeard(t *testing.T) {
	type tally map[ladder.Verdict]int
	even, late, missed := tally{}, tally{}, tally{}
	for i, in := range takes.Instruments() {
		for j, a := range []takes.Articulation{takes.Tongued, takes.Slurred} {
			for k, off := range []float64{0, 50} {
				s := takes.Spec{
					Instrument: in, Pattern: takes.Scale, Articulation: a, Place: takes.Dry, Slots: 4, Beats: 8,
					BPM: float64(66 + 8*i), ScatterMs: 4, Seed: uint64(10*i + j),
				}
				s.LateMs = map[int]float64{3: off}
				take, err := takes.Make(context.Background(), s)
				if err != nil {
					t.Fatalf("%v (the tests play takes with Debian's fluidsynth and timgm6mb-soundfont)", err)
				}
				heard, err := hearing.Listen(take.Samples, takes.Rate)
				if err != nil {
					t.Fatal(err)
				}
				for _, v := range proposals(s, heard.Onsets, -1) {
					[]tally{even, late}[k][v]++
				}
				if k == 0 {
					for _, v := range proposals(s, heard.Onsets, 5) {
						missed[v]++
					}
				}
			}
		}
	}
	t.Logf("even %v, late %v, missed %v", even, late, missed)
	n := 0
	for _, count := range even {
		n += count
	}
	if n != 40 || even[ladder.Rough] > 4 || even[ladder.Clean] < 32 {
		t.Errorf("of %d even reps %d are called rough and %d clean", n, even[ladder.Rough], even[ladder.Clean])
	}
	if late[ladder.Clean] > 1 || missed[ladder.Clean] > 1 {
		t.Errorf("%d late reps and %d without a note are called clean", late[ladder.Clean], missed[ladder.Clean])
	}
}

// proposals are the verdicts on the reps of a take in turn, the delay learned from
// the reps before; the note without is left out of every rep.
func proposals(s takes.Spec, onsets []hear.Onset, without int) []ladder.Verdict {
	const rate, perRep = 48_000, 8
	step := 60 / s.BPM / float64(s.Slots)
	late := 0.0
	var out []ladder.Verdict
	for rep := range s.Beats * s.Slots / perRep {
		var places []int64
		var seconds []float64
		for i := range perRep {
			at := takes.Lead + float64(rep*perRep+i)*step
			seconds, places = append(seconds, at), append(places, int64(math.Round(at*rate)))
		}
		var own []hear.Onset
		for _, o := range onsets {
			i := (o.Seconds - late - seconds[0]) / step
			if i > -0.5 && i < perRep-0.5 && int(math.Round(i)) != without {
				own = append(own, o)
			}
		}
		v, _ := hearing.Propose(own, places, rate, late)
		out = append(out, v)
		learned := judge.SetRep(own, seconds, late).LateMs() / 1000
		late += learned / float64(rep+1)
	}
	return out
}
