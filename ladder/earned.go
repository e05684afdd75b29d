package ladder

import "fmt"

// earned climbs on cleans in a row and goes down on roughs in a row. What it
// counts stands in the runs of verdicts.
type earned struct{ anyRule }

func (earned) rep(s Standing, step Step, v Verdict) Standing { return s.inARow(step, v) }
func (c earned) fresh() course                               { return c }
func (c earned) moved() course                               { return c }
func (c earned) resume(Standing, Bookmark) course            { return c }
func (earned) line(s State, step Step) string                { return s.earnedLine(step) }

// inARow moves up and down on runs of verdicts.
func (s Standing) inARow(step Step, v Verdict) Standing {
	switch {
	case v == Clean && s.CleanRun >= step.Rule.Clean:
		return s.up()
	case v == Rough && s.RoughRun >= step.Rule.Rough:
		return s.down()
	}
	return s
}

func (s State) earnedLine(step Step) string {
	st := s.Standing
	up, down := step.Rule.Clean-st.CleanRun, step.Rule.Rough-st.RoughRun
	switch {
	case st.CleanRun > 0:
		return fmt.Sprintf("%d clean in a row — %d more %s", st.CleanRun, up, s.climb(up))
	case st.RoughRun > 0:
		lower := verb(down, "propose") + " a smaller chunk"
		if i, ok := st.below(); ok {
			lower = verb(down, "go") + " down to " + st.Rungs[i].String()
		}
		return fmt.Sprintf("%d rough — %d more %s", st.RoughRun, down, lower)
	}
	return fmt.Sprintf("%d clean in a row %s", up, s.climb(up))
}
