package notes

import (
	"footing/audio/click"
	"footing/ladder"
)

// Turn is a note of a rep: a note of the chunk, or of its landing, in its place as
// the step's angle takes it.
type Turn struct {
	Note       int         // its index in [Notes.All]
	At, Length click.Beats // from the rep's own places on; Length is above 0
	Landing    bool
	// Slurred is bound to the one before it by the angle, Tongued is not, whatever is
	// marked; with neither it is as marked.
	Slurred, Tongued bool
}

// Turns are the notes of a rep of the step in their order: those that begin in its
// chunk, as its angle takes them, and that of its landing. A note that lasts longer
// than its slot lasts for as long as the angle goes on through those after it. Where
// the slots are a swung pair, see [Notes.Struck].
func (n *Notes) Turns(s ladder.Step) []Turn {
	n = n.Struck(s.Slots)
	loop := s.Loop()
	start, end := loop.Extent()
	from, _ := n.ends(s)
	chunk := n.Chunk(s)
	var out []Turn
	if loop.Path.None() {
		for _, i := range chunk.Begin {
			out = append(out, Turn{Note: i, At: start.Add(n.All[i].From.Sub(from)), Length: n.All[i].To.Sub(n.All[i].From)})
		}
	} else {
		out = n.along(loop.Path, s.Shares(), from, start)
	}
	for _, i := range chunk.Landing {
		at := loop.LandingAt().Add(n.All[i].From.Sub(n.landsAt(s)))
		if at.Less(end) {
			continue
		}
		out = append(out, Turn{Note: i, At: at, Length: n.All[i].To.Sub(n.All[i].From), Landing: true})
	}
	return out
}

// landsAt is the place of the step's landing, as [Note.From].
func (n *Notes) landsAt(s ladder.Step) click.Beats {
	_, to := n.ends(s)
	return click.Whole(to.Ceil())
}

// along takes the notes of a chunk that begins at from along a path that begins at
// a place of the rep.
func (n *Notes) along(path click.Path, shares []click.Share, from, at click.Beats) []Turn {
	var out []Turn
	for i, cell := range path.Cells {
		if cell.Slot >= 0 && cell.Slot < len(shares) {
			share := shares[cell.Slot]
			begin := from.Add(share.At)
			for k, note := range n.begin(begin, begin.Add(share.Length)) {
				turn := Turn{Note: note, At: at.Add(scaled(n.All[note].From.Sub(begin), share, cell)), Slurred: cell.Slurred, Tongued: cell.Tongued}
				if k > 0 && n.All[note].From != n.All[n.begin(begin, begin.Add(share.Length))[0]].From {
					turn.Slurred, turn.Tongued = false, false // within the slot as marked
				}
				turn.Length = reach(path.Cells[i:], shares, at, n.All[note].To.Sub(from)).Sub(turn.At)
				if turn.Length.Sign() > 0 {
					out = append(out, turn)
				}
			}
		}
		at = at.Add(cell.Length)
	}
	return out
}

// reach is where a note ends that begins in the first of some cells, which begins at
// a place, and lasts to a place of the chunk.
func reach(cells []click.Cell, shares []click.Share, at, to click.Beats) click.Beats {
	for i, cell := range cells {
		share := shares[cell.Slot]
		end := share.At.Add(share.Length)
		if to.Cmp(end) <= 0 {
			return at.Add(scaled(to.Sub(share.At), share, cell))
		}
		at = at.Add(cell.Length)
		if i+1 == len(cells) || cells[i+1].Slot != cell.Slot+1 {
			break
		}
	}
	return at
}

// scaled is a length within a slot as it is within a cell.
func scaled(b click.Beats, share click.Share, cell click.Cell) click.Beats {
	if share.Length == cell.Length {
		return b
	}
	of := click.Frac(b.Num()*share.Length.Den(), b.Den()*share.Length.Num())
	return click.Frac(of.Num()*cell.Length.Num(), of.Den()*cell.Length.Den())
}
