// Package notesfile finds the notes of a routine's steps, reading the scores that
// they name from the routine's folder.
package notesfile

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"footing/files"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ladder/passage/abc"
	"footing/ladder/passage/scorefile"
	"footing/ladder/routine"
)

// Shelf opens the scores of one routine. It keeps the last one, as steps that
// follow each other mostly name the same. The zero value takes scores from the
// current folder. Its methods must not be called at the same time.
type Shelf struct {
	// Dir is the routine's folder.
	Dir string
	// Limits are those of a score; the zero value is the usual ones.
	Limits passage.Limits

	file    string
	score   *passage.Score
	remarks []passage.Remark
	err     error
}

// At is the shelf of the routine in a file.
func At(path string) *Shelf { return &Shelf{Dir: filepath.Dir(path)} }

// Found is what is found of a step's notes.
type Found struct {
	Notes *notes.Notes     // nil for a step without notes
	Score []passage.Remark // on what is odd in the score
	Typed []abc.Remark     // on what may not be meant in typed notes
}

// Notes finds the notes of a step, which must be valid; give it a step as
// [ladder.Routine.On] has it. The error is
// [notes.Faults], or that of ctx when it ends first.
func (s *Shelf) Notes(ctx context.Context, step ladder.Step) (Found, error) {
	var out Found
	var score *passage.Score
	if file := step.Notes.Score.File; file != "" {
		if err := s.read(ctx, file); err != nil {
			return out, err
		}
		score, out.Score = s.score, s.remarks
	}
	var err error
	out.Notes, out.Typed, err = notes.Of(step, score)
	return out, err
}

// read reads a score unless it is the one that was read last.
func (s *Shelf) read(ctx context.Context, file string) error {
	if file != s.file || s.score == nil && s.err == nil {
		local := filepath.FromSlash(file)
		if !filepath.IsLocal(local) {
			return notes.Faults{{Fault: ladder.Fault{Key: "score file", What: "the score does not lie in the routine's folder", Want: "put it beside the routine"}, Mark: -1}}
		}
		score, remarks, err := scorefile.Read(ctx, filepath.Join(s.Dir, local), s.Limits)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if cause := errors.Unwrap(err); cause != nil { // without the path, which is this machine's
			err = fmt.Errorf("%s: %w", files.Name(file), cause)
		}
		s.file, s.score, s.remarks, s.err = file, score, remarks, err
	}
	if s.err != nil {
		return notes.Faults{{Fault: ladder.Fault{Key: "score file", What: s.err.Error(), Want: "put a score in MusicXML there, or write another file"}, Mark: -1}}
	}
	return nil
}

// Check finds the notes of every step of a routine file, and says what keeps them
// from being found: as [routine.Errors], in the order of the steps. Other errors
// are those of ctx.
func Check(ctx context.Context, f *routine.File) error {
	shelf := At(f.Path())
	var out routine.Errors
	r := f.Routine()
	for i, step := range r.Steps {
		_, err := shelf.Notes(ctx, r.On(step))
		var faults notes.Faults
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case errors.As(err, &faults):
			out = append(out, Errors(f, i, faults)...)
		case err != nil:
			return err
		}
		if len(out) >= routine.MaxErrors {
			out = out[:routine.MaxErrors]
			break
		}
	}
	if len(out) > 0 {
		return out
	}
	return nil
}

// Errors are the faults of a step's notes, by the step's index, with their places
// in the routine's file.
func Errors(f *routine.File, step int, faults notes.Faults) routine.Errors {
	var out routine.Errors
	for _, fault := range faults {
		if fault.Line > 0 {
			out = append(out, f.ErrorWithin(step, fault.Fault, fault.Line, fault.Col))
		} else {
			out = append(out, f.ErrorAt(step, fault.Fault, fault.Mark))
		}
	}
	return out
}
