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
	default:
		if next := s.NextStep(); next >= 0 {
			a.Next = "next: " + s.Routine.Steps[next].Name
			if left := s.turn.left(s.Routine.Order); left != "" {
				a.Next += ", after " + left
			}
		}
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
		return fmt.Sprintf("still rough at %s: cut the chunk?", st.roughAt())
	case st.ByHand != 0:
		return s.byHandLine(step)
	}
	return st.course.line(s, step)
}

// lastWord is the verdict given to the last rep after the click has ended.
func (s State) lastWord() Verdict {
	n := len(s.open)
	if n == 0 || s.Running {
		return Unjudged
	}
	v, _ := s.open[n-1].spoken()
	return v
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

// roughAt is the rung on which the chunk was last found too hard.
func (s Standing) roughAt() click.Tempo {
	if c, ok := s.course.(settle); ok {
		return c.roughAt(s)
	}
	return s.Tempo()
}

// upwards and climb say what a completed rung leads to; climb goes with n
// cleans.
func (s State) upwards() string {
	st := s.Standing
	if i, ok := st.course.next(st); ok {
		return "up to " + st.Rungs[i].String()
	}
	return "the step is done"
}

func (s State) climb(n int) string {
	st := s.Standing
	if i, ok := st.course.next(st); ok {
		return verb(n, "climb") + " to " + st.Rungs[i].String()
	}
	return "and the goal is reached"
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
