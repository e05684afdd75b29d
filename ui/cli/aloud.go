package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"

	"footing/assets"
	"footing/audio/click"
	"footing/audio/spoken"
	"footing/files"
	"footing/ladder"
	"footing/ladder/aloud"
	"footing/ladder/conduct"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
)

// voice is the flags of a command in which the count may be spoken.
type voice struct {
	Voice string `help:"A folder of words, such as 1.wav and ta.wav, that are spoken in place of the program's." placeholder:"FOLDER"`
}

// join adds the count to what is rendered of the routine in a file: what its steps
// speak, and the accents and the rhythm of their notes.
func (v voice) join(ctx context.Context, t *conduct.Rendition, path string, m model) error {
	var speaks *spoken.Voice
	if slices.ContainsFunc(t.Routine.Steps, aloud.Wanted) {
		folders := []fs.FS{assets.Voice()}
		if v.Voice != "" {
			folders = []fs.FS{os.DirFS(v.Voice), assets.Voice()}
		}
		var err error
		if speaks, err = spoken.Load(ctx, t.Rate, folders...); err != nil {
			return inputFault(fmt.Errorf("--voice %s: %w", files.Name(v.Voice), err))
		}
	}
	found := map[string]*notes.Notes{}
	for _, s := range t.Routine.Steps {
		if !aloud.ByNotes(s) {
			continue
		}
		n, err := notesfile.At(path).Notes(ctx, t.Routine.On(s))
		var faults notes.Faults
		switch {
		case errors.As(err, &faults):
			return m.faults(ctx, path, s.Name, faults)
		case err != nil:
			return err
		}
		found[s.Name] = n.Notes
	}
	t.Aloud = func(step ladder.Step, p click.Phrase) click.Phrase {
		return aloud.Phrase(step, p, found[step.Name], speaks)
	}
	return nil
}
