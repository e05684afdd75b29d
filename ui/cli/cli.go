// Package cli is Footing's command line: it reads the arguments, runs a command
// or opens the window, and answers with an exit status.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

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

	// Now is the time; nil for time.Now.
	Now func() time.Time

	// line is Err for the one live line, which moves the cursor; nil for Err
	// itself.
	line io.Writer
}

func (w World) now() time.Time {
	if w.Now == nil {
		return time.Now()
	}
	return w.Now()
}

// grammar is the whole command line.
type grammar struct {
	Open   openCmd   `cmd:"" default:"withargs" hidden:"" help:"Open the window."`
	Check  checkCmd  `cmd:"" help:"Check routine files and say what is wrong, and where."`
	Play   playCmd   `cmd:"" help:"Play a routine on the sound device, hands free."`
	Render renderCmd `cmd:"" help:"Write a routine, played hands free, to a sound file."`
	Hear   hearCmd   `cmd:"" help:"Say what a recorded take holds, and which change is uneven."`
	Notes  notesCmd  `cmd:"" help:"Say what notes a score, a routine or a pattern holds."`

	Fingers fingersCmd `cmd:"" help:"Say which fingers a passage takes on a woodwind, and which changes are hard."`

	Journal journalCmd `cmd:"" help:"Tell what was practised: by day, or rep by rep."`
	Pack    packCmd    `cmd:"" help:"Put a routine and its scores into one file."`
	Unpack  unpackCmd  `cmd:"" help:"Take a routine and its scores out of such a file."`
}

const about = `A metronome for working up hard passages: it loops a chunk of the passage without dropping the click, and moves the
tempo up or down a ladder as you judge each rep.

  footing                   opens the window on the last routine
  footing FILE.yaml         opens it on a routine
  footing COMMAND -h        tells more of a command

Exit status: 0 done, 1 the input is at fault, 2 the command line is, 3 the machine is (a device, a disk).`

// grace is how long a command may take to end once it is told to: it takes its
// unfinished files away meanwhile.
const grace = 3 * time.Second

// Run reads args, without the program's name, and does what they say. It
// returns the exit status. When ctx ends, it returns soon, though a device or a
// disk may not answer; what then still waits for it is left behind, and writes
// nothing more. Only the window, which runs on the caller's goroutine, takes
// the time that it needs.
//
// Whatever could not be written to Out makes the machine be at fault. No name
// or text of a file reaches Out or Err but as [Plain] writes it.
func Run(ctx context.Context, w World, args []string) int {
	out, errs := &output{w: w.Out}, &output{w: w.Err}
	message := Plain(w.Err) // that of Run itself
	w.Out, w.Err, w.line = Plain(out), Plain(errs), errs
	code, err := perform(ctx, w, args, func() { out.leave(); errs.leave() })
	// What was not written comes first: help that stops halfway is no fault of the command line.
	if failed := out.failed(); failed != nil {
		code, err = FaultMachine, fmt.Errorf("writing the result: %w", failed)
	}
	said := ""
	switch {
	case errors.Is(err, context.Canceled):
		said = "footing: stopped\n"
	case err != nil && !errors.Is(err, errShown):
		said = fmt.Sprintf("footing: %v\n", err)
	default:
		return code
	}
	// Err may be a pipe that nobody empties.
	_ = within(ctx, func() error { _, err := io.WriteString(message, said); return err }, func() {})
	return code
}

// within runs the command, and leaves it behind when it has not ended within
// the grace after ctx did.
func within(ctx context.Context, command func() error, leave func()) error {
	ended := make(chan error, 1)
	go func() { ended <- command() }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	late := time.NewTimer(grace)
	defer late.Stop()
	select {
	case err := <-ended:
		return err
	case <-late.C:
		leave()
		return ctx.Err()
	}
}

// lineFault says what is wrong with a command line, and where it says what is right: in
// the help of the command that was meant.
func lineFault(err error) error {
	help := "footing -h"
	var bad *kong.ParseError
	if errors.As(err, &bad) && bad.Context != nil {
		for n := bad.Context.Selected(); n != nil; n = n.Parent {
			if n.Type == kong.CommandNode && !n.Hidden {
				help = "footing " + n.Name + " -h"
			}
		}
	}
	if what, ok := strings.CutPrefix(err.Error(), "expected "); ok {
		return fmt.Errorf("%s is missing; see %s", strings.Trim(what, `"`), help)
	}
	return fmt.Errorf("%w; see %s", err, help)
}

// perform parses and runs the command line. It returns the exit status and what
// is to be said of it.
func perform(ctx context.Context, w World, args []string, leave func()) (int, error) {
	code, exited := Done, false
	parser, err := kong.New(&grammar{}, append(values(),
		kong.Name("footing"), kong.Description(about),
		kong.Writers(w.Out, w.Err),
		kong.Vars{"sounds": strings.Join(timbre.Names(), ", "), "sound": timbre.Names()[0], "winds": strings.Join(timbre.Winds(), ", ")},
		kong.Exit(func(c int) { code, exited = c, true }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(w),
	)...)
	if err != nil {
		return FaultUsage, err
	}
	parsed, err := parser.Parse(args)
	switch {
	case exited:
		return code, nil // help has been shown
	case err != nil:
		return FaultUsage, lineFault(err)
	case parsed.Selected().Name == "open":
		err = parsed.Run()
	default:
		err = within(ctx, func() error { return parsed.Run() }, leave)
	}
	return status(err), err
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

// status is the exit status that an error leads to. What is not marked
// otherwise is the machine's fault.
func status(err error) int {
	if err == nil {
		return Done
	}
	if f := (fault{}); errors.As(err, &f) && !errors.Is(err, context.Canceled) {
		return f.code
	}
	return FaultMachine
}
