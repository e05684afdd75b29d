package ladder

import (
	"slices"

	"footing/audio/click"
)

// Bookmark is where a player stood on a step, as far as it holds on another
// day: what was counted on the rung does not. The zero value is a step that
// begins anew. It is a plain value that can be stored.
type Bookmark struct {
	Ladder  Range // of the step then
	Rule    RuleKind
	Tempo   click.Tempo // in force
	ByHand  bool        // it is no rung
	Footing click.Tempo // 0 when none was found

	// What each rule keeps of its own.
	Settled bool        // settle: the footing was found
	OneDown bool        // two up, one down: one down is next
	Slow    click.Tempo // leap: the slow rung, during the goal's turn; 0 otherwise
	Down    bool        // arch: on the way down
}

// Bookmarks are where the player stands on each step. A step that was not begun,
// is done, or stands at its start has the zero value.
func (s State) Bookmarks() []Bookmark {
	out := make([]Bookmark, len(s.Routine.Steps))
	for i, step := range s.Routine.Steps {
		var st Standing
		switch {
		case i == s.StepAt:
			st = s.Standing
		case i < len(s.others):
			st = s.others[i]
		}
		if st.Rungs != nil {
			out[i] = st.bookmark(step)
		}
	}
	return out
}

func (s Standing) bookmark(step Step) Bookmark {
	if s.Done {
		return Bookmark{}
	}
	b := Bookmark{Footing: s.Footing}
	s.course.keep(s, &b)
	if b == (Bookmark{}) && s.Tempo() == step.Tempo.Rungs()[0] {
		return b
	}
	b.Ladder, b.Rule, b.Tempo, b.ByHand = step.Tempo, step.Rule.Kind, s.Tempo(), s.ByHand != 0
	return b
}

// resume stands at the bookmark of each step. It says nothing of a click that
// runs, which is left alone.
func (s State) resume(bookmarks []Bookmark) State {
	if s.Running {
		return s
	}
	s = s.freeze()
	s.others = make([]Standing, len(s.Routine.Steps))
	for i, step := range s.Routine.Steps {
		var b Bookmark
		if i < len(bookmarks) {
			b = bookmarks[i]
		}
		s.others[i] = b.stand(step)
	}
	s.Standing = s.others[s.StepAt]
	return s
}

// stand is the standing with which the step goes on. Where its ladder is another
// by now, that is on the same tempo or the nearest rung below, and a rule's way
// on the old ladder is forgotten.
func (b Bookmark) stand(step Step) Standing {
	s := NewStanding(step)
	if !b.Tempo.Valid() {
		return s
	}
	if b.Footing.Valid() {
		s.Footing = b.Footing
	} else {
		b.Settled = false
	}
	elsewhere := Bookmark{Rule: b.Rule, Settled: b.Settled} // what holds off that ladder too
	switch {
	case b.Ladder != step.Tempo:
		s, b = s.nearest(b.Tempo), elsewhere
	case b.ByHand:
		s, b = s.onTempo(b.Tempo), elsewhere
	default:
		s = s.remade(b, step.Tempo.By).nearest(b.Tempo)
	}
	if b.Rule == step.Rule.Kind {
		s.course = s.course.resume(s, b)
	}
	return s
}

// remade is the standing with the bookmark's rungs on the ladder: those that were
// made below the lowest, and those that the ladder had when it began higher than
// at the footing at which it has come to begin.
func (s Standing) remade(b Bookmark, by StepSize) Standing {
	least := b.Tempo
	if b.Slow.Valid() {
		least = min(least, b.Slow)
	}
	for s.Rungs[0] > least {
		lower, ok := by.Down(s.Rungs[0])
		if !ok {
			break
		}
		s.Rungs = append([]click.Tempo{lower}, s.Rungs...)
	}
	for _, t := range []click.Tempo{b.Tempo, b.Slow} {
		if i, on := slices.BinarySearch(s.Rungs, t); !on && i > 0 && i < len(s.Rungs) {
			s.Rungs = slices.Insert(s.Rungs, i, t)
		}
	}
	return s
}
