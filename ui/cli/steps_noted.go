package cli

import (
	"context"
	"errors"
	"fmt"

	"footing/files"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
	"footing/ladder/routine"
)

// notedStep is a step of a routine's file that has notes.
type notedStep struct {
	ladder.Step // with the routine's instrument where it names none of its own
	found       notesfile.Found
	index       int // of the routine's steps, from 0
}

// stepsWithNotes are the steps of the routine read from path that have notes, in
// order, or the one of that name. There is one at least; a step of that name has
// notes.
func stepsWithNotes(ctx context.Context, file *routine.File, path, name string) ([]notedStep, error) {
	r, shelf, known := file.Routine(), notesfile.At(path), false
	var out []notedStep
	for i, s := range r.Steps {
		if name != "" && s.Name != name {
			continue
		}
		known = true
		s = r.On(s)
		found, err := shelf.Notes(ctx, s)
		var faults notes.Faults
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case errors.As(err, &faults):
			return nil, inputFault(notesfile.Errors(file, i, faults))
		case err != nil:
			return nil, err
		case found.Notes != nil:
			out = append(out, notedStep{s, found, i})
		case name != "":
			return nil, inputFault(fmt.Errorf("%s: the step %q has no notes; write score:, notes: or pattern: in it", files.Name(path), s.Name))
		}
	}
	switch {
	case !known:
		return nil, inputFault(fmt.Errorf("%s: no step is named %q; the steps are %s", files.Name(path), name, stepNames(r)))
	case len(out) == 0:
		return nil, inputFault(fmt.Errorf("%s: no step has notes; write score:, notes: or pattern: in one", files.Name(path)))
	}
	return out, nil
}
