// Footing is a metronome for working up hard passages. This file reads the
// command line and opens the window or runs a command.
package main

import (
	"context"
	"log"
	"os"
	"os/signal"
	"syscall"

	"golang.org/x/term"

	"footing/audio/track"
	"footing/ui/cli"
	_ "footing/ui/locale" // before Fyne
	"footing/ui/window"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), endings()...)
	log.SetOutput(window.QuietLog(track.QuietLog(cli.Plain(os.Stderr))))
	code := cli.Run(ctx, cli.World{
		Out: os.Stdout, Err: os.Stderr,
		Live:   term.IsTerminal(int(os.Stderr.Fd())),
		Window: func(ctx context.Context, file string) error { return window.Run(ctx, window.Options{File: file}) },
	}, os.Args[1:])
	stop()
	os.Exit(code)
}

// endings are the signals that end the program in good order: Ctrl-C, what a
// system sends before it kills, and the terminal's closing, unless whoever
// started the program wants it to outlive the terminal.
func endings() []os.Signal {
	all := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		all = append(all, syscall.SIGHUP)
	}
	return all
}
