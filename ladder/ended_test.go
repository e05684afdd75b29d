package ladder

import (
	"testing"

	"footing/audio/click"
)

// What is ended and still open is told as it would be recorded, from when it has
// been heard to its end.
func TestEnded(t *testing.T) {
	p := newPlayer(practice(nil), false)
	check := func(when string, want ...Verdict) {
		t.Helper()
		got := p.state.Ended(p.at(0))
		if len(got) != len(want) {
			t.Fatalf("%s: %+v, want %v", when, got, want)
		}
		for i, v := range want {
			if got[i].Verdict != v {
				t.Errorf("%s: rep %d is %s, want %s", when, i, got[i].Verdict, v)
			}
		}
	}
	p.do(Start{})
	p.next() // the count-in
	p.next()
	check("while it sounds")
	p.do(Judge{Rough, Heard{p.now.Seq, 1}})
	check("judged while it sounds")
	rep := p.now.Seq
	p.do(Sounding{p.waiting.Seq}) // rendered to its end, and heard to its second beat
	if got := p.state.Ended(Heard{rep, 1}); len(got) != 0 {
		t.Errorf("before it is heard: %+v", got)
	}
	p.now = p.waiting
	check("in the breath", Rough)
	p.do(Judge{Clean, p.at(0)})
	check("with another word", Clean)
	p.do(Judge{Clean, p.at(0)})
	check("with the word taken back", Unjudged)
	p.waiting = nil
	p.do(Revise{p.state.Step()}) // plans the next rep anew
	p.next()
	p.hear(1)
	if len(p.recorded) != 1 || p.recorded[0].Verdict != Unjudged || p.recorded[0].Tempo != click.BPM(64) {
		t.Errorf("recorded %+v", p.recorded)
	}
	p.do(Stop{p.at(1)})
	p.now = nil
	check("broken off")
	p.do(Judge{Clean, Heard{}})
	check("broken off and judged", Clean)
	p.do(Judge{Clean, Heard{}})
	check("broken off, and the word taken back")
}
