package window

import (
	"os"
	"os/signal"
	"syscall"
	"time"

	"fyne.io/fyne/v2"
)

// takeSignals has the signals that ask a program to end come to the window alone.
// Fyne takes them too, and ends its loop at once (see catchTerm in its
// internal/driver/glfw), while keys that were typed are still unread. Its own
// handler is there before its loop begins, which is when this is called.
func takeSignals(c chan<- os.Signal) {
	asked := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		asked = append(asked, syscall.SIGHUP) // the terminal was closed
	}
	signal.Reset(asked...)
	signal.Notify(c, asked...)
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
