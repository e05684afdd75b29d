package ladder

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

// Another day begins where the player stood, with nothing counted on the rung.
func TestAnotherDayGoesOnWhereTheStepWasLeft(t *testing.T) {
	bpm := func(n int) Range {
		return Range{From: click.BPM(64), Goal: click.BPM(n), By: StepSize{ByBPM, 4000}}
	}
	for _, tt := range []struct {
		name   string
		begin  Routine
		play   func(p *player)
		change func(*Step) // to the file, overnight
		tempo  click.Tempo
		check  func(Standing) bool // what else holds
	}{
		{"climbed", rule(Earned, 1, 2, 5, 104), func(p *player) { climb(p, "ccc") }, nil, click.BPM(76), nil},
		{"cleans in a row are not kept", rule(Earned, 3, 2, 5, 104), func(p *player) { climb(p, "ccccc") }, nil, click.BPM(68),
			func(s Standing) bool { return s.CleanRun == 0 && len(s.Round) == 0 }},
		{"by hand", rule(Earned, 1, 2, 5, 104), func(p *player) { p.do(SetTempo{77_500}) }, nil, 77_500,
			func(s Standing) bool { return s.ByHand == 77_500 }},
		{"below the lowest", rule(Earned, 1, 2, 5, 104), func(p *player) { p.do(MoveRung{-2}) }, nil, click.BPM(56),
			func(s Standing) bool { return s.Rung == 0 && s.ByHand == 0 && len(s.Rungs) == 13 }},
		{"the footing", rule(Settle, 2, 2, 5, 104), func(p *player) { climb(p, "ccc") }, nil, click.BPM(68),
			func(s Standing) bool { return s.course == course(settle{found: true}) && s.Footing == click.BPM(64) }},
		{"on the way down", rule(Arch, 3, 2, 3, 72), func(p *player) { climb(p, "cccccc") }, nil, click.BPM(68),
			func(s Standing) bool { return s.course == course(arch{down: true}) }},
		{"a leap at the goal", rule(Leap, 3, 2, 1, 80), func(p *player) { climb(p, "ccc") }, nil, click.BPM(80),
			func(s Standing) bool { return s.course == course(leap{atGoal: true, slow: 1}) }},
		{"done", rule(Steady, 3, 2, 1, 72), func(p *player) { climb(p, "ccc") }, nil, click.BPM(64), nil},
		{"the rung is gone", rule(Earned, 1, 2, 5, 104), func(p *player) { climb(p, "ccc") },
			func(s *Step) { s.Tempo.By.Amount = 5000 }, click.BPM(74), nil},
		{"the goal is lower now", rule(Earned, 1, 2, 5, 104), func(p *player) { climb(p, "ccc") },
			func(s *Step) { s.Tempo = bpm(70) }, click.BPM(70), nil},
		{"the ladder begins higher now", rule(Earned, 1, 2, 5, 104), func(p *player) { climb(p, "c") },
			func(s *Step) { s.Tempo.From = click.BPM(80) }, click.BPM(80), nil},
		{"another rule", rule(Settle, 2, 2, 5, 104), func(p *player) { climb(p, "ccc") },
			func(s *Step) { s.Rule.Kind = Earned }, click.BPM(68), func(s Standing) bool { return s.course == course(earned{}) && s.Footing == click.BPM(64) }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlayer(tt.begin, false)
			tt.play(p)
			p.do(Leave{p.at(0)})
			r := Routine{Name: p.state.Routine.Name, Steps: append([]Step(nil), p.state.Routine.Steps...)}
			if tt.change != nil {
				tt.change(&r.Steps[0])
			}
			again := newPlayer(r, false)
			again.do(Resume{p.state.Bookmarks()})
			got := again.state.Standing
			if got.Tempo() != tt.tempo || tt.check != nil && !tt.check(got) {
				t.Errorf("the next day it is %v, want %v: %+v", got.Tempo(), tt.tempo, got)
			}
			again.do(Start{})
			again.next()
			if again.now.Tempo != tt.tempo || again.now.Kind != click.CountIn {
				t.Errorf("it starts with a %v at %v", again.now.Kind, again.now.Tempo)
			}
		})
	}
}

// Whatever was kept, the ladder holds; and where the routine is as it was, every
// step that is not done goes on where it was left.
func TestLawsOfAnotherDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPlayer(drawRoutine(t), false)
		for range rapid.IntRange(0, 80).Draw(t, "events") {
			act(t, p)
		}
		p.do(Leave{p.at(0)})
		bookmarks := p.state.Bookmarks()
		again := newPlayer(p.state.Routine, false)
		again.do(Resume{bookmarks})
		for i := range bookmarks {
			again.do(GoTo{Step: i})
			p.do(GoTo{Step: i})
			if got, want := again.state.Standing, p.state.Standing; got.Tempo() != want.Tempo() && bookmarks[i] != (Bookmark{}) {
				t.Fatalf("step %d goes on at %v, left at %v", i, got.Tempo(), want.Tempo())
			}
		}
		tempo := rapid.Custom(func(t *rapid.T) click.Tempo { return click.Tempo(rapid.IntRange(-1, 500_000).Draw(t, "tempo")) })
		wild := Bookmark{
			Ladder: p.state.Step().Tempo, Rule: RuleKind(rapid.IntRange(0, 9).Draw(t, "rule")), Tempo: tempo.Draw(t, "at"),
			ByHand: rapid.Bool().Draw(t, "by hand"), Footing: tempo.Draw(t, "footing"), Settled: rapid.Bool().Draw(t, "settled"),
			OneDown: rapid.Bool().Draw(t, "one down"), Slow: tempo.Draw(t, "slow"), Down: rapid.Bool().Draw(t, "down"),
		}
		again = newPlayer(Routine{Name: "Morning runs", Steps: []Step{p.state.Step()}}, false)
		again.do(Resume{[]Bookmark{wild, wild}})
		for range 20 {
			act(t, again)
			if st := again.state.Standing; st.Rung < 0 || st.Rung >= len(st.Rungs) || !st.Tempo().Valid() {
				t.Fatalf("%+v led to %+v", wild, st)
			}
		}
	})
}

// A ladder that has come to begin at its footing may have other rungs than when it
// began higher; the player goes on at the tempo they left all the same.
func TestAnotherDayBeginsAtARungThatIsNoMore(t *testing.T) {
	step := practice(func(s *Step) {
		s.Rule = Rule{Settle, 2, 2}
		s.Tempo = Range{From: click.BPM(43), Goal: click.BPM(60), By: StepSize{ByMarks, 0}}
	}).Steps[0]
	p := newPlayer(Routine{Name: "Morning runs", Steps: []Step{step}}, false)
	climb(p, "rcc") // a mark below 43, which is none itself
	p.do(Leave{p.at(0)})
	want, bookmarks := p.state.Standing.Tempo(), p.state.Bookmarks()
	again := newPlayer(p.state.Routine, false)
	again.do(Resume{bookmarks})
	if got := again.state.Standing.Tempo(); got != want {
		t.Errorf("goes on at %v, left at %v with rungs %v", got, want, p.state.Standing.Rungs)
	}
}

// Where a bookmark leads on the ladder of 64 to 80 by 4.
func TestWhereABookmarkLeads(t *testing.T) {
	on := func(kind RuleKind, change func(*Bookmark)) Bookmark {
		b := Bookmark{Ladder: rule(kind, 1, 1, 3, 80).Steps[0].Tempo, Rule: kind, Tempo: click.BPM(72)}
		change(&b)
		return b
	}
	for _, tt := range []struct {
		name  string
		kind  RuleKind
		b     Bookmark
		rungs string
		tempo click.Tempo
		then  course
	}{
		{"none", Earned, Bookmark{}, "[64 68 72 76 80]", click.BPM(64), earned{}},
		{"a rung", Earned, on(Earned, func(*Bookmark) {}), "[64 68 72 76 80]", click.BPM(72), earned{}},
		{"one below the lowest", Earned, on(Earned, func(b *Bookmark) { b.Tempo = click.BPM(60) }), "[60 64 68 72 76 80]", click.BPM(60), earned{}},
		{"one between, below the lowest", Earned, on(Earned, func(b *Bookmark) { b.Tempo = click.BPM(58) }), "[56 58 60 64 68 72 76 80]", click.BPM(58), earned{}},
		{"one that the ladder passes over", Earned, on(Earned, func(b *Bookmark) { b.Tempo = click.BPM(70) }), "[64 68 70 72 76 80]", click.BPM(70), earned{}},
		{"one above the goal", Earned, on(Earned, func(b *Bookmark) { b.Tempo = click.BPM(90) }), "[64 68 72 76 80]", click.BPM(80), earned{}},
		{"the slowest tempo", Earned, on(Earned, func(b *Bookmark) { b.Tempo = click.MinTempo }), "[12 16 20 24 28 32 36 40 44 48 52 56 60 64 68 72 76 80]", click.BPM(12), earned{}},
		{"by hand", Earned, on(Earned, func(b *Bookmark) { b.ByHand, b.Tempo = true, 90_500 }), "[64 68 72 76 80]", 90_500, earned{}},
		{"no tempo", Earned, on(Earned, func(b *Bookmark) { b.Tempo = 5 }), "[64 68 72 76 80]", click.BPM(64), earned{}},
		{"another ladder, between", Earned, on(Earned, func(b *Bookmark) { b.Ladder, b.Tempo = Range{}, click.BPM(75) }), "[64 68 72 76 80]", click.BPM(72), earned{}},
		{"another ladder, below", Earned, on(Earned, func(b *Bookmark) { b.Ladder, b.Tempo = Range{}, click.BPM(50) }), "[64 68 72 76 80]", click.BPM(64), earned{}},
		{"another ladder, by hand", Earned, on(Earned, func(b *Bookmark) { b.Ladder, b.ByHand, b.Tempo = Range{}, true, click.BPM(75) }), "[64 68 72 76 80]", click.BPM(72), earned{}},
		{"settled", Settle, on(Settle, func(b *Bookmark) { b.Footing, b.Settled = click.BPM(68), true }), "[64 68 72 76 80]", click.BPM(72), settle{found: true}},
		{"settled nowhere", Settle, on(Settle, func(b *Bookmark) { b.Settled = true }), "[64 68 72 76 80]", click.BPM(72), settle{}},
		{"settled on another ladder", Settle, on(Settle, func(b *Bookmark) { b.Ladder, b.Footing, b.Settled = Range{}, click.BPM(68), true }), "[64 68 72 76 80]", click.BPM(72), settle{found: true}},
		{"one down", TwoUpOneDown, on(TwoUpOneDown, func(b *Bookmark) { b.OneDown = true }), "[64 68 72 76 80]", click.BPM(72), twoUp{oneDown: true}},
		{"one down on another ladder", TwoUpOneDown, on(TwoUpOneDown, func(b *Bookmark) { b.Ladder, b.OneDown = Range{}, true }), "[64 68 72 76 80]", click.BPM(72), twoUp{}},
		{"one down by hand", TwoUpOneDown, on(TwoUpOneDown, func(b *Bookmark) { b.ByHand, b.OneDown, b.Tempo = true, true, 70_500 }), "[64 68 72 76 80]", 70_500, twoUp{}},
		{"down", Arch, on(Arch, func(b *Bookmark) { b.Down = true }), "[64 68 72 76 80]", click.BPM(72), arch{down: true}},
		{"down, under another rule then", Arch, on(Leap, func(b *Bookmark) { b.Down = true }), "[64 68 72 76 80]", click.BPM(72), arch{}},
		{"at the goal", Leap, on(Leap, func(b *Bookmark) { b.Tempo, b.Slow = click.BPM(80), click.BPM(68) }), "[64 68 72 76 80]", click.BPM(80), leap{atGoal: true, slow: 1}},
		{"at the goal, from below the lowest", Leap, on(Leap, func(b *Bookmark) { b.Tempo, b.Slow = click.BPM(80), click.BPM(60) }), "[60 64 68 72 76 80]", click.BPM(80), leap{atGoal: true}},
		{"at the goal, from a rung that is passed over", Leap, on(Leap, func(b *Bookmark) { b.Tempo, b.Slow = click.BPM(80), click.BPM(70) }), "[64 68 70 72 76 80]", click.BPM(80), leap{atGoal: true, slow: 2}},
		{"at the goal, from there", Leap, on(Leap, func(b *Bookmark) { b.Tempo, b.Slow = click.BPM(80), click.BPM(80) }), "[64 68 72 76 80]", click.BPM(80), leap{}},
		{"not at the goal", Leap, on(Leap, func(b *Bookmark) { b.Slow = click.BPM(68) }), "[64 68 72 76 80]", click.BPM(72), leap{}},
	} {
		p := newPlayer(rule(tt.kind, 1, 1, 3, 80), false)
		p.do(Resume{[]Bookmark{tt.b}})
		st := p.state.Standing
		if got := fmt.Sprint(st.Rungs); got != tt.rungs || st.Tempo() != tt.tempo || st.course != tt.then {
			t.Errorf("%s: at %v on %s with %#v; want %v on %s with %#v", tt.name, st.Tempo(), got, st.course, tt.tempo, tt.rungs, tt.then)
		}
		if st.Footing != tt.b.Footing {
			t.Errorf("%s: the footing is %v", tt.name, st.Footing)
		}
	}
}

// A bookmark is kept of every step on which there is something to go on with.
func TestWhichStepsHaveABookmark(t *testing.T) {
	for _, tt := range []struct {
		name    string
		routine Routine
		play    func(p *player)
		want    bool
	}{
		{"not begun", rule(Earned, 1, 1, 5, 72), func(*player) {}, false},
		{"at its start", rule(Earned, 2, 2, 5, 72), func(p *player) { climb(p, "c") }, false},
		{"up", rule(Earned, 1, 1, 5, 72), func(p *player) { climb(p, "c") }, true},
		{"by hand", rule(Earned, 1, 1, 5, 72), func(p *player) { p.do(SetTempo{70_500}) }, true},
		{"done", rule(Earned, 1, 1, 5, 72), func(p *player) { climb(p, "ccc") }, false},
		{"at its start on the way down", rule(Arch, 1, 1, 1, 68), func(p *player) { climb(p, "cc") }, true},
		{"at its start with a footing", rule(Settle, 1, 1, 5, 72), func(p *player) { climb(p, "cr") }, true},
		{"at its start, one down", rule(TwoUpOneDown, 1, 9, 5, 68), func(p *player) { climb(p, "c"); p.do(SetTempo{64_000}) }, true},
		{"at its start, which is the goal", rule(Leap, 1, 1, 2, 64), func(p *player) { climb(p, "c") }, false},
	} {
		p := newPlayer(tt.routine, false)
		tt.play(p)
		if got := p.state.Bookmarks(); (got[0] != Bookmark{}) != tt.want {
			t.Errorf("%s: the bookmark is %+v", tt.name, got)
		}
	}
	// The steps that are not under way have theirs too, as far as there are any.
	p := newPlayer(threeSteps(func(s *Step) { s.Rule = Rule{Earned, 1, 1} }), false)
	climb(p, "c")
	if got := p.state.Bookmarks(); len(got) != 3 || got[0].Tempo != click.BPM(68) || got[1] != (Bookmark{}) {
		t.Errorf("on the first: %+v", got)
	}
	p.do(GoTo{Step: 2, At: p.at(0)})
	if got := p.state.Bookmarks(); len(got) != 3 || got[0].Tempo != click.BPM(68) || got[1] != (Bookmark{}) || got[2] != (Bookmark{}) {
		t.Errorf("on the third: %+v", got)
	}
	again := newPlayer(p.state.Routine, false)
	again.do(Resume{p.state.Bookmarks()[:1]})
	if got := again.state.Standing.Tempo(); got != click.BPM(68) {
		t.Errorf("with one bookmark of three it goes on at %v", got)
	}
	again.do(GoTo{Step: 1})
	if got := again.state.Standing.Tempo(); got != click.BPM(64) {
		t.Errorf("a step without one goes on at %v", got)
	}
}
