package journal

import (
	"cmp"
	"slices"

	"footing/ladder"
)

// Meet makes the steps of a routine known to the book, and returns what is to be
// kept of that. A step that the routine did not have goes on with the history
//
//   - of a step that the routine had and has no more, when that was of the same
//     passage: it was renamed;
//   - or of a step of another routine, of the same name and passage, or else of
//     the same passage of a piece: the routine was copied, moved, or given by
//     somebody else.
//
// No two steps of a routine share one.
func (b *Book) Meet(routine string, steps []ladder.Step) []Entry {
	var out []Entry
	keep := func(e Entry) {
		b.Apply(e)
		out = append(out, e)
	}
	here := map[string]bool{}
	for _, s := range steps {
		here[s.Name] = true
	}
	taken := map[*history]bool{}
	for _, own := range []bool{true, false} { // those that bear its name first
		for _, s := range steps {
			p := Place{routine, s.Name}
			h := b.of[p]
			switch {
			case h == nil || (h.Place == p) != own:
			case taken[h]:
				keep(Entry{Fresh: &Fresh{p}})
				taken[b.of[p]] = true
			default:
				taken[h] = true
			}
		}
	}
	for _, s := range steps {
		p := Place{routine, s.Name}
		if b.of[p] == nil {
			if from, ok := b.heir(p, s, here, taken); ok {
				keep(Entry{Same: &Same{Place: p, As: from, Moved: from.Routine == routine}})
			}
			taken[b.at(p)] = true
		}
		h := b.of[p]
		if !h.about(s) || h.Goal != s.Tempo.Goal || h.Place != p {
			keep(Entry{Met: &Met{p, s.Passage.Piece, s.Passage.From, s.Passage.To, s.Tempo.Goal}})
		}
	}
	return out
}

// heir is the place whose history the step at p, which has none, goes on with.
func (b *Book) heir(p Place, s ladder.Step, here map[string]bool, taken map[*history]bool) (Place, bool) {
	type candidate struct {
		Place
		*history
	}
	var all []candidate
	for from, h := range b.of {
		gone := from.Routine == p.Routine && !here[from.Step]
		joins := from.Routine != p.Routine && (from.Step == p.Step || s.Passage.Piece != "")
		if !taken[h] && h.about(s) && (gone || joins) {
			all = append(all, candidate{from, h})
		}
	}
	if len(all) == 0 {
		return Place{}, false
	}
	last := func(yes bool) int {
		if yes {
			return 0
		}
		return 1
	}
	best := slices.MinFunc(all, func(x, y candidate) int {
		return cmp.Or(
			cmp.Compare(last(x.Routine == p.Routine), last(y.Routine == p.Routine)),
			cmp.Compare(last(x.Step == p.Step), last(y.Step == p.Step)),
			cmp.Compare(last(x.Goal == s.Tempo.Goal), last(y.Goal == s.Tempo.Goal)),
			cmp.Compare(y.Last, x.Last), y.LeftAt.Compare(x.LeftAt),
			cmp.Compare(x.Routine, y.Routine), cmp.Compare(x.Step, y.Step),
		)
	})
	return best.Place, true
}
