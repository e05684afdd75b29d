package ladder

import (
	"reflect"
	"testing"

	"footing/audio/click"
)

// twoSteps is a routine of one rep at one tempo, twice, under steady.
func twoSteps(change func(*Step)) Routine {
	r := practice(func(s *Step) {
		s.Rule, s.Reps, s.Tempo.Goal = Rule{Steady, 1, 1}, 1, s.Tempo.From
		if change != nil {
			change(s)
		}
	})
	second := r.Steps[0]
	second.Name = "Slow sixteenths"
	second.Tempo.From, second.Tempo.Goal = click.BPM(40), click.BPM(48)
	r.Steps = append(r.Steps, second)
	return r
}

// A rep that was rendered and not heard is taken back when the click stops, and
// with it the step that it had led to.
func TestAStopGoesBackToTheStepThatIsHeard(t *testing.T) {
	p := newPlayer(twoSteps(nil), false)
	p.do(Start{})
	p.next()
	p.next()
	heard := p.at(1)
	p.next()
	p.next() // the count-in of the second step, rendered ahead of the ear
	if p.state.StepAt != 1 {
		t.Fatal("the second step has not begun")
	}
	before := p.state.others[0]
	p.do(Stop{heard})
	st := p.state.Standing
	if p.state.StepAt != 0 || st.Tempo() != click.BPM(64) || st.Done || st.Played != 0 || st.Goal() != click.BPM(64) {
		t.Errorf("stands on step %d with %+v, was %+v", p.state.StepAt, st, before)
	}
	p.do(Judge{Clean, Heard{}})
	if !p.state.Standing.Done {
		t.Errorf("a clean on the rep that was broken off leads to %+v", p.state.Standing)
	}
	p.do(Start{})
	p.next()
	if p.state.Sounding.Step != 1 || len(p.recorded) != 1 || p.recorded[0].Whole {
		t.Errorf("goes on with %+v, recorded %+v", p.state.Sounding, p.recorded)
	}
}

// Where the other step is another by now, there is nothing to go back to.
func TestAStopDoesNotGoBackToAStepThatWasChanged(t *testing.T) {
	p := newPlayer(twoSteps(nil), false)
	p.do(Start{})
	p.next()
	p.next()
	heard := p.at(1)
	p.next()
	p.next()
	r := p.state.Routine
	r.Steps = append([]Step(nil), r.Steps...)
	r.Steps[0].Tempo.Goal = click.BPM(72)
	p.do(Replan{r})
	p.do(Stop{heard})
	if st := p.state.Standing; p.state.StepAt != 1 || st.Tempo() != click.BPM(40) || st.Goal() != click.BPM(48) {
		t.Errorf("stands on step %d with %+v", p.state.StepAt, st)
	}
}

// What the player set by hand is not taken back with the reps before it that were
// not heard, and those after it are.
func TestAStopLeavesWhatWasSetByHand(t *testing.T) {
	p := newPlayer(practice(func(s *Step) { s.Rule = Rule{Steady, 1, 1} }), false)
	p.do(Start{})
	p.rep(Unjudged)
	p.next() // the second rep
	heard := p.at(0)
	p.next0() // its breath, not heard
	p.do(MoveRung{2})
	want := p.state.Standing
	p.next0() // a count-in
	p.next0() // the third rep
	p.next0() // its breath
	if p.state.Standing.Played != 1 {
		t.Fatalf("the third rep leads to %+v", p.state.Standing)
	}
	p.do(Stop{heard})
	if !reflect.DeepEqual(p.state.Standing, want) {
		t.Errorf("after the stop the standing is %+v, want %+v", p.state.Standing, want)
	}
	p.do(Leave{})
	if len(p.recorded) != 1 {
		t.Errorf("recorded %+v", p.recorded)
	}
}

// By what is audible at a stop: how many reps have been heard, and what is left of
// the one under way.
func TestWhatAStopTakesBack(t *testing.T) {
	for _, tt := range []struct {
		name    string
		at      Heard // phrases: 1 count-in, 2 rep, 3 breath, 4 rep, 5 breath
		played  int
		reaches Reach // of a verdict in the silence after it
		seq     uint64
	}{
		{"in the count-in", Heard{1, 1}, 0, NoRep, 0},
		{"in the first beat of the first rep", Heard{2, 0}, 0, NoRep, 0},
		{"later in it", Heard{2, 1}, 0, Counts, 2},
		{"in its breath", Heard{3, 0}, 1, Counts, 2},
		{"in the first beat of the second", Heard{4, 0}, 1, Counts, 2},
		{"later in the second", Heard{4, 2}, 1, Counts, 4},
		{"in the breath after it", Heard{5, 1}, 2, Counts, 4},
		{"with nothing audible", Heard{}, 2, Counts, 4},
		{"beyond what was rendered", Heard{9, 1}, 2, Counts, 4},
	} {
		p := newPlayer(practice(nil), false)
		p.do(Start{})
		for range 5 {
			p.next0()
		}
		p.do(Stop{tt.at})
		if got := p.state.Standing.Played; got != tt.played {
			t.Errorf("%s: %d reps count, want %d", tt.name, got, tt.played)
		}
		if got := p.state.Reach(Judge{Clean, Heard{}}); got != tt.reaches {
			t.Errorf("%s: a verdict reaches %v, want %v", tt.name, got, tt.reaches)
		}
		if n := len(p.state.open); tt.seq != 0 && (n == 0 || p.state.open[n-1].part.Seq != tt.seq) {
			t.Errorf("%s: open are %+v, want up to phrase %d", tt.name, p.state.open, tt.seq)
		}
		if p.state.Running || p.state.Sounding != (Part{}) {
			t.Errorf("%s: it goes on with %+v", tt.name, p.state.Sounding)
		}
	}
}

// next0 plays on, on a device that has made nothing audible yet.
func (p *player) next0() {
	p.now, p.waiting = p.waiting, nil
	p.do(Sounding{p.now.Seq})
}

// After a stop, no phrase of the click before it begins.
func TestAStoppedPhraseNeverBegins(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	p.next0()
	ahead := p.waiting.Seq
	p.do(Stop{})
	stopped := p.state
	p.do(Sounding{ahead})
	if !reflect.DeepEqual(p.state, stopped) {
		t.Errorf("it leads to %+v", p.state)
	}
	p.do(Start{})
	for _, seq := range []uint64{0, 1, ahead, p.waiting.Seq + 1} {
		before := p.state
		if p.do(Sounding{seq}); !reflect.DeepEqual(p.state, before) {
			t.Errorf("phrase %d leads to %+v", seq, p.state)
		}
	}
	p.next0()
	before := p.state
	if p.do(Sounding{before.Sounding.Seq}); !reflect.DeepEqual(p.state, before) {
		t.Errorf("a phrase begins twice: %+v", p.state)
	}
}

// A phrase that was planned and replaced begins all the same where the renderer
// was faster than the key.
func TestAPhraseThatWasReplacedMayHaveBegun(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	p.next()
	rep := p.waiting
	p.do(Revise{p.state.Step().Narrower()})
	p.waiting = rep
	p.next()
	if part := p.state.Sounding; part.Kind != click.Rep || part.Chunk.Length != click.Whole(2) {
		t.Errorf("what sounds is taken for %+v", part)
	}
	if _, ok := p.state.Part(rep.Seq + 1); !ok {
		t.Error("the phrase that took its place, and may have begun since, is forgotten")
	}
	if part, ok := p.state.Part(rep.Seq - 1); !ok || part.Kind != click.CountIn {
		t.Error("the phrase that began before it is forgotten")
	}
}

// The latest few phrases that began are known, however late they are heard.
func TestHowManyPhrasesAreRemembered(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	for range 50 {
		p.next()
	}
	for back := range uint64(50) {
		part, ok := p.state.Part(p.now.Seq - back)
		if ok != (back < kept) || ok && part.Seq != p.now.Seq-back {
			t.Errorf("the phrase %d before this is %+v, %v", back, part, ok)
		}
	}
}
