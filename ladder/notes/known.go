package notes

import (
	"footing/audio/click"
	"footing/ladder"
)

// Begins are where the notes begin, as [ladder.Step.Begins]: those of a chord once.
func (n *Notes) Begins() []click.Beats {
	var out []click.Beats
	for _, note := range n.All {
		if last := len(out) - 1; last < 0 || out[last].Less(note.From) {
			out = append(out, note.From)
		}
	}
	return out
}

// Known is the step, whose notes these are, as one whose notes are known: its angles
// go by them.
func (n *Notes) Known(s ladder.Step) ladder.Step {
	s.Begins = n.Begins()
	return s
}
