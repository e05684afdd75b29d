package journal

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
)

// played reads reps: "64c" is clean at 64, r rough, k skipped, - without a verdict,
// and b clean but broken off.
func played(text string, need int) (out []Rep) {
	for _, word := range strings.Fields(text) {
		tempo, err := click.ParseTempo(word[:len(word)-1])
		if err != nil {
			panic(err)
		}
		r := Rep{Number: len(out) + 1, Tempo: tempo, Whole: true, Form: Form{Clean: need, Loop: 4}}
		switch word[len(word)-1] {
		case 'c':
			r.Verdict = ladder.Clean
		case 'b':
			r.Verdict, r.Whole = ladder.Clean, false
		case 'r':
			r.Verdict = ladder.Rough
		case 'k':
			r.Verdict = ladder.Skip
		}
		out = append(out, r)
	}
	return out
}

func TestCount(t *testing.T) {
	for _, tt := range []struct {
		reps                        string
		clean, rough, best, footing int
	}{
		{"", 0, 0, 0, 0},
		{"64c 64c", 2, 0, 64, 0},
		{"64c 64c 64c", 3, 0, 64, 64},
		{"64c 64r 64c 64c", 3, 1, 64, 0},
		{"64c 64k 64c 64- 64c", 3, 0, 64, 64},
		{"64c 64c 64c 68c 72c 68c 68r", 6, 1, 72, 64},
		{"64c 64c 68c 64c", 4, 0, 68, 64},
		{"64c 64c 64c 68c 68c 68c 68r", 6, 1, 68, 68},
		{"64c 68b", 2, 0, 64, 0},
		{"64- 64-", 0, 0, 0, 0},
	} {
		reps := played(tt.reps, 3)
		got := Count(reps)
		want := Tally{Reps: len(reps), Clean: tt.clean, Rough: tt.rough, Best: click.BPM(tt.best), Footing: click.BPM(tt.footing), Looped: got.Looped}
		if got != want {
			t.Errorf("%s comes to %+v, want %+v", tt.reps, got, want)
		}
	}
	if got := Count(played("60c 120r", 3)).Looped; got != 6*time.Second { // 4 beats each
		t.Errorf("looped for %v, want 6s", got)
	}
}

// A footing is never faster than the best of all reps, and to ask for fewer cleans
// in a row never makes it slower.
func TestAFootingIsNoFasterThanTheBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`(64|68|72)[crk-]`)).Draw(t, "reps")
		need := rapid.IntRange(1, 4).Draw(t, "need")
		text := strings.Join(words, " ")
		got, easier := Count(played(text, need)), Count(played(text, max(1, need-1)))
		if got.Footing > got.Best || easier.Footing < got.Footing {
			t.Fatalf("%+v, with %d; %+v, with one fewer", got, need, easier)
		}
		if half := len(words) / 2; half > 0 {
			a, b := Count(played(strings.Join(words[:half], " "), need)), Count(played(strings.Join(words[half:], " "), need))
			if sum := a.Add(b); sum.Reps != got.Reps || sum.Clean != got.Clean || sum.Best != got.Best || sum.Footing > got.Footing {
				t.Fatalf("in halves %+v, whole %+v", sum, got)
			}
		}
	})
}
