package cli

import (
	"context"
	"path/filepath"

	"footing/assets"
	"footing/ladder"
	"footing/ladder/fingers"
	"footing/ladder/fingers/chartfile"
	"footing/ladder/hearing"
	"footing/ladder/notes/fingering"
	"footing/ladder/notes/notesfile"
)

// addFingers says of the weak change what its fingers have to do, where the step has
// notes, an instrument with a chart, and the change is a hard one. Where any of that
// cannot be read the take is told without: the other commands say what is wrong.
func (c hearCmd) addFingers(ctx context.Context, r *hearing.Report, step *ladder.Step) {
	if step == nil || r.Weak == nil {
		return
	}
	found, err := notesfile.At(c.Routine).Notes(ctx, *step)
	if err != nil || found.Notes == nil {
		return
	}
	library, err := fingers.Load(assets.Fingerings, "fingerings")
	if err != nil {
		return
	}
	if own, err := chartfile.Beside(ctx, library, filepath.Dir(c.Routine)); err == nil {
		library = own
	}
	chart, ok := library.For(step.Notes.Instrument.Name)
	if !ok {
		return
	}
	slots, chunk := found.Notes.Slots(*step), found.Notes.Chunk(*step)
	into := chunk.Landing
	if to := r.Weak.ToSlot - 1; to >= 0 && to < len(slots) {
		into = slots[to].Begin
	}
	if len(into) == 0 {
		return
	}
	if where := fingering.Of(found.Notes, *step, chart).Where(into[0]); where != "" {
		r.Sentence += " That is " + where + "."
	}
}
