package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"footing/files"
	"footing/ladder/conduct"
	"footing/ladder/counted"
	"footing/ladder/notes/notesfile"
	"footing/ladder/routine"
)

// checkCmd checks routine files.
type checkCmd struct {
	Files []string `arg:"" name:"file" help:"Routine files."`
	JSON  bool     `name:"json" help:"Write a list of objects, one for each file."`
}

// Help is the long help.
func (checkCmd) Help() string {
	return `Each fault is told as file:line:col: what is wrong; what would be right. Scores that a routine names are read, typed
notes too, and patterns made: what is wrong with them keeps no routine from being opened, nor does a key that the step's
rule does not use.

Example:
  footing check runs.yaml
  footing check --json *.yaml

` + routine.Format()
}

// checked is what is said of a file, in JSON.
type checked struct {
	File   string         `json:"file"`
	OK     bool           `json:"ok"`
	Name   string         `json:"name,omitempty"`
	Steps  int            `json:"steps,omitempty"`
	Length float64        `json:"seconds_hands_free,omitempty"`
	Faults []checkedFault `json:"faults"`
}

type checkedFault struct {
	Line int    `json:"line,omitempty"`
	Col  int    `json:"col,omitempty"`
	What string `json:"what"`
	Want string `json:"want,omitempty"`
}

// Run implements the command.
func (c checkCmd) Run(ctx context.Context, w World) error {
	var results []checked
	worst := error(nil)
	for _, path := range c.Files {
		result, err := check(ctx, path)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		results = append(results, result)
		if err != nil {
			if fault := loadFault(err); status(fault) > status(worst) {
				worst = fault
			}
			if !c.JSON {
				fmt.Fprintln(w.Err, err)
			}
			continue
		}
		if !c.JSON {
			const rate = 1000
			fmt.Fprintf(w.Out, "%s: %q, %s, %s hands free\n", files.Name(path), result.Name, counted.Of(result.Steps, "step"), clockTime(int64(result.Length*rate), rate))
		}
	}
	if c.JSON {
		if err := writeJSON(w.Out, results); err != nil {
			return err
		}
	}
	if worst != nil {
		return fault{status(worst), errShown}
	}
	return nil
}

// together is what keeps the notes of a routine from being found, with what is said
// and not used beside it.
func together(file *routine.File, notes error) error {
	all := file.Unused()
	if of := (routine.Errors)(nil); errors.As(notes, &of) {
		all = append(all, of...)
	} else if notes != nil {
		return notes
	}
	if len(all) == 0 {
		return nil
	}
	slices.SortStableFunc(all, func(a, b *routine.Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	return all[:min(len(all), routine.MaxErrors)]
}

// check reads one file and returns what is to be said of it.
func check(ctx context.Context, path string) (checked, error) {
	file, err := routine.LoadContext(ctx, path)
	if err == nil {
		err = together(file, notesfile.Check(ctx, file))
	}
	if err == nil {
		r := file.Routine()
		const rate = 1000
		frames, err := conduct.Length(ctx, r, rate)
		return checked{File: path, OK: true, Name: r.Name, Steps: len(r.Steps),
			Length: float64(frames) / rate, Faults: []checkedFault{}}, err
	}
	result := checked{File: path}
	var errs routine.Errors
	if !errors.As(err, &errs) {
		result.Faults = []checkedFault{{What: err.Error()}}
		return result, err
	}
	for _, e := range errs {
		result.Faults = append(result.Faults, checkedFault{e.Line, e.Col, e.What, e.Want})
	}
	return result, errs
}
