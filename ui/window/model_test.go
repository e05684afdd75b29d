package window

import (
	"testing"

	"footing/audio/click"
	"footing/ladder"
)

const modelRuns = `footing: 1
name: Morning runs
steps:
  - name: Weir Street run
    passage: {bars: 17-18}
    tempo: {from: 64, goal: 104, step: 4 bpm}
    slots: 4
    chunk: {start: "17:1", beats: 2}
    instrument: bassoon
    key: B flat major
    unit: 1/16
    notes: |
      B,,C,D,E, F,G,A,B, CDEF GABc | cBAG FEDC B,A,G,F, E,D,C,B,, |
  - name: Long tones
`

// The key of the model lets the notes of the chunk be heard once, in every rep,
// and no more; where there are none it starts nothing.
func TestTheModelIsHeard(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", modelRuns))
	r.press("m")
	if s := r.view().State; s.Model != ladder.ModelOnce || !s.Running {
		t.Fatalf("after the key the model is %v, running %v", s.Model, s.Running)
	}
	r.play(2.5)
	if now := r.view().Now; now.Phrase == nil || now.Phrase.Kind != click.Rep || len(now.Phrase.Tones) != 9 {
		t.Errorf("what sounds is %+v, want a rep of nine notes", now.Phrase)
	}
	r.press("m")
	if got := r.view().State.Model; got != ladder.ModelEveryRep {
		t.Errorf("after the second press the model is %v", got)
	}
	r.press("m")
	if got := r.view().State.Model; got != ladder.NoModel {
		t.Errorf("after the third press the model is %v", got)
	}
	r.press("Space", "n", "m")
	if s := r.view().State; s.Step().Name != "Long tones" || s.Model != ladder.NoModel || s.Running {
		t.Errorf("without notes the model is %v, running %v, at %s", s.Model, s.Running, s.Step().Name)
	}
}

// A model in every rep goes on with the notes of the next step.
func TestTheModelFollowsToTheNextStep(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", modelRuns+`    passage: {bars: 19-20}
    pattern: {key: B flat major, figure: scale, range: Bb2-Bb3}
`))
	r.press("m", "m", "n")
	r.second()
	r.play(10)
	f := r.model.found.Load()
	if f == nil || f.step.Name != "Long tones" {
		t.Errorf("the notes are those of %+v", f)
	}
}
