package notes

import (
	"footing/audio/click"
	"footing/ladder"
)

// Chunk is what a step's chunk holds of its notes, as indexes in [Notes.All]. Of
// each kind they follow each other.
type Chunk struct {
	// Held are the notes that begin before the chunk and sound into it.
	Held []int
	// Begin are those that begin in it.
	Begin []int
	// Landing are those of the landing: what begins first in the beat after the
	// chunk, where the step has a landing and a note begins there.
	Landing []int
}

// Slot is the time from one slot of a chunk to the next, as far as the chunk
// reaches.
type Slot struct {
	From, To click.Beats // as Note.From
	// Index is the slot's in its beat, from 0. Where a chunk begins within a slot it
	// is that slot's.
	Index int
	// Begin are the notes that begin in it, as indexes in [Notes.All].
	Begin []int
}

// Chunk is what the step's chunk holds. The step may differ in its chunk and its
// slots from the one that the notes were found for.
func (n *Notes) Chunk(s ladder.Step) Chunk {
	n = n.Struck(s.Slots)
	from, to := n.ends(s)
	out := Chunk{Begin: n.begin(from, to)}
	for i, note := range n.All {
		if note.From.Less(from) && from.Less(note.To) {
			out.Held = append(out.Held, i)
		}
	}
	if s.Chunk.Landing {
		beat := click.Whole(to.Ceil())
		for _, i := range n.begin(beat, beat.Add(click.Whole(1))) {
			if len(out.Landing) == 0 || n.All[i].From == n.All[out.Landing[0]].From {
				out.Landing = append(out.Landing, i)
			}
		}
	}
	return out
}

// Slots are the slots of the step's chunk in order: they follow each other without
// a gap from its start to its end.
func (n *Notes) Slots(s ladder.Step) []Slot {
	n = n.Struck(s.Slots)
	from, to := n.ends(s)
	var out []Slot
	for beat := from.Floor(); click.Whole(beat).Less(to); beat++ {
		for i := range s.Slots.Count() {
			slot := Slot{Index: i, From: click.Whole(beat).Add(s.Slots.At(i)), To: click.Whole(beat).Add(s.Slots.At(i + 1))}
			if slot.From.Less(from) {
				slot.From = from
			}
			if to.Less(slot.To) {
				slot.To = to
			}
			if slot.From.Less(slot.To) {
				slot.Begin = n.begin(slot.From, slot.To)
				out = append(out, slot)
			}
		}
	}
	return out
}

// ends are the places of a chunk's start and end.
func (n *Notes) ends(s ladder.Step) (from, to click.Beats) {
	from = n.measures.Place(s.Chunk.Bar, s.Chunk.At)
	return from, from.Add(s.Chunk.Length)
}

// begin are the notes that begin at from or after it, and before to.
func (n *Notes) begin(from, to click.Beats) []int {
	var out []int
	for i := n.from(from); i < len(n.All) && n.All[i].From.Less(to); i++ {
		out = append(out, i)
	}
	return out
}
