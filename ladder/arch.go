package ladder

import (
	"fmt"

	"footing/ladder/counted"
)

// arch gives each rung up one rep fewer than the one below, plays the top
// once round, and comes down again with a rep more on each (Stees bassoon
// column, "The Pyramid", 29 March 2015). A rough is played again.
type arch struct {
	anyRule
	reps int  // that count on the rung
	down bool // on the way down
}

func (c arch) rep(s Standing, step Step, v Verdict) Standing {
	if v == Rough {
		s.TooHard = s.RoughRun >= step.Rule.Rough
		return s
	}
	c.reps++
	if c.reps < c.turn(s, step) {
		return s.on(c)
	}
	c.down = c.down || s.Rung == s.top()
	s = s.on(c)
	switch {
	case !c.down:
		return s.to(s.Rung + 1)
	case s.Rung == 0:
		return s.finish()
	}
	return s.to(s.Rung - 1)
}

// turn is at least one rep.
func (arch) turn(s Standing, step Step) int { return max(1, step.Reps-s.Rung) }

func (c arch) fresh() course { return arch{down: c.down} }

// moved goes on in the direction it had.
func (c arch) moved() course { return c }
func (c arch) counted() int  { return c.reps }

func (c arch) line(s State, step Step) string {
	st := s.Standing
	var then string
	switch {
	case !c.down && st.Rung < st.top():
		then = "up to " + st.Rungs[st.Rung+1].String()
	case st.Rung == 0:
		then = "the arch is done"
	default:
		then = "down to " + st.Rungs[st.Rung-1].String()
	}
	return fmt.Sprintf("%d of %s, then %s", c.reps, counted.Of(c.turn(st, step), "rep"), then)
}

func (c arch) keep(_ Standing, b *Bookmark)       { b.Down = c.down }
func (arch) resume(_ Standing, b Bookmark) course { return arch{down: b.Down} }
