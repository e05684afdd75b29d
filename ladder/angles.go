package ladder

import (
	"footing/audio/click"
	"footing/ladder/angle"
)

// Angles are the ways through the step's chunk, as written first. The step must be
// valid.
func (s Step) Angles() []angle.Angle { return angle.All(s.Chunk.Shares(s.Slots), s.Slots) }

// TurnedTo is the step with the angle that comes so many after its own, round and
// round.
func (s Step) TurnedTo(by int) Step {
	s.Angle = s.Angle.Next(s.Angles(), by)
	return s
}

// path is how the click takes the slots of the chunk.
func (s Step) path() click.Path {
	if s.Angle == (angle.Angle{}) {
		return click.Path{}
	}
	return s.Angle.Path(s.Chunk.At, s.Chunk.Shares(s.Slots), s.Slots)
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
