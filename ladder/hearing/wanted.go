package hearing

import (
	"fmt"

	"footing/audio/click"
	"footing/audio/judge"
	"footing/ladder"
	"footing/ladder/notes"
)

// OfNotes is [Of] where the step's notes are known: a note is expected where one
// begins, whatever clicks there. Without notes, nil, it is the same.
func OfNotes(step ladder.Step, tempo click.Tempo, n *notes.Notes) Rung {
	if n == nil {
		return Of(step, tempo)
	}
	step = n.Known(step)
	r := Of(step, tempo)
	r.known, r.wants, r.notes = n, n.Wants(step), nil
	for _, w := range r.wants {
		s := click.Stroke{At: w.At, Bar: w.Bar, Beat: w.In.Floor(), Slot: -1, Part: click.InChunk}
		if w.Landing {
			s.Part = click.InLanding
		}
		for i := range step.Slots.Count() {
			if w.In == click.Whole(s.Beat).Add(step.Slots.At(i)) {
				s.Slot = i
			}
		}
		r.notes = append(r.notes, s)
	}
	return r
}

// want is what is played on a slot of the rep, counted from 1; false without notes.
func (r Rung) want(slot int) (notes.Want, bool) {
	if slot < 1 || slot > len(r.wants) {
		return notes.Want{}, false
	}
	return r.wants[slot-1], true
}

// place is where in the passage a slot's note begins, as bar:beat; empty without
// notes.
func (r Rung) place(slot int) string {
	w, ok := r.want(slot)
	if !ok {
		return ""
	}
	return click.FormatPlace(w.Bar, w.In)
}

// change names the change between two slots by its notes, "from G to A", and says
// whether there is another of that name; empty without notes.
func (r Rung) change(from, to int) (name string, twice bool) {
	a, ok := r.want(from)
	b, both := r.want(to)
	if !ok || !both {
		return "", false
	}
	name = notes.Change(a.Pitch, b.Pitch)
	for i := 1; i < len(r.wants); i++ {
		if i != from && notes.Change(r.wants[i-1].Pitch, r.wants[i].Pitch) == name {
			twice = true
		}
	}
	return name, twice
}

// cutAround is what to cut out around a weak change by its notes: the beats that hold
// them, and the first note after as the landing.
func (r Rung) cutAround(weak judge.WeakChange) *judge.Cut {
	from, ok := r.want(weak.FromSlot)
	to, both := r.want(weak.ToSlot)
	if !ok || !both {
		return nil
	}
	c := &judge.Cut{FromSlot: weak.FromSlot, ToSlot: weak.ToSlot, Landing: weak.ToSlot, FirstBeat: from.At.Floor() + 1}
	end := to.At.Floor() + 1
	if to.Landing {
		c.ToSlot, end = weak.FromSlot, from.At.Floor()+1
	} else {
		for c.Landing++; c.Landing <= len(r.wants) && r.wants[c.Landing-1].At.Less(click.Whole(end)); c.Landing++ {
		}
	}
	c.Beats = end - from.At.Floor()
	return c
}

// chunkAround is [Rung.Chunk] where the notes are known.
func (r Rung) chunkAround(cut judge.Cut) (ladder.Chunk, bool) {
	w, ok := r.want(cut.FromSlot)
	if !ok {
		return ladder.Chunk{}, false
	}
	step := r.step
	step.Chunk = ladder.Chunk{Bar: w.Bar, At: click.Whole(w.In.Floor()), Length: click.Whole(cut.Beats), Landing: true}
	return step.Chunk, len(step.Check()) == 0
}

// cutSentence says what to cut out around the weak change, which there is, by its
// notes where they are known.
func (r Report) cutSentence() string {
	words := cutSentence(r.Report)
	chunk, ok := r.Chunk()
	if r.rung.known == nil || !ok {
		return words
	}
	step := r.rung.step
	step.Chunk = chunk
	held := r.rung.known.Words(step)
	if held == "" {
		return words
	}
	beats := "the beat"
	if chunk.Length != click.Whole(1) {
		beats = fmt.Sprintf("the %s beats", count(chunk.Length.Floor()))
	}
	land := ""
	for _, w := range r.rung.known.Wants(step) {
		if w.Landing {
			land = fmt.Sprintf(", and land on %s", w.Pitch.Name())
		}
	}
	return fmt.Sprintf("Cut out %s around it, %s%s.", beats, held, land)
}
