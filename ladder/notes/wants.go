package notes

import (
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
)

// Want is what a player plays at one place of a rep: a note, or the notes of a
// chord, of which any will do.
type Want struct {
	// At is counted from the start of the rep, as [click.Stroke.At] is.
	At click.Beats
	// Bar is the number of the bar, and In where in it the note begins, from 0.
	Bar int
	In  click.Beats
	// Landing is true for the note of the step's landing.
	Landing bool
	// Notes are indexes in [Notes.All], the highest first.
	Notes []int
	// Pitch is that of the highest as written, and Sounds are the pitches that may be
	// heard here, the highest first, in cents with middle C at 6000.
	Pitch  passage.Pitch
	Sounds []int
	// Beside are pitches, in cents, that may be heard as well, from the note before on
	// to the next one: grace notes, and the neighbours of a trill.
	Beside []int
}

// Wants are what is played in a rep of the step: what begins in its chunk and the
// landing, in order and as the step's angle takes them: a want for each place at which
// a note begins. Beside
// the first one stands what sounds into the chunk, which is begun anew with it. The
// step may differ from the one that the notes were found for as in [Notes.Chunk].
func (n *Notes) Wants(s ladder.Step) []Want {
	n = n.Struck(s.Slots)
	var out []Want
	for _, turn := range n.Turns(s) {
		i, at, landing := turn.Note, turn.At, turn.Landing
		note := n.All[i]
		if k := len(out) - 1; k < 0 || out[k].At != at {
			w := Want{At: at, Landing: landing}
			w.Bar, w.In = n.measures.Where(note.From)
			out = append(out, w)
		}
		w := &out[len(out)-1]
		w.Notes = append(w.Notes, i)
		w.Beside = append(w.Beside, n.beside(note)...)
	}
	for k := range out {
		w := &out[k]
		slices.SortStableFunc(w.Notes, func(a, b int) int { return n.All[b].Sounds.Cents() - n.All[a].Sounds.Cents() })
		w.Pitch = n.All[w.Notes[0]].Pitch
		for _, i := range w.Notes {
			w.Sounds = append(w.Sounds, n.All[i].Sounds.Cents())
		}
	}
	if len(out) > 0 {
		for _, i := range n.Chunk(s).Held {
			out[0].Beside = append(out[0].Beside, n.All[i].Sounds.Cents())
		}
	}
	return out
}

// trillReach is how far from its note a trill may go, in cents.
const trillReach = 200

// beside are what may be heard along with a note: its grace notes, and what a trill
// goes to.
func (n *Notes) beside(note Note) (out []int) {
	for i := note.First - 1; i >= 0 && n.Line.Notes[i].Grace != passage.NoGrace; i-- {
		out = append(out, n.Line.Notes[i].Sounds.Cents())
	}
	for i := note.First; i <= note.Last; i++ {
		if n.Line.Notes[i].Marked(passage.MarkTrill) {
			c := note.Sounds.Cents()
			out = append(out, c-trillReach, c-trillReach/2, c, c+trillReach/2, c+trillReach)
			break
		}
	}
	return out
}
