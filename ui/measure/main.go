// Measure states the program's speed as ratios against references that run
// side by side with it, on whatever machine it is. It needs sox, and the screen
// and sound card of .ci/rig:
//
//	.ci/bench
package main

import (
	"bufio"
	"context"
	"fmt"
	"log"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"sync/atomic"
	"syscall"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/app"

	"footing/ui/window"
)

func main() {
	log.SetOutput(window.QuietLog(os.Stderr))
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
}

// run measures everything, or is one of the windows that are measured.
func run(ctx context.Context, args []string) error {
	switch {
	case len(args) == 2 && args[0] == "window":
		return window.Run(ctx, window.Options{File: args[1]})
	case len(args) == 2 && args[0] == "every-frame":
		var frames atomic.Int64
		go func() {
			for in := bufio.NewScanner(os.Stdin); in.Scan(); {
				fmt.Println(frames.Load())
			}
		}()
		return window.Run(ctx, window.Options{File: args[1], EveryFrame: func() { frames.Add(1) }})
	case len(args) == 1 && args[0] == "blank":
		return blank(ctx)
	}
	dir, err := os.MkdirTemp("", "footing-measure")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	footing := filepath.Join(dir, "footing")
	if out, err := exec.CommandContext(ctx, "go", "build", "-o", footing, "footing").CombinedOutput(); err != nil {
		return fmt.Errorf("building the program: %w\n%s", err, out)
	}
	for _, measure := range []func(context.Context, string, string) error{rendering, repainting, noting, opening} {
		if err := measure(ctx, dir, footing); err != nil {
			return err
		}
	}
	return nil
}

// blank opens a window with nothing in it.
func blank(ctx context.Context) error {
	a := app.NewWithID("footing-blank")
	w := a.NewWindow("Footing blank")
	w.Resize(fyne.NewSize(1200, 780))
	w.SetMaster()
	w.Show()
	go func() {
		<-ctx.Done()
		// Fyne falls over a mouse event that reaches a window while it closes.
		fyne.DoAndWait(w.Hide)
		time.AfterFunc(60*time.Millisecond, func() { fyne.Do(a.Quit) })
	}()
	a.Run()
	return nil
}

// median of an odd number of times.
func median(times []time.Duration) time.Duration {
	slices.Sort(times)
	return times[len(times)/2]
}

// verdict says whether a ratio keeps to its bound.
func verdict(ok bool) string {
	if ok {
		return "ok"
	}
	return "NOT KEPT"
}
