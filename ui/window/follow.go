package window

import (
	"context"
	"sync/atomic"
	"time"

	"fyne.io/fyne/v2"
)

// follower drives the session and shows what became of it. A goroutine of its
// own keeps the session fed, whatever the main goroutine is busy with. While the
// click runs, a Fyne animation asks once a frame whether anything is heard that
// is not shown: an animation by itself makes Fyne repaint nothing, so that the
// window is repainted only on change (see runGL in Fyne's internal/driver/glfw).
type follower struct {
	tick    func() bool // follows the session; true when the picture is old
	running func() bool
	second  func()       // called about once a second
	do      func(func()) // runs a function on the main goroutine
	show    func()       // brings the picture up to date; main goroutine
	// animated reports whether animations are wanted. Without them the light
	// stands still, and the goroutine's own looks are enough for the rest.
	animated func() bool

	wake    chan struct{}
	pending atomic.Bool
	frames  *fyne.Animation // main goroutine; nil while there is none
}

// How often the goroutine looks: often enough that the next phrase is always
// queued in time.
const (
	tickRunning = 40 * time.Millisecond
	tickSilent  = 120 * time.Millisecond
)

// poke makes the follower look now, as after a key.
func (f *follower) poke() {
	select {
	case f.wake <- struct{}{}:
	default:
	}
}

// follow runs until ctx ends.
func (f *follower) follow(ctx context.Context) {
	seconds := time.NewTicker(time.Second)
	defer seconds.Stop()
	next := time.NewTimer(tickSilent)
	defer next.Stop()
	wasRunning := false
	for {
		select {
		case <-ctx.Done():
			return
		case <-seconds.C:
			f.second()
			continue
		case <-f.wake:
		case <-next.C:
		}
		old, running := f.tick(), f.running()
		if old && (!running || !f.animated()) || running != wasRunning {
			f.ask()
		}
		wasRunning = running
		if running {
			next.Reset(tickRunning)
		} else {
			next.Reset(tickSilent)
		}
	}
}

// ask queues a look at the session on the main goroutine, unless one is queued
// already.
func (f *follower) ask() {
	if f.pending.CompareAndSwap(false, true) {
		f.do(func() {
			f.pending.Store(false)
			f.show()
			f.animate(f.running() && f.animated())
		})
	}
}

// animate starts or stops the look at every frame.
func (f *follower) animate(on bool) {
	switch {
	case on && f.frames == nil:
		f.frames = &fyne.Animation{
			Duration: time.Hour, RepeatCount: fyne.AnimationRepeatForever, Curve: fyne.AnimationLinear,
			Tick: func(float32) {
				if f.tick() {
					f.show()
				}
			},
		}
		f.frames.Start()
	case !on && f.frames != nil:
		f.frames.Stop()
		f.frames = nil
	}
}
