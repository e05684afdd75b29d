package ladder

import (
	"fmt"
	"slices"

	"footing/ladder/counted"
)

// leap gives the slow rung and the goal a round each in turn, the slow one
// climbing. A rough on the slow rung is played again; at the goal it is
// expected, and counts like any other.
type leap struct {
	anyRule
	reps   int  // that count on the rung
	atGoal bool // it is the goal's turn
	slow   int  // the slow rung, during the goal's turn
}

func (c leap) rep(s Standing, step Step, v Verdict) Standing {
	top := s.top()
	slow := !c.atGoal && s.Rung < top
	if slow && v == Rough {
		if s.RoughRun >= step.Rule.Rough {
			return s.down()
		}
		return s
	}
	c.reps++
	switch {
	case c.reps < step.Reps:
		return s.on(c)
	case slow:
		return s.on(leap{atGoal: true, slow: s.Rung}).to(top)
	case !c.atGoal || c.slow+1 >= top:
		return s.on(leap{}).finish()
	}
	return s.on(leap{}).to(c.slow + 1)
}

func (c leap) fresh() course { return leap{atGoal: c.atGoal, slow: c.slow} }
func (c leap) moved() course { return leap{reps: c.reps} }
func (c leap) counted() int  { return c.reps }

func (c leap) line(s State, step Step) string {
	st, of := s.Standing, counted.Of(step.Reps, "rep")
	switch {
	case c.atGoal:
		return fmt.Sprintf("at the goal: %d of %s, then back to %s", c.reps, of, st.Rungs[min(c.slow+1, st.top())])
	case st.Rung == st.top():
		return fmt.Sprintf("at the goal: %d of %s, then the step is done", c.reps, of)
	}
	return fmt.Sprintf("%d of %s, then a leap to %s", c.reps, of, st.Goal())
}

func (c leap) keep(s Standing, b *Bookmark) {
	if c.atGoal {
		b.Slow = s.Rungs[c.slow]
	}
}

func (leap) resume(s Standing, b Bookmark) course {
	if i, on := slices.BinarySearch(s.Rungs, b.Slow); on && s.Rung == s.top() && i < s.Rung {
		return leap{atGoal: true, slow: i}
	}
	return leap{}
}
