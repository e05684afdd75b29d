package stand

import (
	"path/filepath"

	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/fingers"
	"footing/ladder/notes/fingering"
)

// findChart looks for the fingering chart of the step under way once its chunk is too
// hard: only then does the Stand go by fingers.
func (s *Stand) findChart(v conduct.View) {
	n := &s.notes
	if !v.State.Standing.TooHard || n.found == nil {
		return
	}
	name := v.State.Routine.On(v.State.Step()).Notes.Instrument.Name
	if name != n.played {
		n.played, n.chart = name, nil
	}
	n.charts.Find(name, filepath.Dir(s.o.Path()), 0, func(chart *fingers.Chart, _ error) {
		n.chart = chart
		s.Refresh()
	})
}

// hardest is the step with its chunk cut to the hardest change of fingers in it, the
// two notes alone; false where none is known, or the chunk is no longer than that.
func (s *Stand) hardest(t ladder.Step) (ladder.Step, bool) {
	n := &s.notes
	if n.found == nil || n.chart == nil {
		return t, false
	}
	c := n.found.Chunk(t)
	all := append(c.Begin, c.Landing...)
	if len(all) == 0 {
		return t, false
	}
	for _, cut := range fingering.Of(n.found, t, n.chart).HardestFirst(t, all[0], all[len(all)-1]) {
		if cut.Step.Chunk.Length.Less(t.Chunk.Length) {
			return cut.Step, true
		}
	}
	return t, false
}

// hardestWords propose the hardest change in place of half the chunk; empty where it
// is not known.
func (s *Stand) hardestWords(t ladder.Step) string {
	cut, ok := s.hardest(t)
	if !ok {
		return ""
	}
	words := s.notes.found.Words(cut)
	if words == "" {
		return ""
	}
	return "cut out its hardest change: " + words
}

// halve cuts the chunk: to its hardest change where that is what is proposed, else in
// half.
func (s *Stand) halve() {
	tooHard := s.o.Desk.View().State.Standing.TooHard
	s.change(func(t ladder.Step) ladder.Step {
		if cut, ok := s.hardest(t); ok && tooHard {
			return cut
		}
		return t.Halved()
	})
}
