package window

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"

	"fyne.io/fyne/v2"
)

// awaitEnd waits until ctx ends or a signal asks the program to end; it reports
// false when the window was closed before.
//
// Fyne takes the signals too, and ends its loop at once (see catchTerm in its
// internal/driver/glfw), while keys that were typed are still unread. So they are
// taken from it, at each of the times: a goroutine of its own asks for them somewhere
// near the beginning of the loop, and cannot be seen to. One that comes before ends
// the loop as Fyne sees fit, and ctx is what is told of it; there is hardly a key to
// be read by then.
//
// asked has room for a signal.
func awaitEnd(ctx context.Context, closed <-chan struct{}, times <-chan time.Time, asked chan os.Signal) bool {
	for {
		select {
		case <-times:
			takeSignals(asked)
		case <-ctx.Done():
			return true
		case <-asked:
			return true
		case <-closed:
			return false
		}
	}
}

// takeSignals has the signals that ask the program to end come to a channel, and no
// more to whoever asked for them before.
func takeSignals(asked chan<- os.Signal) {
	signals := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		signals = append(signals, syscall.SIGHUP) // the terminal was closed
	}
	signal.Reset(signals...)
	signal.Notify(asked, signals...)
}

// beginnings are some times near the beginning of Fyne's loop, the last when it is
// well under way on the slowest machine. They end with closed.
func beginnings(closed <-chan struct{}) <-chan time.Time {
	times := make(chan time.Time)
	go func() {
		for _, wait := range []time.Duration{20, 80, 200, 700} {
			select {
			case <-closed:
				return
			case now := <-time.After(wait * time.Millisecond):
				select {
				case <-closed:
					return
				case times <- now:
				}
			}
		}
	}()
	return times
}

// orderly calls end on the main goroutine after the keys that were typed so far
// have been read: animations are looked after once a frame, after the keys.
func orderly(end func()) {
	fyne.Do(func() {
		const frames = 2
		n := 0
		(&fyne.Animation{
			Duration: time.Hour, RepeatCount: fyne.AnimationRepeatForever, Curve: fyne.AnimationLinear,
			Tick: func(float32) {
				if n++; n == frames {
					end()
				}
			},
		}).Start()
	})
}

// endsForSure has Fyne do nothing of its own when its loop has ended. It would
// have the preferences written then, which are not ours, by a goroutine that
// waits for the loop; where that one is quicker to ask than the loop is to say
// that it has ended, both wait for good (see runGL in its internal/driver/glfw,
// and WaitForEvents in its internal/app).
func endsForSure(a fyne.App) {
	if l, ok := a.Lifecycle().(interface{ SetOnStoppedHookExecuted(func()) }); ok {
		l.SetOnStoppedHookExecuted(nil)
	}
}
