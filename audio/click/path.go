package click

import "slices"

// Path is another way through the slots of a chunk: in which order they come and how
// long each of them lasts. The zero value takes them as they stand.
//
// Cells are shared between copies and not written to.
type Path struct {
	// Lead is how long after its own place the chunk begins, 0 or more: so a path
	// moves a chunk off the beat.
	Lead  Beats
	Cells []Cell // none where slots stay as they are
}

// Cell is a slot as a path takes it.
type Cell struct {
	Slot   int   // which of the chunk's, from 0; −1 for a rest
	Length Beats // above 0
	// Accent is struck f. Where a path has accents nothing else is.
	Accent bool
	// Slurred is bound to the cell before it; where Tongued none is, as marked.
	Slurred, Tongued bool
}

// Between is the [Stroke.Cell] of a stroke in a chunk on which no cell of its path
// begins.
const Between = -1

// None reports whether slots stay as they are.
func (p Path) None() bool { return len(p.Cells) == 0 }

// Length is how long the cells last together.
func (p Path) Length() Beats {
	var sum Beats
	for _, c := range p.Cells {
		sum = sum.Add(c.Length)
	}
	return sum
}

// Share is a slot of a chunk, as far as the chunk reaches.
type Share struct {
	At, Length Beats // from the chunk's start
	Slot       int   // its index in its beat, from 0
}

// Shares are the slots of a chunk in order: they follow each other without a gap
// from its start to its end. Where it begins within a slot, that is the first.
func (c Chunk) Shares(s Slots) []Share {
	var out []Share
	from := c.At.Sub(Whole(c.At.Floor()))
	to := from.Add(c.Length)
	for beat := 0; Whole(beat).Less(to); beat++ {
		for i := range s.Count() {
			at, end := Whole(beat).Add(s.At(i)), Whole(beat).Add(s.At(i+1))
			if at.Less(from) {
				at = from
			}
			if to.Less(end) {
				end = to
			}
			if at.Less(end) {
				out = append(out, Share{at.Sub(from), end.Sub(at), i})
			}
		}
	}
	return out
}

// along lets the strokes of a rep, in order, follow the loop's path from the place
// where its chunk begins: those of the pulse stay, a cell has one, and what else lies there
// goes.
func (l Loop) along(strokes []Stroke, from Beats) []Stroke {
	accents := slices.ContainsFunc(l.Path.Cells, func(c Cell) bool { return c.Accent })
	for i := range strokes {
		s := &strokes[i]
		if s.Part != InChunk {
			continue
		}
		s.Cell = Between
		if accents && s.Dynamics == Forte {
			s.Dynamics, s.Voice = MezzoForte, BeatVoice
		}
	}
	at := from
	for i, c := range l.Path.Cells {
		if c.Slot >= 0 {
			var k int
			strokes, k = l.cellAt(strokes, at)
			strokes[k].Cell = i + 1
			if c.Accent && strokes[k].Dynamics != Silent {
				strokes[k].Dynamics, strokes[k].Voice = Forte, AccentVoice
			}
		}
		at = at.Add(c.Length)
	}
	return slices.DeleteFunc(strokes, func(s Stroke) bool {
		return s.Part == InChunk && s.Cell == Between && !l.pulsed(s)
	})
}

// cellAt finds the stroke at a place, or puts one there: p, since it stands on no
// slot of the beat, and silent where the pulse alone sounds.
func (l Loop) cellAt(strokes []Stroke, at Beats) ([]Stroke, int) {
	i, found := slices.BinarySearchFunc(strokes, at, func(s Stroke, at Beats) int { return s.At.Cmp(at) })
	if found {
		return strokes, i
	}
	s := strokes[i-1] // every beat has a stroke on it
	s.At, s.Slot, s.Part = at, -1, InChunk
	s.Syllable = l.Count.At(l.Measures.Bar(s.Bar), at.Sub(Whole(at.Floor())), s.Beat)
	s.Cell, s.Dynamics, s.Voice, s.Rank = 0, Piano, SlotVoice, SlotRank
	if l.Pulse == Halved || l.Pulse == Offbeat {
		s.Dynamics = Silent
	}
	return slices.Insert(strokes, i, s), i
}

// pulsed reports whether a stroke is one of the pulse's, which a path leaves.
func (l Loop) pulsed(s Stroke) bool {
	half := s.At.Sub(Whole(s.At.Floor())) == Frac(1, 2)
	return s.Slot == 0 || half && (l.Pulse == Doubled || l.Pulse == Offbeat)
}
