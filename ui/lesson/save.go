package lesson

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"footing/files"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
	"footing/ladder/routine"
)

// Save writes the page to a file, whole or not at all, in the place of what is
// there. Its folder is made where there is none.
func Save(ctx context.Context, path string, p Page, now time.Time) error {
	var b bytes.Buffer
	err := Write(&b, p, now)
	if err == nil {
		err = os.MkdirAll(filepath.Dir(path), 0o755)
	}
	if err == nil {
		err = files.Replace(ctx, path, files.Replacement{Fill: files.Bytes(b.Bytes()), Mode: 0o644})
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", files.Name(path), files.Cause(err))
	}
	return nil
}

// NotesIn are the notes of a step of the routine in a file, nil where they can't be
// found. It waits for the disk.
func NotesIn(ctx context.Context, path string, step ladder.Step) *notes.Notes {
	found, err := notesfile.At(path).Notes(ctx, step)
	if err != nil {
		return nil
	}
	return found.Notes
}

// StepIn is the step at a place as its file has it, with the routine's instrument.
// It waits for the disk.
func StepIn(ctx context.Context, p journal.Place) (ladder.Step, bool) {
	f, err := routine.LoadContext(ctx, p.Routine)
	if err != nil {
		return ladder.Step{}, false
	}
	r := f.Routine()
	for _, s := range r.Steps {
		if s.Name == p.Step {
			return r.On(s), true
		}
	}
	return ladder.Step{}, false
}
