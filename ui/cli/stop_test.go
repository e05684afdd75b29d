package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"footing/audio/speaker"
	"footing/ladder/routine"
)

// unanswered is a sound server that accepts and never answers, until the test is over.
func unanswered(t *testing.T) speaker.Opener {
	over := make(chan struct{})
	t.Cleanup(func() { close(over) })
	return func(io.Reader, speaker.Format) (speaker.Device, error) {
		<-over
		return nil, io.ErrClosedPipe
	}
}

func TestASoundServerThatNeverAnswers(t *testing.T) {
	path := write(t, runs)
	for _, tt := range []struct {
		name  string
		after time.Duration // when it is stopped
		least time.Duration
		most  time.Duration
		said  string
	}{
		{"stopped by hand", time.Second, time.Second, time.Second, "footing: stopped\n"},
		{"given up", time.Hour, 10 * time.Second, 11 * time.Second, "there is no sound device: the sound device does not answer\n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				ctx, stop := context.WithCancel(t.Context())
				time.AfterFunc(tt.after, stop)
				began := time.Now()
				var out, e bytes.Buffer
				code := Run(ctx, World{Out: &out, Err: &e, Device: unanswered(t)}, []string{"play", path})
				took := time.Since(began)
				if code != FaultMachine || !strings.HasSuffix(e.String(), tt.said) || took < tt.least || took > tt.most {
					t.Errorf("status %d after %v: %q", code, took, e.String())
				}
				stop()
			})
		})
	}
}

// A command that hangs in something that knows no context is left behind, and says no more.
func TestACommandThatDoesNotEndIsLeftBehind(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(t.Context())
		time.AfterFunc(time.Second, stop)
		var out bytes.Buffer
		o := &output{w: &out}
		over := make(chan struct{})
		began := time.Now()
		err := within(ctx, func() error {
			<-over
			_, err := io.WriteString(Plain(o), "too late\n")
			return err
		}, o.leave)
		if took := time.Since(began); err != context.Canceled || took != time.Second+grace {
			t.Errorf("%v after %v", err, took)
		}
		close(over)
		synctest.Wait()
		if out.Len() > 0 {
			t.Errorf("what was left behind writes %q", out.String())
		}
		// One that ends by itself keeps its own error.
		if err := within(ctx, func() error { return io.ErrNoProgress }, func() { t.Error("left behind") }); err != io.ErrNoProgress {
			t.Errorf("answers %v", err)
		}
	})
}

// A pipe that nobody empties takes no word, on either stream.
func TestAStreamThatTakesNothing(t *testing.T) {
	good, bad := write(t, runs), write(t, "footing: 2")
	for _, path := range []string{good, bad, "nowhere.yaml"} {
		synctest.Test(t, func(t *testing.T) {
			ctx, stop := context.WithCancel(t.Context())
			time.AfterFunc(time.Second, stop)
			stuck := make(stuckStream)
			code := Run(ctx, World{Out: stuck, Err: stuck}, []string{"check", path})
			if code != FaultMachine {
				t.Errorf("check %s: status %d", path, code)
			}
			close(stuck)
		})
	}
}

type stuckStream chan struct{}

func (s stuckStream) Write(p []byte) (int, error) {
	<-s
	return len(p), nil
}

func TestCheckStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	var out, e bytes.Buffer
	code := Run(ctx, World{Out: &out, Err: &e}, []string{"check", write(t, runs)})
	if code != FaultMachine || out.Len() > 0 || e.String() != "footing: stopped\n" {
		t.Errorf("status %d, %q, %q", code, out.String(), e.String())
	}
}

// A machine that has no room for another open file is at fault, not the file.
func TestAMachineThatCannotReadIsAtFault(t *testing.T) {
	for err, want := range map[error]int{
		fmt.Errorf("cannot open the routine: %w", syscall.EMFILE):     FaultMachine,
		fmt.Errorf("cannot read the routine: %w", syscall.EIO):        FaultMachine,
		fmt.Errorf("cannot open the routine: %w", syscall.ENOENT):     FaultInput,
		routine.Errors{{File: "x.yaml", What: "it is no routine"}}[0]: FaultInput,
	} {
		if got := status(loadFault(err)); got != want {
			t.Errorf("%v: status %d, want %d", err, got, want)
		}
	}
}
