package ladder

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

// A verdict within the count-in, the breath or the first beat of a rep belongs
// to the rep before; later in a rep it belongs to that rep.
func TestWhichRepAVerdictMeans(t *testing.T) {
	for _, tt := range []struct {
		name string
		at   func(p *player) // plays on to where the verdict is given
		want string          // the verdicts as they are recorded in the end
	}{
		{"in the count-in there is no rep yet", func(p *player) { p.next() }, "unjudged unjudged"},
		{"in the first beat of the first rep neither", func(p *player) { p.next(); p.next() }, "unjudged unjudged"},
		{"in the second beat: this rep", func(p *player) { p.next(); p.next(); p.hear(1) }, "clean unjudged"},
		{"in the breath: the rep before", func(p *player) { p.next(); p.next(); p.hear(1); p.hear(2); p.next() }, "clean unjudged"},
		{"in the first beat of the next rep: the rep before", func(p *player) {
			for range 4 {
				p.next()
			}
		}, "clean unjudged"},
		{"in the second beat of the next rep: that rep", func(p *player) {
			for range 4 {
				p.next()
			}
			p.hear(1)
		}, "unjudged clean"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlayer(practice(nil), false)
			p.do(Start{})
			tt.at(p)
			beat := 0
			if last, ok := p.events[len(p.events)-1].(Audible); ok {
				beat = last.At.Beat
			}
			p.do(Judge{Clean, p.at(beat)})
			for len(p.tempos) < 2 || p.now.Kind == click.Rep {
				p.next()
			}
			p.do(Leave{p.at(0)})
			var got []string
			for _, r := range p.recorded {
				got = append(got, r.Verdict.String())
			}
			if strings.Join(got, " ") != tt.want {
				t.Errorf("recorded %v, want %s", got, tt.want)
			}
		})
	}
}

func TestTheLastWordOnARepCounts(t *testing.T) {
	p := newPlayer(practice(func(s *Step) { s.Rule.Clean = 1 }), false)
	p.do(Start{})
	p.rep(Clean)
	if got := p.state.Standing.Tempo(); got != click.BPM(68) {
		t.Fatalf("after a clean the tempo is %v", got)
	}
	p.do(Judge{Rough, p.at(0)}) // the wrong pedal: taken back in the same breath
	if got := p.state.Standing; got.Tempo() != click.BPM(64) || got.RoughRun != 1 || got.CleanRun != 0 {
		t.Errorf("after the correction the standing is %+v", got)
	}
	p.next()
	if p.now.Kind != click.Rep || p.now.Tempo != click.BPM(64) {
		t.Errorf("next sounds a %v at %v, want a rep at 64", p.now.Kind, p.now.Tempo)
	}
}

// A verdict in the first beat of the next rep moves the rung; the rep under way
// is finished at its tempo, does not count, and then the count-in comes.
func TestARungChangesAtTheNextCountIn(t *testing.T) {
	p := newPlayer(practice(func(s *Step) { s.Rule.Clean = 1 }), false)
	p.do(Start{})
	p.rep(Unjudged)
	p.next() // the second rep has begun
	p.do(Judge{Clean, p.at(0)})
	if p.state.Standing.Tempo() != click.BPM(68) {
		t.Fatal("the verdict does not move the rung")
	}
	var got []string
	for range 3 {
		p.next()
		got = append(got, fmt.Sprintf("%v %v", p.now.Kind, p.now.Tempo))
	}
	if want := "breath 64, count-in 68, rep 68"; strings.Join(got, ", ") != want {
		t.Errorf("then sounds %s, want %s", strings.Join(got, ", "), want)
	}
	if n := len(p.state.Standing.Round); n != 0 {
		t.Errorf("%d reps count on the new rung, want none", n)
	}
}

func TestATempoByHandNeedsNoCountIn(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	p.rep(Unjudged)
	var retempo *Retempo
	_, effects := Reduce(p.state, SetTempo{click.BPM(77)})
	for _, e := range effects {
		if r, ok := e.(Retempo); ok {
			retempo = &r
		}
	}
	p.do(SetTempo{click.BPM(77)})
	if retempo == nil || retempo.Tempo != click.BPM(77) || retempo.Through < p.now.Seq {
		t.Fatalf("the phrase that sounds is not changed: %+v", retempo)
	}
	p.next()
	if p.now.Kind != click.Rep || p.now.Tempo != click.BPM(77) {
		t.Errorf("next sounds a %v at %v, want a rep at 77", p.now.Kind, p.now.Tempo)
	}
	p.do(MoveRung{1})
	if got := p.state.Standing.Tempo(); got != click.BPM(80) {
		t.Errorf("a rung up from 77 is %v, want 80", got)
	}
}

// Once the ladder was moved by hand, a verdict on a rep before that is kept and
// moves nothing.
func TestAVerdictAfterAMoveByHandMovesNothing(t *testing.T) {
	for name, move := range map[string]Event{
		"rung": MoveRung{1}, "tempo": SetTempo{click.BPM(68)}, "chunk": Revise{practice(nil).Steps[0].Wider()},
	} {
		p := newPlayer(practice(func(s *Step) { s.Rule.Rough = 1 }), false)
		p.do(Start{})
		p.do(MoveRung{3})
		p.rep(Unjudged)
		p.do(move)
		before := p.state.Standing
		p.do(Judge{Rough, p.at(0)})
		if !reflect.DeepEqual(p.state.Standing, before) {
			t.Errorf("%s: the standing went from %+v to %+v", name, before, p.state.Standing)
		}
		p.do(Leave{p.at(0)})
		if len(p.recorded) != 1 || p.recorded[0].Verdict != Rough {
			t.Errorf("%s: recorded %+v", name, p.recorded)
		}
	}
}

func TestTheStepChangesWhileItRuns(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	p.rep(Clean)
	p.do(Revise{p.state.Step().Narrower()})
	p.next()
	if p.now.Kind != click.Rep || p.now.Length != click.Whole(2) || p.revised != 1 {
		t.Errorf("a narrower chunk sounds as a %v of %v beats, %d edits", p.now.Kind, p.now.Length, p.revised)
	}
	step := p.state.Step()
	step.Breath = 5
	p.do(Revise{step})
	p.next()
	if p.now.Kind != click.Breath || p.now.Length != click.Whole(5) {
		t.Errorf("after breath: 5 sounds a %v of %v beats", p.now.Kind, p.now.Length)
	}
	step.Reps = 0
	before := p.state.Step()
	p.do(Revise{step})
	if !reflect.DeepEqual(p.state.Step(), before) {
		t.Error("a step with a fault was taken")
	}
}

func TestTheFootingBelowTheLadderIsWhereItStartsNextTime(t *testing.T) {
	p := newPlayer(rule(Settle, 2, 2, 5, 72), false)
	climb(p, "rrcc")
	p.do(Leave{p.at(0)})
	if got := p.state.Step().Tempo; got.From != click.BPM(56) || p.revised != 1 || p.state.Standing.Footing != click.BPM(56) {
		t.Errorf("the ladder starts at %v (%d edits, footing %v), want 56", got.From, p.revised, p.state.Standing.Footing)
	}
}

func TestStoppingWithinARep(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	p.rep(Unjudged)
	p.next()
	p.hear(1)
	p.do(Stop{p.at(1)})
	p.do(Judge{Rough, Heard{}})
	if got := p.state.Standing.RoughRun; got != 1 {
		t.Errorf("a rough on the rep that was broken off counts %d times", got)
	}
	p.do(Judge{Skip, Heard{}})
	if got := p.state.Standing.RoughRun; got != 0 {
		t.Errorf("taken back to skip, %d roughs count", got)
	}
	p.do(Start{})
	var got []string
	for _, r := range p.recorded {
		got = append(got, fmt.Sprint(r.Number, r.Verdict, r.Whole))
	}
	if want := "1 unjudged true, 2 skip false"; strings.Join(got, ", ") != want {
		t.Errorf("recorded %s, want %s", strings.Join(got, ", "), want)
	}
}

// A verdict given within a rep counts when the click is stopped in that rep.
func TestAVerdictBeforeAStopWithinTheRepCounts(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	p.next()
	p.next()
	p.hear(1)
	p.do(Judge{Clean, p.at(1)})
	p.do(Stop{p.at(2)})
	if got := p.state.Standing; got.CleanRun != 1 || len(got.Round) != 1 {
		t.Errorf("after the stop the standing is %+v", got)
	}
	p.do(Judge{Rough, Heard{}})
	if got := p.state.Standing; got.CleanRun != 0 || got.RoughRun != 1 || len(got.Round) != 1 {
		t.Errorf("taken back, the standing is %+v", got)
	}
	p.do(Start{})
	if len(p.recorded) != 1 || p.recorded[0].Verdict != Rough || p.recorded[0].Whole {
		t.Errorf("recorded %+v", p.recorded)
	}
}

// While the click runs, another step begins at once with its count-in.
func TestAnotherStepBeginsAtOnce(t *testing.T) {
	r := practice(nil)
	second := r.Steps[0]
	second.Name = "Slow sixteenths"
	r.Steps = append(r.Steps, second)
	p := newPlayer(r, false)
	p.do(Start{})
	p.rep(Clean)
	p.next()
	p.do(GoTo{Step: 1, At: p.at(1)})
	if !p.state.Running || p.now != nil || p.waiting == nil || p.waiting.Kind != click.CountIn {
		t.Fatalf("running %v, waiting %+v", p.state.Running, p.waiting)
	}
	p.next()
	if part := p.state.Sounding; part.Step != 1 || part.Kind != click.CountIn {
		t.Errorf("then sounds %+v", part)
	}
	if len(p.recorded) != 1 || p.recorded[0].Verdict != Clean {
		t.Errorf("recorded %+v", p.recorded)
	}
}

// A tempo set by hand off the ladder never ends a step by itself.
func TestATempoByHandKeepsToItsStep(t *testing.T) {
	for _, kind := range []RuleKind{Steady, Earned, TwoUpOneDown, Leap, Arch} {
		r := practice(func(s *Step) { s.Rule, s.Reps = Rule{kind, 1, 2}, 1 })
		second := r.Steps[0]
		second.Name = "Slow sixteenths"
		r.Steps = append(r.Steps, second)
		p := newPlayer(r, false)
		p.do(Start{})
		p.do(SetTempo{click.BPM(113)})
		for range 4 {
			p.rep(Clean)
		}
		if st := p.state.Standing; p.state.StepAt != 0 || st.Done || st.Tempo() != click.BPM(113) {
			t.Errorf("%v: on step %d at %v, done %v", kind, p.state.StepAt, st.Tempo(), st.Done)
		}
		if got := p.state.Advice().Line; got != "113 by hand, for as long as you like" {
			t.Errorf("%v: says %q", kind, got)
		}
	}
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	p.do(SetTempo{click.BPM(77)})
	if got := p.state.Advice().Line; got != "77 by hand — 3 clean climb to 80" {
		t.Errorf("says %q", got)
	}
}

// Another version of the routine keeps what was counted on a step that is as it
// was, wherever it stands now.
func TestAnotherVersionKeepsWhatWasCounted(t *testing.T) {
	r := practice(nil)
	second := r.Steps[0]
	second.Name = "Slow sixteenths"
	r.Steps = append(r.Steps, second)
	p := newPlayer(r, false)
	climb(p, "cccc")
	p.do(GoTo{Step: 1, At: p.at(0)})
	p.rep(Clean)
	inserted := r.Steps[0]
	inserted.Name = "Trio"
	p.do(Replan{Routine{Name: r.Name, Steps: []Step{inserted, r.Steps[0], r.Steps[1]}}})
	if st := p.state.Standing; p.state.StepAt != 2 || st.CleanRun != 1 {
		t.Errorf("on step %d with %d clean in a row, want 2 with 1", p.state.StepAt, st.CleanRun)
	}
	p.do(GoTo{Step: 1, At: p.at(0)})
	if got := p.state.Standing.Tempo(); got != click.BPM(68) {
		t.Errorf("the step that was left is at %v, want 68", got)
	}
}

func TestAnotherRoutineBeginsAtItsStart(t *testing.T) {
	r := practice(func(s *Step) { s.Rule.Clean = 1 })
	p := newPlayer(r, false)
	climb(p, "cc")
	second := r.Steps[0]
	second.Name = "Slow sixteenths"
	p.do(Open{Routine: Routine{Name: "Evening", Steps: []Step{second, r.Steps[0]}}, Step: 1, At: p.at(0)})
	if p.state.Running || p.state.Step().Name != "Weir Street run" || p.state.Standing.Tempo() != click.BPM(64) {
		t.Errorf("goes on with %q at %v, running %v", p.state.Step().Name, p.state.Standing.Tempo(), p.state.Running)
	}
	if len(p.recorded) != 2 || p.state.Reps != 2 {
		t.Errorf("%d reps are recorded, %d counted; want 2", len(p.recorded), p.state.Reps)
	}
	p.do(Start{})
	p.rep(Clean)
	if got := p.state.Standing.Tempo(); got != click.BPM(68) {
		t.Errorf("a clean climbs to %v", got)
	}
	p.do(Leave{p.at(0)})
	if last := p.recorded[len(p.recorded)-1]; last.Number != 3 {
		t.Errorf("the next rep has number %d, want 3", last.Number)
	}
	p.do(Open{Routine: Routine{Name: "nothing"}})
	if p.state.Routine.Name != "Evening" {
		t.Error("a routine without steps was opened")
	}
}

func TestAReturnToAStepFindsItWhereItWasLeft(t *testing.T) {
	r := practice(func(s *Step) { s.Rule.Clean = 1 })
	second := r.Steps[0]
	second.Name = "Slow sixteenths"
	r.Steps = append(r.Steps, second)
	p := newPlayer(r, false)
	climb(p, "cc")
	p.do(GoTo{Step: 1})
	if p.state.Standing.Tempo() != click.BPM(64) {
		t.Error("the other step does not begin at its start")
	}
	p.do(GoTo{Step: 0})
	if got := p.state.Standing.Tempo(); got != click.BPM(72) {
		t.Errorf("back on the first step the tempo is %v, want 72", got)
	}
}

// drawSteps is a routine of any rules, sizes and lengths.
func drawRoutine(t *rapid.T) Routine {
	var r Routine
	for i := range rapid.IntRange(1, 3).Draw(t, "steps") {
		base := practice(nil).Steps[0]
		base.Name = fmt.Sprint("step ", i)
		from := rapid.IntRange(10, 200).Draw(t, "from")
		base.Tempo = Range{
			From: click.BPM(from), Goal: click.BPM(from + rapid.IntRange(0, 60).Draw(t, "climb")),
			By: rapid.SampledFrom([]StepSize{{ByBPM, 4000}, {ByPercent, 5000}, {Kind: ByMarks}, {ByBPM, 33_000}}).Draw(t, "size"),
		}
		base.Rule = Rule{RuleKind(rapid.IntRange(0, 5).Draw(t, "rule")), rapid.IntRange(1, 3).Draw(t, "clean"), rapid.IntRange(1, 3).Draw(t, "rough")}
		base.Reps = rapid.IntRange(1, 4).Draw(t, "reps")
		base.Breath, base.CountIn = rapid.IntRange(0, 2).Draw(t, "breath"), rapid.IntRange(0, 2).Draw(t, "count-in")
		base.Chunk.Length = rapid.SampledFrom([]click.Beats{click.Frac(1, 2), click.Whole(1), click.Whole(2)}).Draw(t, "chunk")
		base.Chunk.Landing = rapid.Bool().Draw(t, "landing")
		r.Steps = append(r.Steps, base)
	}
	return r
}

// act makes something happen: mostly the click goes on, sometimes a key.
func act(t *rapid.T, p *player) {
	beat := 0
	if p.now != nil {
		beat = rapid.IntRange(0, p.now.Length.Floor()-1).Draw(t, "beat")
	}
	switch rapid.IntRange(0, 24).Draw(t, "what") {
	case 0:
		p.do(Start{})
	case 1:
		p.do(Stop{p.at(beat)})
	case 2, 3, 4:
		p.do(Judge{Clean, p.at(beat)})
	case 5, 6, 7:
		p.do(Judge{Rough, p.at(beat)})
	case 8:
		p.do(Judge{Skip, p.at(beat)})
	case 9:
		p.do(MoveRung{rapid.IntRange(-3, 3).Draw(t, "by")})
	case 10:
		p.do(Revise{p.state.Step().Narrower()})
	case 11:
		p.do(Revise{p.state.Step().Wider()})
	case 12:
		p.do(GoTo{rapid.IntRange(-1, 3).Draw(t, "step"), p.at(beat)})
	case 13:
		p.do(Sounding{0}) // a vamp
	case 14:
		p.hear(beat)
	default:
		if !p.next() && !p.state.Running {
			p.do(Start{})
		}
	}
}

// What holds for any list of events: the tempo stays within the ladder's goal
// and 10 bpm, each rep is recorded once and in order, and the same events lead
// to the same state.
func TestLawsOfTheLadder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRoutine(t)
		p := newPlayer(r, rapid.Bool().Draw(t, "hands free"))
		began := 0
		for range rapid.IntRange(0, 150).Draw(t, "events") {
			act(t, p)
			st := p.state.Standing
			if got := st.Tempo(); got > p.state.Step().Tempo.Goal || got < click.MinTempo {
				t.Fatalf("the tempo is %v, the goal %v", got, p.state.Step().Tempo.Goal)
			}
			if st.Goal() != p.state.Step().Tempo.Goal {
				t.Fatalf("the ladder ends on %v, the goal is %v", st.Goal(), p.state.Step().Tempo.Goal)
			}
			if len(st.Round) > p.state.Turn() {
				t.Fatalf("%d reps in a round of %d", len(st.Round), p.state.Turn())
			}
			if p.now != nil && p.state.Running && !p.now.Final && p.waiting == nil {
				t.Fatal("nothing follows what sounds")
			}
		}
		began = len(p.tempos)
		p.do(Leave{p.at(0)})
		seen := map[int]bool{}
		last := 0
		for _, rep := range p.recorded {
			if seen[rep.Number] || rep.Number <= last || rep.Number > began {
				t.Fatalf("rep %d is recorded again or out of order, after %d of %d", rep.Number, last, began)
			}
			seen[rep.Number], last = true, rep.Number
		}
		again := newPlayer(r, p.state.HandsFree)
		for _, e := range p.events {
			again.do(e)
		}
		if !reflect.DeepEqual(again.state, p.state) || !reflect.DeepEqual(again.recorded, p.recorded) {
			t.Fatal("the same events lead to another state")
		}
	})
}

// Played through without a stop, every rep but the last is on record, once.
func TestEveryRepIsRecordedOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPlayer(drawRoutine(t), false)
		p.do(Start{})
		for range rapid.IntRange(1, 80).Draw(t, "phrases") {
			if !p.next() {
				break
			}
			for beat := 1; beat < p.now.Length.Floor(); beat++ {
				p.hear(beat)
			}
			if v := Verdict(rapid.IntRange(0, 3).Draw(t, "verdict")); v != Unjudged {
				p.do(Judge{v, p.at(p.now.Length.Floor() - 1)})
			}
		}
		whole := len(p.tempos)
		if p.now != nil && p.now.Kind == click.Rep {
			whole-- // under way
		}
		judged := p.state.Pending() != Unjudged
		p.do(Leave{p.at(1)})
		if judged {
			whole++ // broken off with its verdict
		}
		if len(p.recorded) != whole {
			t.Fatalf("%d reps are recorded of %d", len(p.recorded), whole)
		}
	})
}

// Earned never climbs after a rough rep, whenever the verdict comes.
func TestEarnedNeverClimbsAfterARough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRoutine(t)
		r.Steps = r.Steps[:1]
		r.Steps[0].Rule.Kind = Earned
		p := newPlayer(r, false)
		p.do(Start{})
		for range rapid.IntRange(1, 100).Draw(t, "reps") {
			before := p.state.Standing.Tempo()
			v := Verdict(rapid.IntRange(0, 3).Draw(t, "verdict"))
			p.rep(v)
			if after := p.state.Standing.Tempo(); v == Rough && after > before {
				t.Fatalf("after a rough the tempo went from %v to %v", before, after)
			}
		}
	})
}

func TestReduceLeavesTheStateAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPlayer(drawRoutine(t), false)
		for range rapid.IntRange(0, 60).Draw(t, "events") {
			act(t, p)
		}
		before := p.state
		kept := fmt.Sprintf("%+v", before)
		for _, e := range []Event{Start{}, Stop{p.at(1)}, Judge{Rough, p.at(1)}, Judge{Clean, Heard{}}, MoveRung{-9}, SetTempo{click.BPM(50)},
			Revise{p.state.Step().Halved()}, GoTo{Step: 1}, Leave{}, RanOut{}, Replan{practice(nil)}, Open{Routine: practice(nil)}} {
			Reduce(before, e)
			if got := fmt.Sprintf("%+v", before); got != kept {
				t.Fatalf("%T wrote to the state it was given:\n%s\n%s", e, kept, got)
			}
		}
	})
}

// The last rep of a routine waits for its verdict as any other does: the player
// gives it in the silence after it.
func TestTheLastRepTakesAVerdict(t *testing.T) {
	p := newPlayer(rule(Arch, 1, 2, 1, 68), false)
	p.do(Start{})
	for p.next() {
	}
	if !p.over || p.state.Running {
		t.Fatal("the routine has not ended")
	}
	played := len(p.tempos)
	if n := len(p.recorded); n != played-1 {
		t.Fatalf("%d reps of %d are recorded when the routine ends", n, played)
	}
	last := Judge{Rough, p.at(0)}
	if got := p.state.Reach(last); got != Counts {
		t.Errorf("the verdict reaches %v", got)
	}
	clean := p.state
	clean, _ = Reduce(clean, Judge{Clean, p.at(0)})
	if got, want := clean.Advice().Line, "last rep: clean — routine done"; got != want {
		t.Errorf("after it %q, want %q", got, want)
	}
	p.do(last)
	if p.state.Standing.Done {
		t.Error("an arch whose last rep was rough is done")
	}
	p.do(Start{})
	if n := len(p.recorded); n != played || p.recorded[n-1].Verdict != Rough || !p.recorded[n-1].Whole {
		t.Errorf("recorded %+v", p.recorded)
	}
	if got := p.state.Standing.Tempo(); got != click.BPM(64) {
		t.Errorf("it goes on at %v", got)
	}
}

// A session that is left without one has recorded it all the same, and a
// hands-free one at once.
func TestTheLastRepIsRecordedWithoutAVerdict(t *testing.T) {
	for _, handsFree := range []bool{false, true} {
		p := newPlayer(rule(Steady, 1, 2, 2, 64), handsFree)
		p.do(Start{})
		for p.next() {
		}
		if handsFree && len(p.recorded) != 2 {
			t.Errorf("hands-free, %d reps of 2 are recorded at the end", len(p.recorded))
		}
		p.do(Leave{})
		if len(p.recorded) != 2 {
			t.Errorf("hands-free %v: %d reps of 2 are recorded", handsFree, len(p.recorded))
		}
	}
}
