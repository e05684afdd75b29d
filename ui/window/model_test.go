package window

import (
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ui/window/keys"
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

// The model's settings are turned by keys, told, heard at once and kept.
func TestTheModelIsSetByKeys(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", modelRuns))
	r.set.setCautionsSeen()
	r.root.closeCard()
	says := func(a keys.Action, want string) {
		t.Helper()
		if got := r.modelStands(a); got != want {
			t.Errorf("%s is %q, want %q", a, got, want)
		}
	}
	r.press("m", "m")
	if got := r.view().State.Model; got != ladder.ModelEveryRep {
		t.Fatalf("the model is %v", got)
	}
	r.press("f")
	if got := r.view().State.Model; got != ladder.ModelFades || !r.set.modelFades() {
		t.Errorf("with fades the model is %v", got)
	}
	r.press("f")
	if got := r.view().State.Model; got != ladder.ModelEveryRep {
		t.Errorf("without fades the model is %v", got)
	}
	r.press("m", "f", "m", "m")
	if got := r.view().State.Model; got != ladder.ModelFades {
		t.Errorf("the second press leads to %v", got)
	}
	says(keys.ModelLevel, "70 %")
	r.press("d", "d", "D")
	says(keys.ModelLevel, "80 %")
	for range 12 {
		r.press("D")
	}
	says(keys.ModelLevel, "0 %")
	wind := r.model.made.wind
	r.press("a", "a", "A")
	says(keys.ModelA, "441 Hz")
	if r.model.made.a != 441 || r.model.made.wind == wind {
		t.Errorf("what sounds has an A of %d", r.model.made.a)
	}
	for range 40 {
		r.press("a")
	}
	says(keys.ModelA, "466 Hz")
	for range 60 {
		r.press("A")
	}
	says(keys.ModelA, "415 Hz")
	says(keys.ModelPitch, "at concert pitch")
	r.press("F1", "e")
	says(keys.ModelPitch, "as written")
	r.press("F3", "a", "d", "e", "f") // nothing there
	says(keys.ModelPitch, "as written")
	again := newRigIn(t, r.app, dir, "")
	for action, want := range map[keys.Action]string{keys.ModelFades: "yes", keys.ModelLevel: "0 %", keys.ModelA: "415 Hz", keys.ModelPitch: "as written"} {
		if got := again.modelStands(action); got != want {
			t.Errorf("at the next start %s is %q, want %q", action, got, want)
		}
	}
	if !again.model.written.Load() {
		t.Error("at the next start the pitch is not as written")
	}
}

// At written pitch an instrument that transposes sounds what is on the page.
func TestTheModelSoundsAsWritten(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", strings.Replace(modelRuns, "instrument: bassoon", "instrument: clarinet", 1)))
	r.press("m", "m")
	first := func() click.Cents {
		r.play(8)
		for range 20 {
			if now := r.view().Now; now.Phrase != nil && len(now.Phrase.Tones) > 0 {
				return now.Phrase.Tones[0].Pitch
			}
			r.play(0.5)
		}
		t.Fatal("nothing sounds")
		panic("unreachable")
	}
	sounding := first()
	r.press("e")
	if written := first(); written != sounding+200 {
		t.Errorf("as written it is %v, at concert pitch %v", written, sounding)
	}
}
