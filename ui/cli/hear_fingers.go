package cli

import (
	"context"
	"path/filepath"

	"footing/assets"
	"footing/ladder"
	"footing/ladder/fingers"
	"footing/ladder/fingers/chartfile"
	"footing/ladder/hearing"
	"footing/ladder/notes"
	"footing/ladder/notes/fingering"
)

// addFingers says of the weak change what its fingers have to do, where the step has
// notes, an instrument with a chart, and the change is a hard one. Where any of that
// cannot be read the take is told without: the other commands say what is wrong.
func (c hearCmd) addFingers(ctx context.Context, r *hearing.Report, step *ladder.Step, n *notes.Notes) {
	if n == nil || r.Weak == nil {
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
	wants, to := n.Wants(n.Known(*step)), r.Weak.ToSlot-1
	if to < 0 || to >= len(wants) {
		return
	}
	if where := fingering.Of(n, *step, chart).Where(wants[to].Notes[0]); where != "" {
		r.Sentence += " That is " + where + "."
	}
}
