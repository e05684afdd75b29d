package ladder

import (
	"footing/audio/click"
	"footing/ladder/hush"
)

// hushed is the next rep with what the step's hush leaves of it.
func (s State) hushed(step Step, p click.Phrase) click.Phrase {
	return step.Hush.Rep(p, hush.Place{
		Rung: s.Standing.Rung, Rungs: len(s.Standing.Rungs), Rep: s.numbers, Unit: step.Unit, Slots: step.Slots,
	})
}
