package ladder

import (
	"fmt"

	"footing/audio/click"
)

// settle goes down at each rough, below the lowest rung if need be, until the
// footing is found; then it is earned.
type settle struct {
	anyRule
	found bool // the footing
}

func (c settle) rep(s Standing, step Step, v Verdict) Standing {
	switch {
	case c.found:
		return s.inARow(step, v)
	case v == Clean && s.CleanRun >= step.Rule.Clean:
		s.Footing = s.Tempo()
		return s.on(settle{found: true}).up()
	case v == Rough:
		return s.settleDown(step)
	}
	return s
}

// settleDown goes one rung down and makes a new one below the lowest. There it
// also proposes a smaller chunk: simplify by tempo first, then by length.
func (s Standing) settleDown(step Step) Standing {
	s, made, ok := s.lower(step.Tempo.By)
	if made || !ok {
		s.TooHard = true
	}
	return s
}

func (c settle) fresh() course { return c }
func (c settle) moved() course { return c }

func (c settle) line(s State, step Step) string {
	st := s.Standing
	switch {
	case c.found:
		return s.earnedLine(step)
	case st.CleanRun > 0:
		return fmt.Sprintf("%d clean in a row — %d more and this is the footing", st.CleanRun, step.Rule.Clean-st.CleanRun)
	}
	return fmt.Sprintf("looking for the footing: %d clean in a row, or one rough goes down", step.Rule.Clean)
}

// roughAt is the rung on which the chunk was last found too hard: while the
// footing is looked for, the player has gone one below it since.
func (c settle) roughAt(s Standing) click.Tempo {
	if !c.found && s.Rung < s.top() && s.RoughRun == 0 {
		return s.Rungs[s.Rung+1]
	}
	return s.Tempo()
}

func (c settle) keep(_ Standing, b *Bookmark)       { b.Settled = c.found }
func (settle) resume(_ Standing, b Bookmark) course { return settle{found: b.Settled} }
