package fingering

import (
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/fingers"
)

// Cut is a chunk around a hard change, and why it is there.
type Cut struct {
	Step ladder.Step // with the chunk
	Why  string      // "the change alone"
}

// HardestFirst cuts a step around its hardest change within the notes from first to
// last, by their indexes in [notes.Notes.All]: the two notes of the change, four with
// those beside them, and the beat around it with its landing. Chunks that come out
// alike are there once. None where no change is judged.
func (f *Fingered) HardestFirst(s ladder.Step, first, last int) []Cut {
	var within []fingers.Change
	for _, c := range f.Changes {
		if f.At[c.From] >= first && f.At[c.To] <= last {
			within = append(within, c)
		}
	}
	if len(within) == 0 {
		return nil
	}
	hardest := fingers.Hardest(within)[0]
	return f.Around(s, hardest)
}

// spots is how many hard changes are cut around.
const spots = 5

// Spots are the cuts around the hardest changes of the passage, one change after the
// other from the hardest on: at most five, and those that are hard by themselves, but
// at least one. What two of them have in common is there once.
func (f *Fingered) Spots(s ladder.Step) []Cut {
	var out []Cut
	for i, c := range fingers.Hardest(f.Changes) {
		if i == spots || i > 0 && c.Cost < fingers.Hard {
			break
		}
		for _, cut := range f.Around(s, c) {
			cut.Why = f.words(c) + ": " + cut.Why
			if !slices.ContainsFunc(out, func(o Cut) bool { return o.Step.Chunk == cut.Step.Chunk }) {
				out = append(out, cut)
			}
		}
	}
	return out
}

// words name a change, "A4 to B4".
func (f *Fingered) words(c fingers.Change) string {
	return f.Notes[c.From].Pitch.String() + " to " + f.Notes[c.To].Pitch.String()
}

// Onward is the cut of [Fingered.Spots] that follows the one that the step's chunk is,
// or the first; after the last comes the first again. False where there is none.
func (f *Fingered) Onward(s ladder.Step) (Cut, bool) {
	all := f.Spots(s)
	for i, cut := range all {
		if cut.Step.Chunk == s.Chunk {
			return all[(i+1)%len(all)], true
		}
	}
	if len(all) == 0 {
		return Cut{}, false
	}
	return all[0], true
}

// Around cuts a step around a change, as [Fingered.HardestFirst] does.
func (f *Fingered) Around(s ladder.Step, c fingers.Change) []Cut {
	all := f.notes.All
	from, to := f.At[c.From], f.At[c.To]
	var out []Cut
	add := func(a, b int, landing bool, why string) {
		step := f.notes.FromTo(s, max(a, 0), min(b, len(all)-1))
		step.Chunk.Landing = landing
		if len(step.Check()) > 0 {
			return
		}
		for _, cut := range out {
			if cut.Step.Chunk == step.Chunk {
				return
			}
		}
		out = append(out, Cut{step, why})
	}
	beside := func(i, by int) int { return f.At[min(max(i+by, 0), len(f.At)-1)] }
	add(from, to, false, "the change alone")
	add(beside(c.From, -1), beside(c.To, 1), false, "with the notes beside it")
	begin, end := click.Whole(all[from].From.Floor()), click.Whole(all[to].From.Floor()+1)
	a, b := from, to
	for a > 0 && !all[a-1].From.Less(begin) {
		a--
	}
	for b+1 < len(all) && all[b+1].From.Less(end) {
		b++
	}
	add(a, b, b+1 < len(all), "the beat around it")
	return out
}

// Where says what makes the change into a note hard, to be set behind what was heard
// of it: "where five fingers move, both hands, one against the other"; with the
// better choice where the player has pinned another. Empty where the change is not a
// hard one.
func (f *Fingered) Where(all int) string {
	c, ok := f.Into(all)
	if !ok || c.Cost < fingers.Hard {
		return ""
	}
	out := "where " + c.Told()
	if better := f.better(c); better != "" {
		out += "; " + better
	}
	return out
}

// better says which choice spares the player a hard change that a pin of theirs
// makes.
func (f *Fingered) better(c fingers.Change) string {
	for _, i := range []int{c.To, c.From} {
		if !f.Notes[i].Pinned {
			continue
		}
		free := append([]fingers.Note(nil), f.asked...)
		free[i].Pin = ""
		other := f.Chart.Choose(free, false)
		if n := other.Notes[i]; other.Cost+fingers.Nearly < f.Cost && plain(n) != plain(f.Notes[i]) {
			return n.Pitch.String() + " with " + plain(n) + " would be easier"
		}
	}
	return ""
}
