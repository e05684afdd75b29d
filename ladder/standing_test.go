package ladder

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
)

// Where a step stands after some verdicts and then a move by hand.
func TestMovesByHand(t *testing.T) {
	for _, tt := range []struct {
		name     string
		routine  Routine
		verdicts string
		move     Event
		tempo    click.Tempo
		rungs    int
		then     string // the tempos of cleans after it
	}{
		{"a rung up", rule(Earned, 1, 2, 5, 76), "c", MoveRung{1}, click.BPM(72), 4, "72 76"},
		{"no further than the goal", rule(Earned, 1, 2, 5, 76), "", MoveRung{9}, click.BPM(76), 4, "76 76"},
		{"as far as there is", rule(Earned, 1, 2, 5, 76), "", MoveRung{1 << 62}, click.BPM(76), 4, "76 76"},
		{"a rung down", rule(Earned, 1, 2, 5, 76), "cc", MoveRung{-1}, click.BPM(68), 4, "68 72"},
		{"below the lowest", rule(Earned, 1, 2, 5, 76), "", MoveRung{-2}, click.BPM(56), 6, "56 60 64"},
		{"down to 10 bpm", rule(Earned, 1, 2, 5, 76), "", MoveRung{-1 << 62}, click.BPM(12), 17, "12 16"},
		{"nowhere", rule(Earned, 2, 2, 5, 76), "c", MoveRung{0}, click.BPM(64), 4, "64 68"},
		{"a tempo between", rule(Earned, 1, 2, 5, 76), "", SetTempo{66_000}, 66_000, 4, "66 68"},
		{"one that is a rung", rule(Earned, 1, 2, 5, 76), "", SetTempo{72_000}, click.BPM(72), 4, "72 76"},
		{"above the goal it stays", rule(Earned, 1, 2, 5, 76), "", SetTempo{90_000}, 90_000, 4, "90 90 90"},
		{"too slow a tempo", rule(Earned, 1, 2, 5, 76), "", SetTempo{-1}, click.MinTempo, 4, "10 64"},
		{"too fast a tempo", rule(Earned, 1, 2, 5, 76), "", SetTempo{500_000}, click.MaxTempo, 4, "400 400"},
		{"two up begins anew", rule(TwoUpOneDown, 1, 2, 5, 92), "c", MoveRung{1}, click.BPM(76), 8, "76 84 80"},
		{"two up from a tempo between", rule(TwoUpOneDown, 1, 2, 5, 92), "c", SetTempo{74_000}, 74_000, 8, "74 76 84"},
		{"a leap begins anew", rule(Leap, 1, 2, 1, 76), "c", MoveRung{-2}, click.BPM(68), 4, "68 76 72 76"},
		{"a leap within the slow turn", rule(Leap, 1, 2, 2, 76), "c", MoveRung{1}, click.BPM(68), 4, "68 68 76 76 72"},
		{"an arch goes on up", rule(Arch, 1, 2, 3, 72), "c", MoveRung{1}, click.BPM(68), 3, "68 68 72 68"},
		{"an arch goes on down", rule(Arch, 1, 2, 3, 72), "cccccc", MoveRung{-1}, click.BPM(64), 3, "64 64 64"},
		{"and down from where it was moved up to", rule(Arch, 1, 2, 1, 80), "cccccc", MoveRung{1}, click.BPM(76), 5, "76 72 68 64"},
		{"a footing that was found stays", rule(Settle, 1, 2, 5, 76), "c", MoveRung{1}, click.BPM(72), 4, "72 76"},
		{"steady counts anew", rule(Steady, 1, 2, 2, 76), "c", MoveRung{1}, click.BPM(68), 4, "68 68 72"},
	} {
		p := newPlayer(tt.routine, false)
		climb(p, tt.verdicts)
		p.do(tt.move)
		if st := p.state.Standing; st.Tempo() != tt.tempo || len(st.Rungs) != tt.rungs {
			t.Errorf("%s: stands at %v on %v, want %v on %d rungs", tt.name, st.Tempo(), st.Rungs, tt.tempo, tt.rungs)
		}
		p.do(Stop{p.at(0)})
		cleans := strings.Repeat("c", len(strings.Fields(tt.then)))
		if got := climb(p, cleans); got != tt.then {
			t.Errorf("%s: cleans then sound at\n  %s, want\n  %s", tt.name, got, tt.then)
		}
	}
}

// After a proposal of a smaller chunk the roughs are counted anew, and a clean
// takes it back.
func TestTheProposalOfASmallerChunk(t *testing.T) {
	for _, tt := range []struct {
		routine  Routine
		verdicts string
		hard     bool
		rough    int
		tempo    int
	}{
		{rule(Earned, 3, 2, 5, 72), "r", false, 1, 64},
		{rule(Earned, 3, 2, 5, 72), "rr", true, 0, 64},
		{rule(Earned, 3, 2, 5, 72), "rrr", true, 1, 64},
		{rule(Earned, 3, 2, 5, 72), "rrc", false, 0, 64},
		{rule(Earned, 3, 2, 5, 72), "rr.", true, 0, 64},
		{rule(Earned, 1, 2, 5, 72), "crr", false, 0, 64},
		{rule(Settle, 3, 2, 5, 72), "r", true, 0, 60},
		{rule(Settle, 1, 2, 5, 72), "ccrr", false, 0, 68},
		{rule(Leap, 3, 2, 2, 76), "rr", true, 0, 64},
		{rule(Leap, 3, 2, 1, 76), "ccrr", false, 0, 64},
		{rule(TwoUpOneDown, 1, 2, 5, 76), "crr", false, 0, 68},
		{rule(TwoUpOneDown, 1, 2, 5, 76), "rr", true, 0, 64},
		{rule(Arch, 1, 2, 2, 72), "r", false, 1, 64},
		{rule(Arch, 1, 2, 2, 72), "rr", true, 2, 64},
	} {
		p := newPlayer(tt.routine, false)
		climb(p, tt.verdicts)
		st := p.state.Standing
		if st.TooHard != tt.hard || st.RoughRun != tt.rough || st.Tempo() != click.BPM(tt.tempo) {
			t.Errorf("%v after %q: too hard %v, %d rough, at %v; want %v, %d, at %d",
				tt.routine.Steps[0].Rule, tt.verdicts, st.TooHard, st.RoughRun, st.Tempo(), tt.hard, tt.rough, tt.tempo)
		}
	}
	// At 10 bpm there is no rung below.
	r := rule(Settle, 2, 2, 5, 72)
	r.Steps[0].Tempo.From = click.MinTempo
	p := newPlayer(r, false)
	climb(p, "r")
	if st := p.state.Standing; !st.TooHard || st.Tempo() != click.MinTempo || st.RoughRun != 1 {
		t.Errorf("at 10 bpm: %+v", st)
	}
	if got, want := p.state.Advice().Line, "still rough at 10: cut the chunk?"; got != want {
		t.Errorf("at 10 bpm it says %q", got)
	}
}

// The round holds the verdicts of the rung's turn, and then begins anew.
func TestTheRoundOfARung(t *testing.T) {
	for _, tt := range []struct {
		routine  Routine
		verdicts string
		want     string
		reps, of int
		turn     int
	}{
		{rule(Earned, 9, 9, 2, 72), "c", "[clean]", 1, 0, 2},
		{rule(Earned, 9, 9, 2, 72), "cr", "[clean rough]", 2, 0, 2},
		{rule(Earned, 9, 9, 2, 72), "cr.", "[unjudged]", 3, 0, 2},
		{rule(Steady, 9, 9, 3, 72), "cs", "[clean skip]", 1, 3, 3},
		{rule(Arch, 9, 9, 3, 72), "...c", "[clean]", 1, 2, 2},
		{rule(Arch, 9, 9, 2, 80), "...", "[]", 0, 1, 1},
		{rule(Arch, 9, 9, 2, 80), "....", "[]", 0, 1, 1},
		{rule(Leap, 9, 9, 3, 80), "rc", "[rough clean]", 1, 3, 3},
		{rule(Leap, 9, 9, 3, 80), "cccr", "[rough]", 1, 3, 3},
	} {
		p := newPlayer(tt.routine, false)
		climb(p, tt.verdicts)
		reps, of := p.state.Counted()
		if got := fmt.Sprint(p.state.Standing.Round); got != tt.want || reps != tt.reps || of != tt.of || p.state.Turn() != tt.turn {
			t.Errorf("%v after %q: %s, %d of %d in a turn of %d; want %s, %d of %d in %d",
				tt.routine.Steps[0].Rule, tt.verdicts, got, reps, of, p.state.Turn(), tt.want, tt.reps, tt.of, tt.turn)
		}
	}
	p := newPlayer(rule(Steady, 1, 1, 3, 72), false)
	p.do(SetTempo{66_000})
	climb(p, "cc")
	if reps, of := p.state.Counted(); reps != 2 || of != 0 {
		t.Errorf("at a tempo set by hand: %d of %d", reps, of)
	}
}

// Another version of the step keeps the tempo, or the rung below it, and what was
// counted only where the ladder, the rule, the chunk and the reps are as they were.
func TestAnotherVersionOfTheStep(t *testing.T) {
	for _, tt := range []struct {
		name    string
		change  func(*Step)
		tempo   click.Tempo
		counted bool
	}{
		{"another breath", func(s *Step) { s.Breath = 1 }, click.BPM(68), true},
		{"other dynamics", func(s *Step) { *s = s.WithMark(17, 0, 0, click.Piano) }, click.BPM(68), true},
		{"another chunk", func(s *Step) { *s = s.Narrower() }, click.BPM(68), false},
		{"other reps", func(s *Step) { s.Reps = 7 }, click.BPM(68), false},
		{"another rule", func(s *Step) { s.Rule.Clean = 4 }, click.BPM(68), false},
		{"another goal", func(s *Step) { s.Tempo.Goal = click.BPM(80) }, click.BPM(68), false},
		{"other rungs", func(s *Step) { s.Tempo.By.Amount = 3000 }, click.BPM(67), false},
		{"a higher start", func(s *Step) { s.Tempo.From = click.BPM(72) }, click.BPM(72), false},
		{"a lower goal", func(s *Step) { s.Tempo.Goal = click.BPM(66) }, click.BPM(66), false},
	} {
		for _, replan := range []bool{false, true} {
			p := newPlayer(rule(Earned, 2, 2, 5, 104), false)
			climb(p, "ccc")
			step := p.state.Step()
			tt.change(&step)
			if replan {
				p.do(Replan{Routine{Name: "Morning runs", Steps: []Step{step}}})
				if p.revised != 0 {
					t.Errorf("%s: a file that was read is worth saving", tt.name)
				}
			} else {
				p.do(Revise{step})
			}
			st := p.state.Standing
			if st.Tempo() != tt.tempo || (st.CleanRun == 1) != tt.counted || st.Played > 1 {
				t.Errorf("%s, of the routine %v: at %v with %d clean", tt.name, replan, st.Tempo(), st.CleanRun)
			}
			before := st
			p.do(Judge{Clean, p.at(0)}) // taken back
			if moved := p.state.Standing.CleanRun != before.CleanRun; moved != tt.counted {
				t.Errorf("%s, of the routine %v: a verdict on the rep before moves it to %+v", tt.name, replan, p.state.Standing)
			}
		}
	}
}
