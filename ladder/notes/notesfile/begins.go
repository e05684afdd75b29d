package notesfile

import (
	"context"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/notes"
)

// Begins finds where the notes begin of a routine's steps that take an angle, which
// goes by them, and tells it of a step as [ladder.Step.Begins]. What keeps notes from
// being found keeps no step from being played: its angle goes by its slots then. The
// error is that of ctx.
func (s *Shelf) Begins(ctx context.Context, r ladder.Routine) (func(ladder.Step) []click.Beats, error) {
	var of []ladder.Step
	var begins [][]click.Beats
	for _, step := range r.Steps {
		if step.Angle == (angle.Angle{}) && step.Vary == 0 {
			continue
		}
		found, err := s.Notes(ctx, r.On(step))
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err == nil && found.Notes != nil {
			of, begins = append(of, step), append(begins, found.Notes.Begins())
		}
	}
	return func(step ladder.Step) []click.Beats {
		for i := range of {
			if notes.Alike(of[i], step) {
				return begins[i]
			}
		}
		return nil
	}, nil
}
