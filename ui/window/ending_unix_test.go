//go:build unix

package window

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"testing"
	"time"
)

// Signals that are taken come to the window, and no more to whoever asked for them
// before; asked for again in between they are taken again.
func TestSignalsAreTakenFromTheToolkit(t *testing.T) {
	for _, s := range []syscall.Signal{syscall.SIGTERM, syscall.SIGINT} {
		toolkit, asked := make(chan os.Signal, 1), make(chan os.Signal, 1)
		takeSignals(asked)
		signal.Notify(toolkit, syscall.SIGTERM, syscall.SIGINT) // later than was thought
		takeSignals(asked)
		if err := syscall.Kill(os.Getpid(), s); err != nil {
			t.Fatal(err)
		}
		if got := <-asked; got != s {
			t.Errorf("%v comes as %v", s, got)
		}
		select {
		case <-toolkit:
			t.Errorf("%v comes to the toolkit as well", s)
		default:
		}
		signal.Stop(toolkit)
	}
}

// The window ends when a signal came, at any of the times or after them, and when its
// context is over.
func TestASignalEndsTheWindow(t *testing.T) {
	asked, times := make(chan os.Signal, 1), make(chan time.Time)
	ended := make(chan bool, 1)
	go func() { ended <- awaitEnd(context.Background(), nil, times, asked) }()
	times <- time.Time{}
	times <- time.Time{}
	asked <- syscall.SIGTERM
	if !<-ended {
		t.Error("a signal does not end the window")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if !awaitEnd(ctx, nil, nil, asked) {
		t.Error("a context that is over does not end the window")
	}
}

func TestTheTimesEndWithTheWindow(t *testing.T) {
	closed := make(chan struct{})
	times := beginnings(closed)
	<-times
	close(closed)
	ended := make(chan bool, 1)
	go func() { ended <- awaitEnd(context.Background(), closed, times, make(chan os.Signal, 1)) }()
	if <-ended {
		t.Error("a window that was closed is said to be asked to end")
	}
}
