package ladder

import (
	"fmt"
	"testing"

	"footing/audio/click"
)

// What the Stand says after some reps: where the player stands, and what comes
// next.
func TestAdvice(t *testing.T) {
	hand := func(bpm int) Event { return SetTempo{click.BPM(bpm)} }
	for _, tt := range []struct {
		routine  Routine
		by       Event // by hand, before the reps; nil for none
		verdicts string
		want     string
	}{
		{rule(Steady, 3, 2, 3, 72), nil, "", "0 of 3 reps, then up to 68"},
		{rule(Steady, 3, 2, 1, 72), nil, ".", "0 of 1 rep, then up to 72"},
		{rule(Steady, 3, 2, 2, 64), nil, ".", "1 of 2 reps, then the step is done"},
		{rule(Earned, 3, 2, 5, 72), nil, "", "3 clean in a row climb to 68"},
		{rule(Earned, 1, 2, 5, 72), nil, "", "1 clean in a row climbs to 68"},
		{rule(Earned, 3, 2, 5, 64), nil, "", "3 clean in a row and the goal is reached"},
		{rule(Earned, 3, 2, 5, 64), nil, "cc", "2 clean in a row — 1 more and the goal is reached"},
		{rule(Earned, 3, 3, 5, 72), nil, "cccr", "1 rough — 2 more go down to 64"},
		{rule(Earned, 3, 3, 5, 72), nil, "cccrr", "2 rough — 1 more goes down to 64"},
		{rule(Earned, 3, 3, 5, 72), nil, "r", "1 rough — 2 more propose a smaller chunk"},
		{rule(Earned, 3, 2, 5, 72), nil, "r", "1 rough — 1 more proposes a smaller chunk"},
		{rule(Earned, 3, 2, 5, 72), nil, "rr", "still rough at 64: cut the chunk?"},
		{rule(Earned, 3, 2, 5, 72), nil, "rrc", "1 clean in a row — 2 more climb to 68"},
		{rule(Earned, 3, 2, 5, 72), nil, "rrs", "still rough at 64: cut the chunk?"},
		{rule(Earned, 1, 2, 5, 68), nil, "cc", "the goal, 68, is reached"},
		{rule(Settle, 3, 2, 5, 72), nil, "", "looking for the footing: 3 clean in a row, or one rough goes down"},
		{rule(Settle, 3, 2, 5, 72), nil, "cc", "2 clean in a row — 1 more and this is the footing"},
		{rule(Settle, 3, 2, 5, 72), nil, "ccc", "3 clean in a row climb to 72"},
		{rule(Settle, 3, 2, 5, 72), nil, "cccr", "1 rough — 1 more goes down to 64"},
		{rule(Settle, 3, 2, 5, 72), nil, "r", "still rough at 64: cut the chunk?"},
		{rule(Settle, 3, 2, 5, 72), nil, "rc", "1 clean in a row — 2 more and this is the footing"},
		{rule(Settle, 3, 2, 5, 72), MoveRung{1}, "r", "looking for the footing: 3 clean in a row, or one rough goes down"},
		{rule(TwoUpOneDown, 1, 2, 5, 80), nil, "", "1 clean in a row climbs to 72"},
		{rule(TwoUpOneDown, 2, 2, 5, 80), nil, "cc", "2 clean in a row climb to 68"},
		{rule(TwoUpOneDown, 2, 2, 5, 68), nil, "c", "1 clean in a row — 1 more climbs to 68"},
		{rule(TwoUpOneDown, 1, 2, 5, 68), nil, "c", "1 clean in a row and the goal is reached"},
		{rule(Leap, 3, 2, 2, 76), nil, ".", "1 of 2 reps, then a leap to 76"},
		{rule(Leap, 3, 2, 2, 76), nil, "..", "at the goal: 0 of 2 reps, then back to 68"},
		{rule(Leap, 3, 2, 2, 76), nil, "...r", "0 of 2 reps, then a leap to 76"},
		{rule(Leap, 3, 2, 2, 64), nil, ".", "at the goal: 1 of 2 reps, then the step is done"},
		{rule(Leap, 3, 2, 2, 72), nil, "..", "at the goal: 0 of 2 reps, then back to 68"},
		{rule(Leap, 3, 2, 2, 68), nil, "..", "at the goal: 0 of 2 reps, then back to 68"},
		{rule(Arch, 3, 2, 3, 72), nil, ".", "1 of 3 reps, then up to 68"},
		{rule(Arch, 3, 2, 3, 72), nil, "...", "0 of 2 reps, then up to 72"},
		{rule(Arch, 3, 2, 3, 72), nil, ".....", "0 of 1 rep, then down to 68"},
		{rule(Arch, 3, 2, 3, 72), nil, "......", "0 of 2 reps, then down to 64"},
		{rule(Arch, 3, 2, 3, 72), nil, "........", "0 of 3 reps, then the arch is done"},
		{rule(Arch, 3, 2, 3, 72), nil, "r", "0 of 3 reps, then up to 68"},
		{rule(Arch, 3, 2, 3, 72), nil, "rr", "still rough at 64: cut the chunk?"},
		{rule(Arch, 3, 2, 3, 72), nil, "rr.", "still rough at 64: cut the chunk?"},
		{rule(Arch, 3, 2, 3, 72), nil, "rrc", "1 of 3 reps, then up to 68"},
		{rule(Arch, 3, 2, 3, 64), nil, "", "0 of 3 reps, then the arch is done"},
		{rule(Earned, 3, 2, 5, 72), hand(66), "", "66 by hand — 3 clean climb to 68"},
		{rule(Earned, 3, 2, 5, 72), hand(66), "cc", "66 by hand — 1 clean climbs to 68"},
		{rule(Earned, 3, 2, 5, 72), hand(66), "r", "1 rough — 1 more goes down to 64"},
		{rule(Earned, 3, 2, 5, 72), hand(80), "r", "80 by hand, for as long as you like"},
		{rule(Steady, 3, 2, 5, 72), hand(66), ".....", "66 by hand, for as long as you like"},
		{rule(Earned, 3, 2, 5, 72), hand(68), "", "3 clean in a row climb to 72"},
	} {
		name := fmt.Sprintf("%v to %v after %v and %q", tt.routine.Steps[0].Rule, tt.routine.Steps[0].Tempo.Goal, tt.by, tt.verdicts)
		p := newPlayer(tt.routine, false)
		if tt.by != nil {
			p.do(tt.by)
		}
		climb(p, tt.verdicts)
		if got := p.state.Advice().Line; got != tt.want {
			t.Errorf("%s it says\n  %q, want\n  %q", name, got, tt.want)
		}
	}
}

func TestAdviceNamesTheNextStep(t *testing.T) {
	r := rule(Earned, 3, 2, 5, 72)
	second := r.Steps[0]
	second.Name = "Slow sixteenths"
	r.Steps = append(r.Steps, second)
	p := newPlayer(r, false)
	for _, tt := range []struct {
		verdicts, want string
		step           int
	}{
		{"c", "next: Slow sixteenths", 0},
		{"rr", "halve it: may help more than slower", 0},
		{"c", "", 1},
	} {
		p.do(GoTo{Step: tt.step})
		climb(p, tt.verdicts)
		if got := p.state.Advice().Next; got != tt.want {
			t.Errorf("on step %d after %q it says %q, want %q", tt.step, tt.verdicts, got, tt.want)
		}
	}
}

// A routine that is over says so, with the last rep's verdict once there is one.
func TestAdviceAtTheEnd(t *testing.T) {
	for _, tt := range []struct {
		handsFree bool
		say       Event
		want      string
	}{
		{false, nil, "routine done"},
		{false, Judge{Clean, Heard{}}, "last rep: clean — routine done"},
		{true, nil, "routine done"},
	} {
		p := newPlayer(rule(Steady, 1, 2, 1, 64), tt.handsFree)
		p.do(Start{})
		for p.next() {
			if p.state.Advice().Line == "routine done" && p.now.Kind == click.Rep {
				t.Error("it is done before the rep is")
			}
		}
		if tt.say != nil {
			p.do(tt.say)
		}
		if got := p.state.Advice().Line; got != tt.want {
			t.Errorf("hands free %v, after %v it says %q, want %q", tt.handsFree, tt.say, got, tt.want)
		}
	}
	// While its breath sounds nothing more is said of it.
	p := newPlayer(rule(Steady, 1, 2, 1, 64), false)
	climb(p, "c")
	if got := p.state.Advice().Line; got != "routine done" {
		t.Errorf("in the last breath it says %q", got)
	}
}
