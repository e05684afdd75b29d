package ladder

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// A verdict that is taken back leaves everything as if it had never been given,
// whichever rep it was meant for.
func TestAVerdictTakenBackLeavesNoTrace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPlayer(drawRoutine(t), false)
		for range rapid.IntRange(1, 60).Draw(t, "events") {
			act(t, p)
		}
		beat := 0
		if p.now != nil {
			beat = rapid.IntRange(0, p.now.Length.Floor()-1).Draw(t, "when")
		}
		e := Judge{rapid.SampledFrom([]Verdict{Clean, Rough, Skip}).Draw(t, "verdict"), p.at(beat)}
		before := p.state
		i := before.meant(e.At)
		if i < 0 || before.open[i].word != Unjudged {
			return
		}
		p.do(e)
		if got := p.state.open[i].word; got != e.Verdict {
			t.Fatalf("the rep has %v, want %v", got, e.Verdict)
		}
		if p.state.Reach(e) != TakenBack {
			t.Fatalf("the same again is %v, not taken back", p.state.Reach(e))
		}
		p.do(e)
		if !reflect.DeepEqual(p.state.Standing, before.Standing) || !reflect.DeepEqual(p.state.open, before.open) {
			t.Fatalf("taken back there is\n%+v\n%+v, before it was\n%+v\n%+v", p.state.Standing, p.state.open, before.Standing, before.open)
		}
	})
}
