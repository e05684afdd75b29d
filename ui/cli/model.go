package cli

import (
	"context"
	"errors"
	"fmt"

	"footing/audio/timbre"
	"footing/files"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/conduct/export"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
	"footing/ladder/routine"
)

// model is the flags of a command in which a model may sound.
type model struct {
	Model      string  `help:"Sound the chunk's notes: once (that and no more), all (in every rep) or fades (softer from rung to rung)." placeholder:"WHEN"`
	ModelLevel float32 `help:"The model's level, 0 to 1." default:"0.5" placeholder:"LEVEL"`
	Wind       string  `help:"What the model sounds like: ${winds}. The step's instrument where it is left out." placeholder:"NAME"`
	A          float64 `name:"a" help:"The A that the model and drones are tuned to, 415 to 466 Hz." default:"440" placeholder:"HZ"`
	Written    bool    `help:"Sound the notes as they are written, not as the instrument transposes them."`
}

// mode is when the model sounds.
func (m model) mode() (ladder.ModelMode, error) {
	switch m.Model {
	case "":
		return ladder.NoModel, nil
	case "once":
		return ladder.ModelOnce, nil
	case "all":
		return ladder.ModelEveryRep, nil
	case "fades":
		return ladder.ModelFades, nil
	}
	return ladder.NoModel, usageFault(fmt.Errorf("--model %q is not known; write once, all or fades", m.Model))
}

// sounds is how steps sound at a rate, with drones tuned to the A.
func (m model) sounds(rate int) conduct.Sounds {
	return conduct.NewSounds(rate, func() float64 { return m.A })
}

// join adds the model to what is rendered of the routine in a file, as a whole or each
// of its steps by itself.
func (m model) join(ctx context.Context, t *conduct.Rendition, path string, each bool) error {
	mode, err := m.mode()
	if err != nil {
		return err
	}
	name := m.Wind
	if name == "" {
		name = timbre.WindOf(t.Routine.Steps[0].Notes.Instrument.Name)
	}
	switch err := timbre.CheckWind(name, m.A, t.Rate); {
	case err != nil:
		return usageFault(err)
	case !(m.ModelLevel >= 0 && m.ModelLevel <= 1):
		return usageFault(fmt.Errorf("--model-level %v is out of range; write 0 to 1", m.ModelLevel))
	case mode == ladder.NoModel:
		return nil
	}
	tones, err := m.tones(ctx, t.Routine, path, each)
	if err != nil {
		return err
	}
	t.Model, t.Tones, t.ModelLevel = mode, tones, m.ModelLevel
	t.Wind, err = timbre.MakeWind(name, m.A, t.Rate)
	return err
}

// tones finds the notes of all steps. One step at least must have some, or the
// first where no other sounds.
func (m model) tones(ctx context.Context, r ladder.Routine, path string, each bool) (conduct.Tones, error) {
	var all []export.Notated
	shelf := notesfile.At(path)
	for i, s := range r.Steps {
		found, err := shelf.Notes(ctx, r.On(s))
		var faults notes.Faults
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case errors.As(err, &faults):
			return nil, m.faults(ctx, path, s.Name, faults)
		case err != nil:
			return nil, err
		case found.Notes != nil && (i == 0 || each || m.Model != "once"):
			all = append(all, export.Notated{Step: s, Notes: found.Notes})
		}
	}
	if len(all) == 0 {
		return nil, inputFault(fmt.Errorf("%s: there are no notes for a model to sound; write score:, notes: or pattern: in the step %q",
			files.Name(path), r.Steps[0].Name))
	}
	return export.Sounding(all, m.Written), nil
}

// faults are the faults of the notes of a step, with their places in the file.
func (m model) faults(ctx context.Context, path, step string, faults notes.Faults) error {
	file, err := routine.LoadContext(ctx, path)
	if err != nil {
		return loadFault(err)
	}
	for i, s := range file.Routine().Steps {
		if s.Name == step {
			return inputFault(notesfile.Errors(file, i, faults))
		}
	}
	return inputFault(faults)
}
