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

// From the first of the times on a signal comes to the window, and no more to
// whoever asked for it before.
func TestSignalsAreTakenFromTheToolkit(t *testing.T) {
	for _, s := range []syscall.Signal{syscall.SIGTERM, syscall.SIGINT} {
		toolkit := make(chan os.Signal, 1)
		times, closed, ended := make(chan time.Time), make(chan struct{}), make(chan bool, 1)
		go func() { ended <- awaitEnd(context.Background(), closed, times) }()
		times <- time.Time{}
		signal.Notify(toolkit, syscall.SIGTERM, syscall.SIGINT) // later than was thought
		times <- time.Time{}
		times <- time.Time{} // the second is over when the third is taken
		if err := syscall.Kill(os.Getpid(), s); err != nil {
			t.Fatal(err)
		}
		if !<-ended {
			t.Errorf("%v does not end the window", s)
		}
		select {
		case <-toolkit:
			t.Errorf("%v comes to the toolkit as well", s)
		default:
		}
		signal.Stop(toolkit)
		close(closed)
	}
}

func TestTheTimesEndWithTheWindow(t *testing.T) {
	closed := make(chan struct{})
	times := beginnings(closed)
	<-times
	close(closed)
	ended := make(chan bool, 1)
	go func() { ended <- awaitEnd(context.Background(), closed, times) }()
	if <-ended {
		t.Error("a window that was closed is said to be asked to end")
	}
}
