package ladder

import (
	"fmt"

	"footing/ladder/counted"
)

// steady climbs after the step's reps, whatever the verdicts.
type steady struct {
	anyRule
	reps int // that count on the rung
}

func (c steady) rep(s Standing, step Step, _ Verdict) Standing {
	c.reps++
	if c.reps < step.Reps {
		return s.on(c)
	}
	return s.up()
}

func (steady) fresh() course                      { return steady{} }
func (c steady) moved() course                    { return c }
func (c steady) counted() int                     { return c.reps }
func (c steady) resume(Standing, Bookmark) course { return c }

func (c steady) line(s State, step Step) string {
	return fmt.Sprintf("%d of %s, then %s", c.reps, counted.Of(step.Reps, "rep"), s.upwards())
}
