package stand

import (
	"strings"
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
)

// A verdict counts or is answered; it is never dropped without a word.
func TestAVerdictCountsOrIsAnswered(t *testing.T) {
	const none = "no rep to judge"
	for _, tt := range []struct {
		name   string
		before func(r *rig)
		cleans int
		says   string
	}{
		{"before the first start", func(*rig) {}, 0, none},
		{"in the count-in", func(r *rig) { r.keys("Space"); r.play(1.2) }, 0, none + " yet"},
		{"in the first beat of the first rep", func(r *rig) { r.keys("Space"); r.play(2.5) }, 0, none + " yet"},
		{"in the breath", func(r *rig) { r.keys("Space"); r.play(5.5) }, 1, ""},
		{"at rest, for the last rep", func(r *rig) { r.keys("Space"); r.play(6.5); r.keys("Space") }, 1, ""},
		{"at rest, stopped in the second beat", func(r *rig) { r.keys("Space"); r.play(3.5); r.keys("Space") }, 1, ""},
		{"at rest, stopped in the count-in", func(r *rig) { r.keys("Space"); r.play(1.2); r.keys("Space") }, 0, none},
		{"after a rung by hand", func(r *rig) { r.keys("Space"); r.play(5.5); r.keys("Up") }, 0, "moves nothing"},
		{"on another step", func(r *rig) { r.keys("Space"); r.play(5.5); r.keys("Space", "n") }, 0, "moves nothing"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			second := practised()
			second.Name = "Slow settling"
			r := newRig(t, practised(), second)
			tt.before(r)
			r.keys("Right")
			if got := r.state().Standing.CleanRun; got != tt.cleans {
				t.Errorf("%d cleans count, want %d", got, tt.cleans)
			}
			if said := r.said.Text; (said == "") != (tt.says == "") || !strings.Contains(said, tt.says) {
				t.Errorf("it says %q, want %q", said, tt.says)
			}
			r.keys("Up")
			if r.said.Text != "" {
				t.Errorf("the line stays: %q", r.said.Text)
			}
			r.session.Leave()
			if got := r.verdicts(); tt.cleans > 0 && (len(got) == 0 || got[0] != ladder.Clean) {
				t.Errorf("recorded %v", got)
			}
		})
	}
}

// Another verdict takes the place of the first, the same again takes it back, and
// a pedal that bounces does neither.
func TestAVerdictIsTakenBack(t *testing.T) {
	for _, tt := range []struct {
		name  string
		keys  []string
		after time.Duration // between them
		want  ladder.Verdict
		tempo int
		back  bool
	}{
		{"one", []string{"Right"}, 0, ladder.Clean, 68, false},
		{"another", []string{"Right", "Left"}, time.Second, ladder.Rough, 64, false},
		{"the same", []string{"Right", "Next"}, time.Second, ladder.Unjudged, 64, true},
		{"the same twice", []string{"Right", "Right", "Right"}, time.Second, ladder.Clean, 68, false},
		{"a pedal that bounces", []string{"Next", "Next", "Next"}, 40 * time.Millisecond, ladder.Clean, 68, false},
		{"a quick correction", []string{"Right", "Left"}, 40 * time.Millisecond, ladder.Rough, 64, false},
		{"skip and back", []string{"k", "k"}, time.Second, ladder.Unjudged, 64, true},
	} {
		for _, rest := range []bool{false, true} {
			step := practised()
			step.Rule.Clean = 1
			r := newRig(t, step)
			r.keys("Space")
			r.play(5.5)
			if rest {
				r.keys("Space")
			}
			for i, k := range tt.keys {
				if i > 0 {
					r.now = r.now.Add(tt.after)
				}
				r.keys(k)
			}
			if got := r.state().Standing.Tempo(); got != click.BPM(tt.tempo) {
				t.Errorf("%s, at rest %v: the tempo is %s, want %d", tt.name, rest, got, tt.tempo)
			}
			if got := strings.Contains(r.said.Text, "taken back"); got != tt.back {
				t.Errorf("%s, at rest %v: it says %q", tt.name, rest, r.said.Text)
			}
			r.session.Leave()
			r.wantVerdicts(tt.want)
		}
	}
}

// Reps may be shorter than a pedal bounces: each has its own verdict.
func TestQuickRepsAreEachJudged(t *testing.T) {
	step := practised()
	step.Tempo.From, step.Tempo.Goal = click.BPM(240), click.BPM(300)
	step.CountIn, step.Breath = 0, 0
	step.Chunk.Length, step.Chunk.Landing = click.Whole(1), false
	step.Rule.Clean = 20
	r := newRig(t, step)
	r.keys("Space")
	r.play(1.3)
	for range 4 {
		r.keys("Right")
		r.play(1)
	}
	if got := r.state().Standing.CleanRun; got != 4 {
		t.Errorf("%d cleans of 4 count", got)
	}
}
