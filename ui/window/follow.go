package window

import (
	"context"
	"sync/atomic"
	"time"
)

// follower drives the session from a goroutine of its own and asks the main
// goroutine for a repaint only when something changed, and only once at a time.
type follower struct {
	tick    func() bool // true when something changed
	running func() bool
	second  func() // called about once a second
	do      func(func())
	show    func()

	wake    chan struct{}
	pending atomic.Bool
}

// How often the session is followed: fast enough that the picture is never
// more than half a frame late, slowly in silence.
const (
	tickRunning = 8 * time.Millisecond
	tickSilent  = 100 * time.Millisecond
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
		if f.tick() {
			f.ask()
		}
		if f.running() {
			next.Reset(tickRunning)
		} else {
			next.Reset(tickSilent)
		}
	}
}

// ask queues a repaint unless one is queued already.
func (f *follower) ask() {
	if f.pending.CompareAndSwap(false, true) {
		f.do(func() {
			f.pending.Store(false)
			f.show()
		})
	}
}
