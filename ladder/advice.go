package ladder

import (
	"fmt"

	"footing/audio/click"
)

// Advice is the one or two lines that tell the player where they stand.
type Advice struct {
	Line string // where they stand
	Next string // what comes next, may be empty
}

// Advice puts the standing into words.
func (s State) Advice() Advice {
	step, st := s.Step(), s.Standing
	a := Advice{Line: s.line(step)}
	switch {
	case st.TooHard:
		a.Next = "halve it: may help more than slower"
	case s.StepAt+1 < len(s.Routine.Steps):
		a.Next = "next: " + s.Routine.Steps[s.StepAt+1].Name
	}
	return a
}

func (s State) line(step Step) string {
	st := s.Standing
	switch {
	case s.over() && s.lastWord() != Unjudged:
		return fmt.Sprintf("last rep: %s — routine done", s.lastWord())
	case s.over():
		return "routine done"
	case st.Done:
		return fmt.Sprintf("the goal, %s, is reached", st.Goal())
	case st.TooHard:
		return fmt.Sprintf("still rough at %s: cut the chunk?", s.roughAt())
	case st.ByHand != 0:
		return s.byHandLine(step)
	}
	switch step.Rule.Kind {
	case Steady:
		return fmt.Sprintf("%d of %s, then %s", st.Count, plural(step.Reps, "rep"), s.upwards())
	case Arch:
		return fmt.Sprintf("%d of %s, then %s", st.Count, plural(st.turn(step), "rep"), s.archwards())
	case Leap:
		return s.leapLine(step)
	case Settle:
		if !st.Settled {
			return s.settleLine(step)
		}
	}
	return s.earnedLine(step)
}

// lastWord is the verdict given to the last rep after the click has ended.
func (s State) lastWord() Verdict {
	if n := len(s.open); n > 0 && !s.Running {
		return s.open[n-1].verdict
	}
	return Unjudged
}

// byHandLine tells how a tempo that was set by hand is left again.
func (s State) byHandLine(step Step) string {
	st := s.Standing
	i, ok := st.above()
	if !ok || step.Rule.Kind.counts() {
		return fmt.Sprintf("%s by hand, for as long as you like", st.ByHand)
	}
	if st.RoughRun > 0 {
		return s.earnedLine(step)
	}
	up := step.Rule.Clean - st.CleanRun
	return fmt.Sprintf("%s by hand — %d clean %s to %s", st.ByHand, up, verb(up, "climb"), st.Rungs[i])
}

func (s State) earnedLine(step Step) string {
	st := s.Standing
	up, down := step.Rule.Clean-st.CleanRun, step.Rule.Rough-st.RoughRun
	switch {
	case st.CleanRun > 0:
		return fmt.Sprintf("%d clean in a row — %d more %s", st.CleanRun, up, s.climbs(up))
	case st.RoughRun > 0:
		lower := verb(down, "propose") + " a smaller chunk"
		if i, ok := st.below(); ok {
			lower = verb(down, "go") + " down to " + st.Rungs[i].String()
		}
		return fmt.Sprintf("%d rough — %d more %s", st.RoughRun, down, lower)
	}
	return fmt.Sprintf("%d clean in a row %s", up, s.climb(up))
}

func (s State) settleLine(step Step) string {
	st := s.Standing
	if st.CleanRun > 0 {
		return fmt.Sprintf("%d clean in a row — %d more and this is the footing", st.CleanRun, step.Rule.Clean-st.CleanRun)
	}
	return fmt.Sprintf("looking for the footing: %d clean in a row, or one rough goes down", step.Rule.Clean)
}

func (s State) leapLine(step Step) string {
	st := s.Standing
	if !st.Turned && st.Rung == len(st.Rungs)-1 {
		return fmt.Sprintf("at the goal: %d of %s, then the step is done", st.Count, plural(step.Reps, "rep"))
	}
	if st.Turned {
		return fmt.Sprintf("at the goal: %d of %s, then back to %s", st.Count, plural(step.Reps, "rep"), st.Rungs[min(st.Slow+1, len(st.Rungs)-1)])
	}
	return fmt.Sprintf("%d of %s, then a leap to %s", st.Count, plural(step.Reps, "rep"), st.Goal())
}

// roughAt is the rung on which the chunk was last found too hard: under settle
// the player has gone one below it since.
func (s State) roughAt() click.Tempo {
	if st := s.Standing; s.Step().Rule.Kind == Settle && !st.Settled && st.Rung+1 < len(st.Rungs) && st.RoughRun == 0 {
		return st.Rungs[st.Rung+1]
	}
	return s.Standing.Tempo()
}

func (s State) archwards() string {
	st := s.Standing
	top := len(st.Rungs) - 1
	switch {
	case !st.Turned && st.Rung < top:
		return "up to " + st.Rungs[st.Rung+1].String()
	case st.Rung == 0:
		return "the arch is done"
	}
	return "down to " + st.Rungs[st.Rung-1].String()
}

// upwards, climb and climbs say what a completed rung leads to.
func (s State) upwards() string {
	if i, ok := s.next(); ok {
		return "up to " + s.Standing.Rungs[i].String()
	}
	return "the step is done"
}

func (s State) climb(n int) string {
	if i, ok := s.next(); ok {
		return verb(n, "climb") + " to " + s.Standing.Rungs[i].String()
	}
	return "and the goal is reached"
}

func (s State) climbs(n int) string {
	if i, ok := s.next(); ok {
		return verb(n, "climb") + " to " + s.Standing.Rungs[i].String()
	}
	return "and the goal is reached"
}

// next is the rung that cleans in a row lead to.
func (s State) next() (int, bool) {
	st := s.Standing
	i, ok := st.above()
	if s.Step().Rule.Kind == TwoUpOneDown && ok {
		if st.Turned {
			return st.below()
		}
		return min(i+1, len(st.Rungs)-1), true
	}
	return i, ok
}

// verb is the form of a verb that goes with n of something.
func verb(n int, word string) string {
	switch {
	case n != 1:
		return word
	case word == "go":
		return "goes"
	}
	return word + "s"
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
