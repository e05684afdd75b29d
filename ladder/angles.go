package ladder

import (
	"slices"

	"footing/audio/click"
	"footing/ladder/angle"
)

// Angles are the ways through the step's chunk, as written first. The step must be
// valid.
func (s Step) Angles() []angle.Angle { return angle.All(s.over()) }

// ByNotes reports whether angles go by the notes of the chunk. Else they go by its
// slots: where no note is known to begin in it, and where slots are swung or cross, so
// that they are what there is to be played on.
func (s Step) ByNotes() bool { return s.over().Notes() }

// Shares are what an angle takes of the chunk: its notes or its slots. They are not to
// be written to.
func (s Step) Shares() []click.Share { return s.over().Shares() }

// over is what an angle goes over.
func (s Step) over() angle.Over {
	_, _, swung := s.Slots.Swung()
	if _, _, crossed := s.Slots.Crossed(); !swung && !crossed && len(s.Begins) > 0 {
		if m, err := s.Measures(); err == nil {
			if o, ok := angle.OverNotes(s.Chunk, s.Slots, m.Place(s.Chunk.Bar, s.Chunk.At), s.Begins); ok {
				return o
			}
		}
	}
	return angle.OverSlots(s.Chunk, s.Slots)
}

// TurnedTo is the step with the angle that comes so many after its own, round and
// round.
func (s Step) TurnedTo(by int) Step {
	s.Angle = s.Angle.Next(s.Angles(), by)
	return s
}

// path is how the click takes the chunk.
func (s Step) path() click.Path {
	if s.Angle == (angle.Angle{}) {
		return click.Path{}
	}
	return s.Angle.Path(s.over())
}

// angled is the step with the angle that its nth rep takes, counted from 0: its own,
// or, where it varies, one that is drawn of those that keep every note.
func (s Step) angled(rep int) Step {
	if s.Vary == 0 {
		return s
	}
	var keep []angle.Angle
	for _, a := range s.Angles() {
		if a.Keeps() {
			keep = append(keep, a)
		}
	}
	s.Angle = angle.Draw(keep, uint64(s.Vary), rep)
	return s
}

// noted is where the notes of a step begin, and whose they are: of a step with this
// name whose passage and notes are these.
type noted struct {
	step   Step
	begins []click.Beats
}

// holds reports whether the places are a step's.
func (n noted) holds(s Step) bool {
	a, b := n.step, s
	return a.Name == b.Name && a.Passage == b.Passage && a.Unit == b.Unit && a.Pickup == b.Pickup &&
		a.Meter == b.Meter && slices.Equal(a.Meters, b.Meters) &&
		a.Notes.Score == b.Notes.Score && a.Notes.Typed == b.Notes.Typed && a.Notes.Pattern == b.Notes.Pattern
}

// StepOf is a step of the routine, by its index, with what is known of its notes.
func (s State) StepOf(i int) Step {
	step := s.Routine.Steps[i]
	if step.Begins != nil {
		return step
	}
	for _, n := range s.noted {
		if n.holds(step) {
			step.Begins = n.begins
		}
	}
	return step
}

// know keeps where the notes of a step begin, and plans anew by it.
func (s State) know(e Know) (State, []Effect) {
	i := slices.IndexFunc(s.Routine.Steps, func(step Step) bool { return noted{step: e.Step}.holds(step) })
	if i < 0 || slices.Equal(s.StepOf(i).Begins, e.Begins) {
		return s, nil
	}
	s.noted = slices.DeleteFunc(slices.Clone(s.noted), func(n noted) bool {
		return !slices.ContainsFunc(s.Routine.Steps, n.holds) || n.holds(e.Step) // or of a step that is no more
	})
	if len(e.Begins) > 0 {
		s.noted = append(s.noted, noted{e.Step, slices.Clone(e.Begins)})
	}
	if i != s.StepAt {
		return s, nil
	}
	return s.plan()
}
