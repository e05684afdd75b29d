package ladder

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
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

// assessed is what an assessment leaves behind: all but what was planned.
func assessed(s State) State {
	s.seq, s.ahead, s.laid = 0, nil, nil
	return s
}

// rapidly plays a session of any length and picks one of its open reps.
func rapidly(t *rapid.T) (p *player, i int, ok bool) {
	p = newPlayer(drawRoutine(t), rapid.IntRange(0, 3).Draw(t, "hands free") == 0)
	for range rapid.IntRange(1, 60).Draw(t, "events") {
		act(t, p)
	}
	n := len(p.state.open)
	if n == 0 {
		return nil, 0, false
	}
	return p, rapid.IntRange(0, n-1).Draw(t, "rep"), true
}

var drawVerdict = rapid.SampledFrom([]Verdict{Clean, Rough, Skip})

// on is the moment at which a verdict means the rep.
func on(r rep) Heard { return Heard{Seq: r.part.Seq, Beat: 1} }

// What the ears say counts as if the player had said it, where they have not.
func TestAnAssessmentCountsLikeAVerdict(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, i, ok := rapidly(t)
		if !ok || p.state.open[i].word != Unjudged {
			return
		}
		v := drawVerdict.Draw(t, "verdict")
		byEars, effects := Reduce(p.state, Assess{p.state.open[i].part.Seq, v, 0.7})
		byPlayer, want := Reduce(p.state, Judge{v, on(p.state.open[i])})
		if !reflect.DeepEqual(byEars.Standing, byPlayer.Standing) || !reflect.DeepEqual(effects, want) {
			t.Fatalf("assessed %+v\nand %+v\njudged %+v\nand %+v", byEars.Standing, effects, byPlayer.Standing, want)
		}
		if again, _ := Reduce(byEars, Assess{byEars.open[i].part.Seq, v, 0.7}); !reflect.DeepEqual(assessed(again), assessed(byEars)) {
			t.Fatalf("assessed again, the standing goes from %+v to %+v", byEars.Standing, again.Standing)
		}
	})
}

// The player's word stands whether it came before the ears' or after it; and once
// it is taken back, the ears' counts as if the player had never spoken.
func TestTheEarsNeverOverruleThePlayer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, i, ok := rapidly(t)
		if !ok || p.state.open[i].word != Unjudged {
			return
		}
		word := Judge{drawVerdict.Draw(t, "word"), on(p.state.open[i])}
		heard := Assess{p.state.open[i].part.Seq, drawVerdict.Draw(t, "heard"), rapid.Float64Range(0, 1).Draw(t, "certainty")}
		after := func(events ...Event) State {
			s := p.state
			for _, e := range events {
				s, _ = Reduce(s, e)
			}
			return assessed(s)
		}
		judged := after(word)
		for _, events := range [][]Event{{word, heard}, {heard, word}} {
			got := after(events...)
			if !reflect.DeepEqual(got.Standing, judged.Standing) {
				t.Fatalf("%+v lead to %+v, the word alone to %+v", events, got.Standing, judged.Standing)
			}
			if v, from := got.open[i].spoken(); v != word.Verdict || from != Player {
				t.Fatalf("%+v: the verdict is %v by the %v", events, v, from)
			}
		}
		ears := after(heard)
		for _, events := range [][]Event{{word, heard, word}, {heard, word, word}, {word, word, heard}} {
			if got := after(events...); !reflect.DeepEqual(got, ears) {
				t.Fatalf("%+v lead to\n%+v\nthe ears alone to\n%+v", events, got, ears)
			}
		}
	})
}

// Whenever the ears speak before a rep is recorded, the record is the same, and
// says who spoke.
func TestTheRecordSaysWhoGaveTheVerdict(t *testing.T) {
	for _, tt := range []struct {
		name      string
		handsFree bool
		say       []Event // of the first rep, phrase 2
		want      Played
	}{
		{"nobody", false, nil, Played{}},
		{"hands free", true, nil, Played{Verdict: Clean, Source: HandsFree}},
		{"the player", false, []Event{Judge{Rough, Heard{2, 1}}}, Played{Verdict: Rough, Source: Player}},
		{"the ears", false, []Event{Assess{2, Rough, 0.8}}, Played{Verdict: Rough, Source: Ears, Certainty: 0.8}},
		{"the ears, hands free", true, []Event{Assess{2, Rough, 0.8}}, Played{Verdict: Rough, Source: Ears, Certainty: 0.8}},
		{"the player after the ears", false, []Event{Assess{2, Rough, 0.8}, Judge{Clean, Heard{2, 1}}}, Played{Verdict: Clean, Source: Player}},
		{"the player before the ears", false, []Event{Judge{Clean, Heard{2, 1}}, Assess{2, Rough, 0.8}}, Played{Verdict: Clean, Source: Player}},
		{"the player agrees with the ears", false, []Event{Assess{2, Clean, 0.8}, Judge{Clean, Heard{2, 1}}}, Played{Verdict: Clean, Source: Player}},
		{"the player takes it back", false, []Event{Judge{Clean, Heard{2, 1}}, Assess{2, Rough, 0.8}, Judge{Clean, Heard{2, 1}}}, Played{Verdict: Rough, Source: Ears, Certainty: 0.8}},
		{"the surer word of the ears", false, []Event{Assess{2, Rough, 0.8}, Assess{2, Clean, 0.3}}, Played{Verdict: Rough, Source: Ears, Certainty: 0.8}},
		{"the later of two as sure", false, []Event{Assess{2, Rough, 0.8}, Assess{2, Clean, 0.8}}, Played{Verdict: Clean, Source: Ears, Certainty: 0.8}},
		{"surer than sure", false, []Event{Assess{2, Clean, 7}}, Played{Verdict: Clean, Source: Ears, Certainty: 1}},
		{"not sure at all", false, []Event{Assess{2, Clean, 0}}, Played{Verdict: Clean, Source: Ears}},
		{"less than that", false, []Event{Assess{2, Clean, -1}}, Played{Verdict: Clean, Source: Ears}},
		{"no certainty", false, []Event{Assess{2, Clean, math.NaN()}}, Played{}},
		{"of another rep", false, []Event{Assess{3, Clean, 1}, Assess{1, Clean, 1}, Assess{0, Clean, 1}}, Played{}},
		{"no verdict", false, []Event{Assess{2, Unjudged, 1}, Assess{2, Skip + 1, 1}, Judge{Unjudged, Heard{2, 1}}, Judge{Skip + 1, Heard{2, 1}}}, Played{}},
	} {
		for _, late := range []bool{false, true} {
			p := newPlayer(practice(nil), tt.handsFree)
			p.do(Start{})
			p.next()
			p.next()
			p.hear(1)
			if late {
				p.next() // the breath
			}
			for _, e := range tt.say {
				p.do(e)
			}
			for len(p.recorded) == 0 {
				p.next()
				p.hear(1)
			}
			p.do(Assess{2, Skip, 1}) // too late
			got := p.recorded[0]
			if got.Verdict != tt.want.Verdict || got.Source != tt.want.Source || got.Certainty != tt.want.Certainty {
				t.Errorf("%s, late %v: recorded %v by the %v with %v", tt.name, late, got.Verdict, got.Source, got.Certainty)
			}
			p.do(Leave{p.at(0)})
			if len(p.recorded) > 2 || p.recorded[0].Number != 1 {
				t.Errorf("%s, late %v: in the end %+v", tt.name, late, p.recorded)
			}
		}
	}
}

// A verdict reaches as far as the player has not moved on.
func TestReach(t *testing.T) {
	r := twoSteps(func(s *Step) { s.Reps = 2 })
	for _, tt := range []struct {
		name string
		play func(p *player) Heard
		want Reach
	}{
		{"before any rep", func(p *player) Heard { p.next(); return p.at(1) }, NoRep},
		{"in the first beat of the first", func(p *player) Heard { p.next(); p.next(); return p.at(0) }, NoRep},
		{"on the rep that sounds", func(p *player) Heard { p.next(); p.next(); return p.at(1) }, Counts},
		{"on the rep before", func(p *player) Heard { p.rep(Unjudged); return p.at(0) }, Counts},
		{"on one that has another", func(p *player) Heard { p.rep(Rough); return p.at(0) }, Counts},
		{"on one that has the same", func(p *player) Heard { p.rep(Clean); return p.at(0) }, TakenBack},
		{"on one that has the same, after a stop", func(p *player) Heard { p.rep(Clean); p.do(Stop{p.at(0)}); return Heard{} }, TakenBack},
		{"on a rep of the step before", func(p *player) Heard { p.rep(Clean); p.rep(Unjudged); p.next(); return p.at(0) }, Noted},
		{"after a move by hand", func(p *player) Heard { p.rep(Unjudged); p.do(MoveRung{-1}); return p.at(0) }, Noted},
		{"and taken back there", func(p *player) Heard { p.rep(Clean); p.do(MoveRung{-1}); return p.at(0) }, TakenBack},
		{"on a rep that was broken off", func(p *player) Heard { p.next(); p.next(); p.do(Stop{p.at(1)}); return Heard{} }, Counts},
		{"on one that was broken off and has another", func(p *player) Heard {
			p.rep(Clean)
			p.next()
			p.hear(1)
			p.do(Judge{Rough, p.at(1)})
			p.do(Stop{p.at(2)})
			return Heard{}
		}, Counts},
	} {
		p := newPlayer(r, false)
		p.do(Start{})
		at := tt.play(p)
		before := p.state.Standing
		e := Judge{Clean, at}
		if got := p.state.Reach(e); got != tt.want {
			t.Errorf("%s: it reaches %v, want %v", tt.name, got, tt.want)
		}
		p.do(e)
		if got := p.state.Standing; (tt.want == Noted || tt.want == NoRep) && !reflect.DeepEqual(got, before) {
			t.Errorf("%s: it moves the standing to %+v", tt.name, got)
		}
	}
}

// A rep that was played at another tempo than the ladder stands at by now moves it
// no more: only the rep before it did.
func TestARepAtATempoThatIsNoMoreMovesNothing(t *testing.T) {
	p := newPlayer(practice(func(s *Step) { s.Rule = Rule{Earned, 1, 1} }), false)
	p.do(Start{})
	p.rep(Unjudged)
	p.next()                    // the second rep, at 64
	p.do(Judge{Clean, p.at(0)}) // on the first: up to 68
	p.hear(1)
	second := Judge{Rough, p.at(1)}
	if got := p.state.Reach(second); got != Noted {
		t.Errorf("a verdict on the second reaches %v", got)
	}
	p.do(second)
	p.next()
	if got := p.state.Standing; got.Tempo() != click.BPM(68) || got.Played != 0 {
		t.Errorf("the second leads to %+v", got)
	}
}

// Reps are recorded as soon as no verdict can reach them any more, and not before.
func TestWhenARepIsRecorded(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Start{})
	var got []int
	for range 5 {
		p.next0()
	}
	for _, at := range []Heard{{1, 1}, {2, 0}, {2, 2}, {3, 0}, {3, 1}, {4, 0}, {4, 1}, {5, 0}} {
		p.do(Audible{at})
		got = append(got, len(p.recorded))
	}
	if fmt.Sprint(got) != "[0 0 0 0 0 0 1 1]" {
		t.Errorf("recorded are %v", got)
	}
}
