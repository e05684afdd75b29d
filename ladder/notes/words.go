package notes

import (
	"fmt"

	"footing/ladder"
	"footing/ladder/passage"
)

// Change words the way from one note to the next as a player says it, by the
// written names: "from G to A". An octave is told from the same note again.
func Change(a, b passage.Pitch) string {
	from, to := a.Name(), b.Name()
	switch {
	case a == b:
		return fmt.Sprintf("from %s to the next %s", from, to)
	case from == to && a.Cents() < b.Cents():
		return fmt.Sprintf("from %s up to the next %s", from, to)
	case from == to:
		return fmt.Sprintf("from %s down to the next %s", from, to)
	}
	return fmt.Sprintf("from %s to %s", from, to)
}

// Words name what the step's chunk holds by its first note and its last, the landing
// left out: "G to B flat", "G" where there is one; empty where no note begins in it.
func (n *Notes) Words(s ladder.Step) string {
	var wants []Want
	for _, w := range n.Wants(s) {
		if !w.Landing {
			wants = append(wants, w)
		}
	}
	switch len(wants) {
	case 0:
		return ""
	case 1:
		return wants[0].Pitch.Name()
	}
	first, last := wants[0].Pitch, wants[len(wants)-1].Pitch
	if len(wants) == 2 {
		return Change(first, last)
	}
	return fmt.Sprintf("%s to %s", first.Name(), last.Name())
}

// Advice is [ladder.State.Advice]; what it proposes instead of a chunk that is too
// hard is named by its notes. Without notes, nil, it is the same.
func (n *Notes) Advice(s ladder.State) ladder.Advice {
	a := s.Advice()
	if n == nil || !s.Standing.TooHard {
		return a
	}
	if half := n.Words(s.Step().Halved()); half != "" {
		a.Next = "halve it: " + half
	}
	return a
}
