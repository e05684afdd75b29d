package ladder

import (
	"fmt"
	"reflect"
	"testing"

	"footing/audio/click"
)

// threeSteps are the same three times but for their names.
func threeSteps(change func(*Step)) Routine {
	r := practice(change)
	for _, name := range []string{"Trio", "Coda"} {
		s := r.Steps[0]
		s.Name = name
		r.Steps = append(r.Steps, s)
	}
	return r
}

// Only a step that there is, and that is not under way, can be gone to.
func TestGoingToAStep(t *testing.T) {
	for _, running := range []bool{false, true} {
		for to, want := range map[int]int{-1: 1, 0: 0, 1: 1, 2: 2, 3: 1} {
			p := newPlayer(threeSteps(nil), false)
			p.do(GoTo{Step: 1})
			if running {
				p.do(Start{})
				p.next()
			}
			before := p.state
			p.do(GoTo{Step: to, At: p.at(0)})
			if p.state.StepAt != want || p.state.Running != running {
				t.Errorf("running %v: to %d leads to %d, running %v", running, to, p.state.StepAt, p.state.Running)
			}
			if to == 1 && !reflect.DeepEqual(p.state, before) {
				t.Error("the step that is under way begins again")
			}
		}
	}
}

// A step that is done begins anew; one that was left goes on.
func TestAReturnToAStep(t *testing.T) {
	for _, tt := range []struct {
		verdicts string
		want     click.Tempo
	}{{"", click.BPM(64)}, {"c", click.BPM(68)}, {"cc", click.BPM(64)}} {
		p := newPlayer(threeSteps(func(s *Step) { s.Rule, s.Tempo.Goal = Rule{Earned, 1, 1}, click.BPM(68) }), false)
		climb(p, tt.verdicts)
		p.do(GoTo{Step: 2, At: p.at(0)})
		p.do(GoTo{Step: 0, At: p.at(0)})
		if st := p.state.Standing; st.Tempo() != tt.want || st.Done {
			t.Errorf("after %q it goes on at %v, done %v; want %v", tt.verdicts, st.Tempo(), st.Done, tt.want)
		}
	}
}

func TestOpeningAtAStep(t *testing.T) {
	for step, want := range map[int]int{-1: 0, 0: 0, 1: 1, 2: 2, 3: 0} {
		p := newPlayer(practice(nil), false)
		climb(p, "c")
		p.do(Open{Routine: threeSteps(nil), Step: step, At: p.at(0)})
		if p.state.StepAt != want || p.state.Running || p.state.Standing.Played != 0 {
			t.Errorf("at %d it opens on %d with %+v", step, p.state.StepAt, p.state.Standing)
		}
	}
	bad := threeSteps(nil)
	bad.Steps[2].Reps = 0
	p := newPlayer(practice(nil), false)
	for _, e := range []Event{Open{Routine: bad}, Replan{bad}, Replan{Routine{Name: "nothing"}}} {
		if p.do(e); len(p.state.Routine.Steps) != 1 {
			t.Errorf("%T takes a routine that cannot be practised", e)
		}
	}
	for _, e := range []Event{Replan{threeSteps(nil)}, Open{Routine: threeSteps(nil)}} {
		if p.do(e); len(p.state.Routine.Steps) != 3 {
			t.Errorf("%T does not take a routine", e)
		}
	}
}

// In another version of the routine the step under way is found by its name; where
// it is gone, the one that has its place begins anew.
func TestAnotherVersionOfTheRoutine(t *testing.T) {
	r := threeSteps(func(s *Step) { s.Rule.Clean = 1 })
	named := func(names ...string) Routine {
		out := Routine{Name: r.Name}
		for _, name := range names {
			s := r.Steps[0]
			s.Name = name
			out.Steps = append(out.Steps, s)
		}
		return out
	}
	first := r.Steps[0].Name
	for _, tt := range []struct {
		to     Routine
		step   int
		tempo  click.Tempo
		counts bool  // a verdict on the rep before
		others []int // bpm, of each step that is gone to
	}{
		{named(first, "Trio", "Coda"), 1, click.BPM(68), true, []int{72, 68, 64}},
		{named(first, "Trio"), 1, click.BPM(68), true, []int{72, 68}},
		{named("Trio", first), 0, click.BPM(68), false, []int{68, 72}},
		{named("Coda", first), 1, click.BPM(64), false, []int{64, 64}},
		{named(first), 0, click.BPM(64), false, []int{64}},
		{named(first, "Largo", "Coda"), 1, click.BPM(64), false, []int{72, 64, 64}},
	} {
		p := newPlayer(r, false)
		climb(p, "cc")
		p.do(GoTo{Step: 1, At: p.at(0)})
		p.rep(Clean)
		p.do(Replan{tt.to})
		if p.state.StepAt != tt.step || p.state.Standing.Tempo() != tt.tempo {
			t.Errorf("%v: stands on step %d at %v, want %d at %v", tt.to.Steps, p.state.StepAt, p.state.Standing.Tempo(), tt.step, tt.tempo)
		}
		before := p.state.Standing
		p.do(Judge{Rough, p.at(0)})
		if got := !reflect.DeepEqual(before, p.state.Standing); got != tt.counts {
			t.Errorf("%d steps: a verdict on the rep before counts: %v", len(tt.to.Steps), got)
		}
		if tt.counts {
			p.do(Judge{Clean, p.at(0)})
		}
		var others []int
		for i := range tt.to.Steps {
			p.do(GoTo{Step: i, At: p.at(0)})
			others = append(others, int(p.state.Standing.Tempo()/1000))
		}
		if fmt.Sprint(others) != fmt.Sprint(tt.others) {
			t.Errorf("%d steps: they stand at %v, want %v", len(tt.to.Steps), others, tt.others)
		}
	}
}

// What is asked for twice, or out of place, does nothing.
func TestWhatDoesNothing(t *testing.T) {
	for _, tt := range []struct {
		name string
		play func(p *player)
		e    Event
	}{
		{"a start while it runs", func(p *player) { p.do(Start{}) }, Start{}},
		{"a stop in silence", func(p *player) {}, Stop{}},
		{"an end in silence", func(p *player) {}, RanOut{}},
		{"a beat of what is not known", func(p *player) {}, Audible{Heard{9, 1}}},
		{"a vamp", func(p *player) { p.do(Start{}); p.next() }, Sounding{0}},
		{"an assessment of no rep", func(p *player) { p.do(Start{}); p.next() }, Assess{1, Clean, 1}},
		{"bookmarks while it runs", func(p *player) { p.do(Start{}) }, Resume{[]Bookmark{{Tempo: click.BPM(72)}}}},
		{"a faulty step", func(p *player) {}, Revise{Step{}}},
	} {
		p := newPlayer(practice(nil), false)
		tt.play(p)
		next, effects := Reduce(p.state, tt.e)
		if len(effects) > 0 || !reflect.DeepEqual(next, p.state) {
			t.Errorf("%s leads to %+v and %+v", tt.name, next, effects)
		}
	}
}

// A tempo set by hand goes at once to what sounds and to all that may begin; in
// silence there is nothing that it could go to.
func TestWhatATempoByHandReaches(t *testing.T) {
	p := newPlayer(practice(nil), false)
	if _, effects := Reduce(p.state, SetTempo{70_000}); len(effects) > 0 {
		t.Errorf("in silence: %+v", effects)
	}
	p.do(Start{})
	if next, _ := Reduce(p.state, SetTempo{70_000}); next.Sounding != (Part{}) {
		t.Errorf("before the first phrase sounds %+v", next.Sounding)
	}
	p.next()
	p.do(Revise{p.state.Step().Narrower()})
	before := p.state
	p.do(SetTempo{70_000})
	for seq := uint64(1); seq <= before.seq; seq++ {
		if part, ok := p.state.Part(seq); !ok || part.Tempo != 70_000 {
			t.Errorf("phrase %d is %+v", seq, part)
		}
		if part, _ := before.Part(seq); part.Tempo != click.BPM(64) {
			t.Errorf("it wrote to the state that it was given: %+v", part)
		}
	}
	if p.state.Sounding.Tempo != 70_000 {
		t.Errorf("what sounds is %+v", p.state.Sounding)
	}
}

// A footing below the lowest rung is where the ladder begins from then on, and no
// other footing is.
func TestWhichFootingLowersTheStart(t *testing.T) {
	for _, tt := range []struct {
		verdicts string
		from     int
		revised  int
	}{{"c", 64, 0}, {"cc", 64, 0}, {"rcc", 60, 1}, {"rrcccc", 56, 1}, {"r", 64, 0}} {
		p := newPlayer(rule(Settle, 2, 2, 5, 72), false)
		climb(p, tt.verdicts)
		p.do(Leave{p.at(0)})
		if got := p.state.Step().Tempo; got.From != click.BPM(tt.from) || p.revised != tt.revised {
			t.Errorf("after %q the ladder begins at %v, with %d edits", tt.verdicts, got.From, p.revised)
		}
	}
	// Counted down from the goal, it is counted so no more.
	r := rule(Settle, 2, 2, 5, 72)
	r.Steps[0].Tempo.From, r.Steps[0].Tempo.Below = 0, 2
	p := newPlayer(r, false)
	climb(p, "rcc")
	p.do(Leave{p.at(0)})
	if got := p.state.Step().Tempo; got.From != click.BPM(60) || got.Below != 0 {
		t.Errorf("the ladder is %+v", got)
	}
}
