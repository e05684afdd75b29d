package hearing

import "footing/ladder/passage"

// Staff is the notes of a rep as they are read: those of a line from one place to
// another, and where on it the notes of the slots begin, that of slot 1 first, all in
// quarters of the score.
type Staff struct {
	Line     passage.Line
	From, To passage.Quarters
	At       []passage.Quarters
	Notes    []int  // the index in the line of each slot's note
	OnBeat   []bool // which of the slots' notes begin on a beat
}

// Staff is the notes that the take was set against; false where they are not known.
func (r Report) Staff() (Staff, bool) {
	if r.rung.known == nil || len(r.rung.wants) == 0 || !r.HasGrid {
		return Staff{}, false
	}
	n := r.rung.known
	out := Staff{Line: n.Line}
	for _, w := range r.rung.wants {
		i := n.All[w.Notes[0]].First
		note := n.Line.Notes[i]
		out.At = append(out.At, n.Part.Onset(note))
		out.Notes = append(out.Notes, i)
		out.OnBeat = append(out.OnBeat, w.At.Den() == 1)
		out.To = n.Part.Onset(note).Add(note.Duration)
	}
	out.From = out.At[0]
	return out, true
}
