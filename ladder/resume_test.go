package ladder

import (
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
			r := Routine{p.state.Routine.Name, append([]Step(nil), p.state.Routine.Steps...)}
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
		again = newPlayer(Routine{"Morning runs", []Step{p.state.Step()}}, false)
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
	p := newPlayer(Routine{"Morning runs", []Step{step}}, false)
	climb(p, "rcc") // a mark below 43, which is none itself
	p.do(Leave{p.at(0)})
	want, bookmarks := p.state.Standing.Tempo(), p.state.Bookmarks()
	again := newPlayer(p.state.Routine, false)
	again.do(Resume{bookmarks})
	if got := again.state.Standing.Tempo(); got != want {
		t.Errorf("goes on at %v, left at %v with rungs %v", got, want, p.state.Standing.Rungs)
	}
}
