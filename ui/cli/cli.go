// Package cli is Footing's command line: it reads the arguments, runs a command
// or opens the window, and answers with an exit status.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/alecthomas/kong"

	"footing/audio/speaker"
	"footing/audio/timbre"
)

// The exit statuses.
const (
	Done         = 0 // all went well
	FaultInput   = 1 // the input is at fault
	FaultUsage   = 2 // the command line is at fault
	FaultMachine = 3 // the machine is at fault: a device, a disk
)

// World is what a command may touch of the machine.
type World struct {
	// Out takes results, Err messages.
	Out, Err io.Writer
	// Live is true when Err is a terminal that one line of progress can be
	// shown on.
	Live bool
	// Window opens the window on a routine file, or on the last one when file
	// is empty, and returns when it is closed.
	Window func(ctx context.Context, file string) error
	// Device opens a sound device; nil for the system's own.
	Device speaker.Opener
}

// grammar is the whole command line.
type grammar struct {
	Open   openCmd   `cmd:"" default:"withargs" hidden:"" help:"Open the window."`
	Check  checkCmd  `cmd:"" help:"Check routine files and say what is wrong, and where."`
	Play   playCmd   `cmd:"" help:"Play a routine on the sound device, hands free."`
	Render renderCmd `cmd:"" help:"Write a routine, played hands free, to a sound file."`
	Hear   hearCmd   `cmd:"" help:"Say what a recorded take holds, and which change is uneven."`
}

const about = `A metronome for working up hard passages: it loops a chunk of the passage without dropping the click, and moves the
tempo up or down a ladder as you judge each rep.

  footing                   opens the window on the last routine
  footing FILE.yaml         opens it on a routine
  footing COMMAND -h        tells more of a command

Exit status: 0 done, 1 the input is at fault, 2 the command line is, 3 the machine is (a device, a disk).`

// Run reads args, without the program's name, and does what they say. It
// returns the exit status.
func Run(ctx context.Context, w World, args []string) int {
	code, exited := Done, false
	parser, err := kong.New(&grammar{},
		kong.Name("footing"), kong.Description(about),
		kong.Writers(w.Out, w.Err),
		kong.Vars{"sounds": strings.Join(timbre.Names(), ", "), "sound": timbre.Names()[0]},
		kong.Exit(func(c int) { code, exited = c, true }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(w),
	)
	if err != nil {
		fmt.Fprintln(w.Err, "footing:", err)
		return FaultUsage
	}
	parsed, err := parser.Parse(args)
	if exited {
		return code // help has been shown
	}
	if err != nil {
		fmt.Fprintf(w.Err, "footing: %v; see footing -h\n", err)
		return FaultUsage
	}
	return status(w, parsed.Run())
}

// fault is an error with the exit status that it leads to.
type fault struct {
	code int
	err  error
}

func (f fault) Error() string { return f.err.Error() }
func (f fault) Unwrap() error { return f.err }

func inputFault(err error) error   { return fault{FaultInput, err} }
func machineFault(err error) error { return fault{FaultMachine, err} }
func usageFault(err error) error   { return fault{FaultUsage, err} }

// errShown says that the fault has been told already.
var errShown = errors.New("")

// status tells an error and turns it into an exit status. What is not marked
// otherwise is the machine's fault.
func status(w World, err error) int {
	if err == nil {
		return Done
	}
	code := FaultMachine
	if f := (fault{}); errors.As(err, &f) {
		code = f.code
	}
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(w.Err, "footing: stopped")
	case !errors.Is(err, errShown):
		fmt.Fprintf(w.Err, "footing: %v\n", err)
	}
	return code
}
