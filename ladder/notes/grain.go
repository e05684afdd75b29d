package notes

import (
	"footing/audio/click"
	"footing/ladder"
)

// PerBeat is the least number of even slots a beat that every note of the step's
// chunk begins on; 0 where there are none up to [click.MaxSlots], or no notes.
func (n *Notes) PerBeat(s ladder.Step) int {
	begin := n.Chunk(s).Begin
	if len(begin) == 0 {
		return 0
	}
	for per := 1; per <= click.MaxSlots; per++ {
		fits := true
		for _, i := range begin {
			fits = fits && n.All[i].From.Times(int64(per)).Den() == 1
		}
		if fits {
			return per
		}
	}
	return 0
}
