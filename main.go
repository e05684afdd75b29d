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
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	log.SetOutput(window.QuietLog(track.QuietLog(cli.Plain(os.Stderr))))
	code := cli.Run(ctx, cli.World{
		Out: os.Stdout, Err: os.Stderr,
		Live:   term.IsTerminal(int(os.Stderr.Fd())),
		Window: func(ctx context.Context, file string) error { return window.Run(ctx, window.Options{File: file}) },
	}, os.Args[1:])
	stop()
	os.Exit(code)
}
