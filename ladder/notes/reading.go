package notes

import (
	"cmp"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
)

// Reading is a rep of a step as it stands on a staff: written as it is in the
// passage, and read in the time and the order of the step's angle.
type Reading struct {
	Line passage.Line
	// From and To are where it begins and ends as written, as [Note.From].
	From, To click.Beats
	// Knots say when what is read is struck, in order. Between two of them, and
	// beyond the first and the last, time runs evenly.
	Knots []Knot
	// Written are, for each note of Line, its index in [Notes.Line].
	Written []int
}

// Knot is a place as read, as [Note.From], and as struck, as [Turn.At].
type Knot struct{ Read, Struck click.Beats }

// Reading is how a rep of the step is read. Of its line all is hidden between From
// and To that is not played: what comes before the landing, and after it. The step
// may differ from the one that the notes were found for as in [Notes.Tones].
func (n *Notes) Reading(s ladder.Step) Reading {
	w, loop := n.swing(s.Slots), s.Loop()
	from, to := n.ends(s)
	landing := click.Whole(to.Ceil())
	out := Reading{From: w.read(from), To: w.read(to)}
	if s.Chunk.Landing {
		out.To = landing.Add(click.Whole(1))
	}
	shares := s.Shares()
	if loop.Path.None() {
		begin := click.Whole(from.Floor())
		for beat := from.Floor(); beat <= out.To.Ceil(); beat++ {
			out.knots(w, beat, click.Whole(beat).Sub(begin))
		}
	} else {
		at, _ := loop.Extent()
		for i, cell := range loop.Path.Cells {
			out.knot(w.read(from.Add(shares[i].At)), at)
			at = at.Add(cell.Length)
		}
		out.knot(w.read(to), at)
		out.knots(w, landing.Floor(), loop.LandingAt())
		out.knot(landing.Add(click.Whole(1)), loop.LandingAt().Add(click.Whole(1)))
	}
	r := reader{Notes: n, step: s, swing: w, from: from, to: to, landing: landing, shares: shares, cells: loop.Path.Cells}
	out.Line, out.Written = r.line()
	return out
}

// knots are those of a beat.
func (r *Reading) knots(w swing, beat int, struck click.Beats) {
	r.knot(click.Whole(beat), struck)
	if w.even(beat) {
		r.knot(click.Whole(beat).Add(click.Frac(1, 2)), struck.Add(w.half))
	}
}

// knot appends a knot unless one is there.
func (r *Reading) knot(read, struck click.Beats) {
	k := Knot{read, struck}
	if last := len(r.Knots) - 1; last >= 0 && r.Knots[last] == k {
		return
	}
	r.Knots = append(r.Knots, k)
}

// reader writes the line of a reading.
type reader struct {
	*Notes
	step     ladder.Step
	swing    swing
	from, to click.Beats // of the chunk, as struck
	landing  click.Beats // the beat of it
	shares   []click.Share
	cells    []click.Cell
	out      []written
}

// written is a note of a reading.
type written struct {
	passage.Note
	index int         // in the notes' line
	at    click.Beats // where it is read
	cell  int         // that it is in, −1 for none
	first bool        // it is the first of its cell
}

func (r *reader) line() (passage.Line, []int) {
	moves := false // some slot is not in its own place
	for i, c := range r.cells {
		moves = moves || c.Slot != i
	}
	landed := r.landing
	if l := r.Chunk(r.step).Landing; len(l) > 0 {
		landed = r.All[l[0]].From
	}
	end := r.landing.Add(click.Whole(1))
	for k, note := range r.Line.Notes {
		at := r.placed(note)
		struck := r.swing.struck(at)
		inChunk := !struck.Less(r.from) && struck.Less(r.to)
		switch {
		case inChunk && len(r.cells) > 0:
			r.taken(k, note, struck, moves)
			continue
		case r.step.Chunk.Landing && !struck.Less(r.to) && struck.Less(end) && (at.Less(r.landing) || landed.Less(at)):
			note.Hidden = true
		}
		r.out = append(r.out, written{Note: note, index: k, at: at, cell: -1})
	}
	slices.SortStableFunc(r.out, func(a, b written) int { return cmp.Or(cmp.Compare(a.Bar, b.Bar), a.At.Cmp(b.At)) })
	r.marked(moves)
	line, indexes := r.Line, make([]int, len(r.out))
	line.Notes = make([]passage.Note, len(r.out))
	for i, w := range r.out {
		line.Notes[i], indexes[i] = w.Note, w.index
	}
	return line, indexes
}

// placed is where any note of the line lies, as [Note.From].
func (r *reader) placed(note passage.Note) click.Beats {
	known := r.All[0]
	since := r.Part.Onset(note).Sub(r.Part.Onset(r.Line.Notes[known.First]))
	return known.From.Add(passage.InBeats(since, r.unit))
}

// taken appends a note of the chunk for each cell that takes its slot.
func (r *reader) taken(k int, note passage.Note, struck click.Beats, moves bool) {
	within := struck.Sub(r.from)
	for i, cell := range r.cells {
		if cell.Slot < 0 {
			continue
		}
		share := r.shares[cell.Slot]
		if within.Less(share.At) || !within.Less(share.At.Add(share.Length)) {
			continue
		}
		to := r.swing.read(r.from.Add(r.shares[i].At).Add(scaled(within.Sub(share.At), share, click.Cell{Length: r.shares[i].Length})))
		w := written{Note: note, index: k, at: to, cell: i, first: within == share.At}
		if moves {
			// Its ties and brackets lead to what is elsewhere now, and what its sign holds for.
			w.TieFrom, w.TieTo, w.TupletMarks = false, false, nil
			if !w.Bracketed {
				w.Accidental = ""
			}
			by := passage.FromBeats(to.Sub(r.swing.read(struck)), r.unit)
			w.Bar, w.At = r.barAt(r.Part.Onset(note).Add(by))
		}
		r.out = append(r.out, w)
	}
}

// barAt is the bar that a place of the piece lies in, and where in it.
func (r *reader) barAt(at passage.Quarters) (int, passage.Quarters) {
	bars := r.Part.Bars
	i, found := slices.BinarySearchFunc(bars, at, func(b passage.Bar, at passage.Quarters) int { return b.Start.Cmp(at) })
	if !found {
		i = max(i-1, 0)
	}
	return i, at.Sub(bars[i].Start)
}

// marked gives the notes of the chunk the accents and slurs of their cells.
func (r *reader) marked(moves bool) {
	anew := moves // slurs are written anew
	for _, c := range r.cells {
		anew = anew || c.Slurred || c.Tongued
	}
	led := r.slurred()
	last := -1 // the note before, of those that begin one
	open := false
	for i := range r.out {
		w := &r.out[i]
		landing := len(r.cells) > 0 && r.lands(w)
		if w.cell < 0 && !landing {
			continue
		}
		if anew {
			w.Marks = slices.DeleteFunc(slices.Clone(w.Marks), func(m passage.Mark) bool {
				return m.Name == passage.MarkSlur && (w.cell >= 0 || m.Edge != passage.Start)
			})
		}
		if w.Kind == passage.Rest || w.Chord {
			continue
		}
		if w.cell >= 0 && w.first && w.Grace == passage.NoGrace && r.cells[w.cell].Accent && !w.Marked(passage.MarkAccent) {
			w.Marks = append(slices.Clone(w.Marks), passage.Mark{Name: passage.MarkAccent})
		}
		if !anew || w.TieFrom && w.Grace == passage.NoGrace { // what is tied to begins nothing
			continue
		}
		into := led[w.index]
		if w.cell >= 0 && w.first && w.Grace == passage.NoGrace {
			c := r.cells[w.cell]
			into = into && !c.Tongued || c.Slurred
		}
		into = into && last >= 0
		slur := func(i int, edge passage.Edge) {
			r.out[i].Marks = append(r.out[i].Marks, passage.Mark{Name: passage.MarkSlur, Edge: edge, Number: slurAnew})
		}
		switch {
		case into && !open:
			slur(last, passage.Start)
		case !into && open:
			slur(last, passage.Stop)
		}
		open, last = into, i
		if landing {
			break
		}
	}
	if open {
		r.out[last].Marks = append(r.out[last].Marks, passage.Mark{Name: passage.MarkSlur, Edge: passage.Stop, Number: slurAnew})
	}
}

// lands reports whether a note is of the landing.
func (r *reader) lands(w *written) bool {
	return r.step.Chunk.Landing && w.cell < 0 && !w.Hidden && !w.at.Less(r.landing) && w.at.Less(r.landing.Add(click.Whole(1)))
}

// slurAnew is the number of slurs that an angle makes: beyond those of files.
const slurAnew = 1 << 16
