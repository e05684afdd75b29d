package ladder

import (
	"bytes"
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

// tape is bytes that say what happens; once it is at its end they are zero.
type tape []byte

// n is a number from 0 up to k.
func (t *tape) n(k int) int {
	if len(*t) == 0 {
		return 0
	}
	b := (*t)[0]
	*t = (*t)[1:]
	return int(b) % k
}

// of is one of a list.
func of[T any](t *tape, list ...T) T { return list[t.n(len(list))] }

func (t *tape) tempo() click.Tempo {
	return of(t, 0, click.MinTempo, 10_001, click.BPM(64), 77_777, click.BPM(104), click.BPM(208), click.MaxTempo, 400_001, -5)
}

// step is mostly one that can be practised.
func (t *tape) step(name string) Step {
	s := practice(nil).Steps[0]
	s.Name = name
	from := of(t, 10, 12, 43, 64, 200, 390)
	s.Tempo = Range{
		From: click.BPM(from), Goal: click.BPM(from + of(t, 0, 3, 10, 44)),
		By: of(t, StepSize{ByBPM, 4000}, StepSize{ByPercent, 5000}, StepSize{Kind: ByMarks}, StepSize{ByBPM, 33_000}),
	}
	if t.n(4) == 0 {
		s.Tempo.From, s.Tempo.Below = 0, 2
	}
	s.Rule = Rule{RuleKind(t.n(7)), of(t, 1, 2, 3, 0), of(t, 1, 2, 3)}
	s.Reps = of(t, 1, 2, 4, 0)
	s.Breath, s.CountIn = t.n(3), t.n(3)
	s.Chunk.Length = of(t, click.Frac(1, 2), click.Whole(1), click.Whole(2), click.Whole(40))
	s.Chunk.Landing = t.n(2) == 0
	s.Chunk.Bar = of(t, 18, 17, 20)
	switch t.n(4) {
	case 1:
		s.Meter, s.Unit = click.MakeMeter(6, 8), click.Unit{Num: 3, Den: 8}
	case 2:
		s.Pickup, s.Meters = click.Whole(t.n(5)), []click.MeterChange{{Bar: of(t, 18, 19, 21), Meter: click.MakeMeter(of(t, 3, 5), 4)}}
	}
	return s
}

func (t *tape) routine() Routine {
	r := Routine{Name: "Morning runs"}
	for range t.n(4) {
		r.Steps = append(r.Steps, t.step(of(t, "run", "trio", "slow")))
	}
	return r
}

func (t *tape) bookmark(r Routine) Bookmark {
	b := Bookmark{
		Rule: RuleKind(t.n(7)), Tempo: t.tempo(), ByHand: t.n(2) == 0, Footing: t.tempo(), Settled: t.n(2) == 0,
		OneDown: t.n(2) == 0, Slow: t.tempo(), Down: t.n(2) == 0,
	}
	if len(r.Steps) > 0 {
		b.Ladder = r.Steps[t.n(len(r.Steps))].Tempo
	}
	return b
}

// session feeds events to the reducer and holds its laws against the answers.
type session struct {
	t        *testing.T
	state    State
	events   []Event
	plans    uint64 // Seq of the latest planned phrase
	recorded []Played
}

// event is what happens next: by any of the keys, and by a renderer and a device
// that are mostly, but not always, where they should be.
func (s *session) event(t *tape) Event {
	state := s.state
	near := func() uint64 { return uint64(max(0, int(state.Sounding.Seq)+of(t, 0, -1, -2, -4, 1, 50))) }
	at := func() Heard { return Heard{of(t, near, near, func() uint64 { return 0 })(), of(t, 1, 0, 2, -1)} }
	switch t.n(32) {
	case 1:
		return Stop{at()}
	case 2, 3:
		return Judge{Verdict(t.n(5)), at()}
	case 4:
		return Judge{Clean, at()}
	case 5:
		return Judge{Rough, at()}
	case 6, 7:
		return Assess{near(), Verdict(t.n(5)), of(t, 0.5, 0, 1, -1, 2, math.NaN())}
	case 8:
		return MoveRung{of(t, 1, -1, 3, -3, 0, 1<<62, -1<<62)}
	case 9:
		return SetTempo{t.tempo()}
	case 10:
		return Revise{t.step(state.Step().Name)}
	case 11:
		return Revise{state.Step().Narrower()}
	case 12:
		return Revise{state.Step().Wider()}
	case 13:
		return GoTo{t.n(4) - 1, at()}
	case 14:
		return Open{t.routine(), t.n(4) - 1, at()}
	case 15:
		return Replan{t.routine()}
	case 16:
		r := state.Routine
		k := t.n(len(r.Steps))
		r.Steps = append(r.Steps[k:len(r.Steps):len(r.Steps)], r.Steps[:k]...)
		return Replan{r}
	case 17:
		return Resume{state.Bookmarks()}
	case 18:
		return Resume{[]Bookmark{t.bookmark(state.Routine), t.bookmark(state.Routine)}}
	case 19:
		return RanOut{}
	case 20:
		return Leave{at()}
	case 25:
		return Model{ModelMode(t.n(5))}
	case 26:
		e := Know{Step: state.Routine.Steps[t.n(len(state.Routine.Steps))]}
		at := click.Whole(t.n(8) - 4)
		for range t.n(20) {
			e.Begins = append(e.Begins, at)
			at = at.Add(click.Frac(int64(1+t.n(4)), int64(1+t.n(6))))
		}
		return e
	case 27:
		return Revise{state.Step().TurnedTo(t.n(20))}
	case 21, 22, 23:
		return Audible{at()}
	case 24:
		return Sounding{of(t, near(), 0, s.plans-1, s.plans-3, s.plans-40, s.plans+1, 1)}
	}
	if !state.Running {
		return Start{}
	}
	return Sounding{s.plans}
}

func (s *session) do(e Event) {
	before := s.state
	s.events = append(s.events, e)
	var effects []Effect
	s.state, effects = Reduce(s.state, e)
	for _, effect := range effects {
		switch effect := effect.(type) {
		case Play:
			if effect.Phrase.Seq <= s.plans || effect.Phrase.Length.Sign() <= 0 {
				s.t.Fatalf("%+v plays phrase %d of %v beats after phrase %d", e, effect.Phrase.Seq, effect.Phrase.Length, s.plans)
			}
			s.plans = effect.Phrase.Seq
		case Record:
			s.record(effect.Rep)
		case Halt:
			if effect.From <= s.plans {
				s.t.Fatalf("%+v halts from %d, and phrase %d may begin", e, effect.From, s.plans)
			}
		}
	}
	if err := bounds(s.state); err != "" {
		s.t.Fatalf("%T %+v: %s\n%+v\nbefore it\n%+v", e, e, err, s.state, before)
	}
}

func (s *session) record(r Played) {
	if n := len(s.recorded); n > 0 && r.Number <= s.recorded[n-1].Number || r.Number < 1 || r.Number > s.state.numbers {
		s.t.Fatalf("rep %d is recorded after %+v, of %d", r.Number, s.recorded, s.state.numbers)
	}
	if r.Verdict > Skip || r.Source > HandsFree || (r.Verdict == Unjudged) != (r.Source == Nobody) || !(r.Certainty >= 0 && r.Certainty <= 1) {
		s.t.Fatalf("recorded %+v", r)
	}
	s.recorded = append(s.recorded, r)
}

// bounds says which bound the state is out of, "" for none.
func bounds(s State) string {
	if s.StepAt < 0 || s.StepAt >= len(s.Routine.Steps) {
		return "there is no such step"
	}
	st, step := s.Standing, s.Step()
	switch {
	case len(st.Rungs) == 0 || st.Rung < 0 || st.Rung >= len(st.Rungs):
		return "the rung is off the ladder"
	case !st.Tempo().Valid() || !st.Rungs[0].Valid():
		return "the tempo cannot be played"
	case st.Goal() != step.Tempo.Goal:
		return "the ladder ends on another goal"
	case len(st.Round) > st.turn(step) || len(st.Round) > st.Played:
		return "the round is too long"
	case st.CleanRun*st.RoughRun != 0 || st.CleanRun+st.RoughRun > st.Played:
		return "the runs of verdicts do not fit"
	case reflect.TypeOf(st.course) != reflect.TypeOf(begin(step.Rule.Kind, 0)):
		return "the course is another rule's"
	case len(s.begun) > kept || len(s.ahead) > kept:
		return "too much is remembered"
	case s.Model > ModelFades || s.alone && !s.Running:
		return "the model is out of order"
	case s.Running && len(s.ahead) == 0 && (s.Sounding.Seq == 0 || !s.mayEnd()):
		return "nothing follows"
	case !s.Running && (s.Sounding != Part{} || len(s.ahead) > 0):
		return "something sounds in silence"
	case s.inRep() && (len(s.open) == 0 || s.open[len(s.open)-1].part.Seq != s.Sounding.Seq):
		return "the rep that sounds is not open"
	}
	for i := 1; i < len(st.Rungs); i++ {
		if st.Rungs[i-1] >= st.Rungs[i] {
			return "the rungs do not climb"
		}
	}
	for i, r := range s.open {
		switch {
		case i > 0 && (r.number <= s.open[i-1].number || r.part.Seq <= s.open[i-1].part.Seq):
			return "the open reps are not in order"
		case i < len(s.open)-1 && !r.whole:
			return "a rep goes on under another"
		case r.before.Rungs == nil:
			return "a rep has nothing to go back to"
		}
	}
	// What is asked of a state has an answer.
	s.Advice()
	s.Counted()
	s.ToCome()
	s.Pending()
	s.Reach(Judge{Clean, Heard{s.Sounding.Seq, 1}})
	return ""
}

// mayEnd reports whether the phrase that sounds may be the last.
func (s State) mayEnd() bool {
	return s.ends(s.Sounding) || s.endsByItself() && s.StepAt == len(s.Routine.Steps)-1
}

// lawsOfAnyEvents plays a tape, which may bring any event at any time.
func lawsOfAnyEvents(t *testing.T, data []byte) {
	in := tape(data)
	r := in.routine()
	if !practisable(r) {
		r = practice(nil)
	}
	handsFree := in.n(4) == 0
	s := &session{t: t, state: New(r, handsFree)}
	for len(in) > 0 {
		s.do(s.event(&in))
	}
	s.do(Leave{})
	if len(s.state.open) > 0 || s.state.Reps != len(s.recorded) {
		t.Fatalf("%d reps are counted, %d recorded, and %+v are open", s.state.Reps, len(s.recorded), s.state.open)
	}
	again := New(r, handsFree)
	for _, e := range s.events {
		again, _ = Reduce(again, e)
	}
	if !reflect.DeepEqual(again, s.state) {
		t.Fatalf("the same events lead to another state:\n%+v\n%+v", again, s.state)
	}
}

func TestLawsOfAnyEvents(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 400).Draw(rt, "tape")
		if !t.Run("", func(t *testing.T) { lawsOfAnyEvents(t, data) }) {
			rt.Fatal("see above")
		}
	})
}

func FuzzEvents(f *testing.F) {
	f.Add([]byte{})
	f.Add(bytes.Repeat([]byte{31, 30, 5, 0, 0}, 40))
	f.Add(append(bytes.Repeat([]byte{0}, 20), bytes.Repeat([]byte{11, 12}, 40)...))
	for seed := range 8 {
		data := make([]byte, 300)
		x := uint32(seed + 1)
		for i := range data {
			x = x*1664525 + 1013904223
			data[i] = byte(x >> 24)
		}
		f.Add(data)
	}
	f.Fuzz(lawsOfAnyEvents)
}

// However many edits come between two looks at the renderer, the phrase that it
// began is known, and so is the rep before.
func TestManyEditsBeforeAPhraseIsSeenToBegin(t *testing.T) {
	for _, edits := range []int{1, kept - 1, kept, kept + 1, 200} {
		t.Run(fmt.Sprint(edits), func(t *testing.T) {
			p := newPlayer(practice(nil), false)
			p.do(Start{})
			p.next()
			p.next()
			p.hear(1)
			breath := p.waiting
			for i := range edits {
				step := p.state.Step()
				step.Breath = 1 + i%2
				p.do(Revise{step})
			}
			p.waiting = breath // it had begun before the first
			p.next()
			if got := p.state.Sounding; got.Kind != click.Breath || got.Seq != breath.Seq {
				t.Errorf("what sounds is taken for a %v, %d", got.Kind, got.Seq)
			}
			p.do(Stop{p.at(0)})
			p.do(Judge{Clean, Heard{}})
			if got := p.state.Standing; got.CleanRun != 1 || got.Tempo() != click.BPM(64) {
				t.Errorf("the verdict leads to %+v", got)
			}
			p.do(Leave{})
			if len(p.recorded) != 1 || !p.recorded[0].Whole || p.recorded[0].Verdict != Clean {
				t.Errorf("recorded %+v", p.recorded)
			}
		})
	}
}
