package notes

import (
	"slices"

	"footing/audio/click"
	"footing/ladder"
)

// The edits of a chunk by notes. Each gives a step whose chunk begins where a note
// begins, and ends where one does or where the last one or the passage ends. One
// that cannot be made gives the step as it was.

// Narrower is the step with the last note of its chunk left out; the first stays.
func (n *Notes) Narrower(s ladder.Step) ladder.Step {
	n = n.Struck(s.Slots)
	edges := n.edges()
	i, k := span(edges, s, n)
	out, _ := n.between(s, edges, i, k-1)
	return out
}

// Wider is the step with one note more at the end of its chunk.
func (n *Notes) Wider(s ladder.Step) ladder.Step {
	n = n.Struck(s.Slots)
	edges := n.edges()
	i, k := span(edges, s, n)
	out, _ := n.between(s, edges, i, k+1)
	return out
}

// Moved is the step with its chunk moved by so many notes, holding as many as
// before.
func (n *Notes) Moved(s ladder.Step, by int) ladder.Step {
	n = n.Struck(s.Slots)
	edges := n.edges()
	i, k := span(edges, s, n)
	out, _ := n.between(s, edges, i+by, k+by)
	return out
}

// FromTo is the step with its chunk from one note to another, by their indexes in
// [Notes.All] and in any order, both of them in it.
func (n *Notes) FromTo(s ladder.Step, a, b int) ladder.Step {
	n = n.Struck(s.Slots)
	a, b = min(a, b), max(a, b)
	if a < 0 || b >= len(n.All) {
		return s
	}
	edges := n.edges()
	i, k := slices.Index(edges, n.All[a].From), slices.Index(edges, n.All[b].From)
	if i < 0 || k < 0 {
		return s
	}
	out, _ := n.between(s, edges, i, k+1)
	return out
}

// ToNextGroup is the step with its chunk from a note, by its index in
// [Notes.All], to the first note of the next group, on which it lands: the first
// that begins on a beat after it.
func (n *Notes) ToNextGroup(s ladder.Step, note int) ladder.Step {
	n = n.Struck(s.Slots)
	if note < 0 || note >= len(n.All) {
		return s
	}
	edges, from := n.edges(), n.All[note].From
	i := slices.Index(edges, from)
	if i < 0 {
		return s
	}
	for k := i + 1; k < len(edges); k++ {
		if edges[k].Den() == 1 || k == len(edges)-1 {
			out, ok := n.between(s, edges, i, k)
			if ok && edges[k] != n.measures.End() {
				out.Chunk.Landing = true
			}
			return out
		}
	}
	return s
}

// edges are where notes begin, in order and each once, and the end of the last.
// Places that a chunk cannot be cut at are not among them.
func (n *Notes) edges() []click.Beats {
	var out []click.Beats
	add := func(at click.Beats) {
		if at.Den() <= click.MaxDenominator && (len(out) == 0 || out[len(out)-1].Less(at)) {
			out = append(out, at)
		}
	}
	end := n.measures.Start()
	for _, note := range n.All {
		add(note.From)
		if end.Less(note.To) {
			end = note.To
		}
	}
	if n.measures.End().Less(end) {
		end = n.measures.End()
	}
	add(end)
	return out
}

// span is the edges that a step's chunk lies between: the last at its start or
// before it, and the first at its end or after it, a note later at least.
func span(edges []click.Beats, s ladder.Step, n *Notes) (i, k int) {
	from, to := n.ends(s)
	compare := func(a, b click.Beats) int { return a.Cmp(b) }
	i, found := slices.BinarySearchFunc(edges, from, compare)
	if !found {
		i = max(0, i-1)
	}
	k, _ = slices.BinarySearchFunc(edges, to, compare)
	return i, max(i+1, min(k, len(edges)-1))
}

// between is the step with its chunk from one edge to another; false where it is
// as it was.
func (n *Notes) between(s ladder.Step, edges []click.Beats, i, k int) (ladder.Step, bool) {
	if i < 0 || k >= len(edges) || k <= i {
		return s, false
	}
	out := s
	out.Chunk.Bar, out.Chunk.At = n.measures.Where(edges[i])
	out.Chunk.Length = edges[k].Sub(edges[i])
	if len(out.Check()) > 0 {
		return s, false
	}
	return out, true
}
