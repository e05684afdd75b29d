package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"footing/audio/track"
	"footing/files"
	"footing/ladder/bundle"
	"footing/ladder/routine"
)

// packCmd puts a routine and its scores into one file.
type packCmd struct {
	File   string `arg:"" help:"A routine file."`
	Output string `short:"o" required:"" help:"The file to write, ending in .zip." placeholder:"OUT.zip"`
}

// Help is the long help.
func (packCmd) Help() string {
	return `The routine goes out with the scores that its steps name, as a ZIP archive: for a pupil, a teacher, another computer.
What was practised stays in the journal of whoever practised it.

Example:
  footing pack runs.yaml -o runs.zip`
}

// Run implements the command.
func (c packCmd) Run(ctx context.Context) error {
	if !strings.EqualFold(filepath.Ext(c.Output), bundle.Ext) {
		return usageFault(fmt.Errorf("%s: a bundle is a ZIP archive; write a name that ends in %s", files.Name(c.Output), bundle.Ext))
	}
	var fault error // of what is packed, as against where it is written
	err := track.Replace(ctx, c.Output, func(w io.WriteSeeker) error {
		fault = bundle.Pack(ctx, w, c.File)
		return fault
	})
	switch {
	case fault != nil:
		return loadFault(fault)
	case err != nil:
		return machineFault(err)
	}
	return nil
}

// unpackCmd takes a routine and its scores out of a file.
type unpackCmd struct {
	File string `arg:"" help:"A file that footing pack has written."`
	Into string `help:"Another folder than that of the player's routines." placeholder:"FOLDER"`
}

// Help is the long help.
func (unpackCmd) Help() string {
	return `The routine and its scores are put beside the player's own. Nothing is written over: where a name is taken, a free one is
used. Steps of a passage that was practised already go on with its history.

Example:
  footing unpack runs.zip`
}

// Run implements the command.
func (c unpackCmd) Run(ctx context.Context, w World) error {
	into := c.Into
	if into == "" {
		into = routine.Folder()
	}
	name, err := bundle.Unpack(ctx, c.File, into)
	var fault *bundle.Fault
	switch {
	case errors.As(err, &fault):
		return inputFault(err)
	case err != nil:
		return loadFault(err)
	}
	if _, err := fmt.Fprintln(w.Out, files.Name(name)); err != nil {
		return writeFault(err)
	}
	return nil
}
