package speaker

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"time"
)

const (
	pictureTick = 10 * time.Millisecond  // how often the clock pulls while no device does
	pictureLead = 30 * time.Millisecond  // how far it pulls ahead, so that a late tick shows nowhere
	pictureGap  = 3 * time.Second        // a clock further ahead than that is not caught up with
	pictureRush = 3                      // how many times faster than it sounds the source is pulled to catch up
	pictureMost = 120 * time.Millisecond // what is pulled at once, at most
	deviceTick  = 100 * time.Millisecond // how often a playing device is looked at
	retryAfter  = 2 * time.Second        // between two tries to open a device
	stallAfter  = time.Second            // a device that pulls nothing for so long has stalled
	patienceMin = 10 * time.Second       // how long a stalled device is waited for before another is opened, and the first at all
	patienceMax = 5 * time.Minute
	growMax     = 600 * time.Millisecond // what is held, at most, however often the device runs dry
)

var (
	errStalled = errors.New("the device takes no more sound")
	errSilent  = errors.New("the sound device does not answer")
)

// watch looks after the device: it opens one, notices when it is lost or stalls, and pulls the source by the clock
// while there is none. Only the goroutine of [Speaker.run] uses it.
type watch struct {
	s       *Speaker
	scratch []float32
	spawn   func(func()) // runs an opening beside the watch

	tap      *tap
	dev      Device        // nil while there is none
	begun    time.Duration // when the speaker was made
	opening  bool
	opened   chan opening
	nextTry  time.Duration
	benched  time.Duration // when the tap was last benched; -1 for one never admitted
	since    time.Duration // when the tap began to wait
	patience time.Duration
	device   string // of the speaker's wishes, what the device was opened with
	wished   time.Duration
	queue    time.Duration
	seen     uint64        // underruns already answered
	pictured time.Duration // when the clock pulled last
}

type opening struct {
	dev Device
	err error
}

func newWatch(s *Speaker) watch {
	return watch{
		s: s, begun: s.opts.Clock(), scratch: make([]float32, 2*chunk), opened: make(chan opening, 1), patience: patienceMin,
		device: s.opts.Device, spawn: func(f func()) { go f() },
	}
}

// run steps the watch until ctx is done.
func (s *Speaker) run(ctx context.Context) {
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-timer.C:
			timer.Reset(s.watch.step(s.opts.Clock()))
		}
	}
}

// step does what is due at the time now and returns how long to wait for the next step.
func (w *watch) step(now time.Duration) time.Duration {
	select {
	case o := <-w.opened:
		w.opening = false
		w.take(o, now)
	default:
	}
	wanted := time.Duration(w.s.wanted.Load())
	less := w.dev != nil && wanted != w.wished && wanted < w.s.Buffer()
	if wanted != w.wished && !less {
		w.wished = wanted
		w.hold(wanted)
	}
	switch {
	case w.dev == nil:
		if !w.opening && now >= w.nextTry {
			w.try(now)
		}
	case less || *w.s.device.Load() != w.device: // what is held and no longer wanted would have to be played first
		played := w.s.frames(now) + w.s.line.Load() // what the old device still plays is not to sound together with the new one's
		after := time.Duration(w.s.rendered.Load()-played) * time.Second / time.Duration(w.s.opts.Rate)
		if !w.change(now + max(after, 0)) {
			return pictureTick
		}
	case w.dev.Err() != nil:
		if !w.lose(w.dev.Err(), now) {
			return pictureTick
		}
	case w.tap.state.Load() != waiting:
		if w.tap.quietFor(now) <= stallAfter {
			w.grow()
			return deviceTick
		}
		if !w.tap.bench() {
			return pictureTick
		}
		w.benched, w.since, w.pictured = now, now, now-pictureTick
		w.seen = w.s.underruns.Add(1) // more to hold is no help there
		w.tell(errStalled)
	case time.Duration(w.tap.lastRead.Load()) > w.benched && w.caughtUp(now):
		// The device pulls, so it gets the source. The tap is told what was agreed to be held before it can ask.
		w.tap.held.Store(w.held())
		w.s.delay.Store(w.held())
		w.tap.admit(w.isSettled())
		w.s.state.Store(&State{Sounding: true})
		w.settled()
		return deviceTick
	case now-w.since > w.patience:
		w.patience = min(2*w.patience, patienceMax)
		if !w.lose(errStalled, now) {
			return pictureTick
		}
	}
	// Until the first device has pulled, the music waits for it: a player's first beat would sound to nobody. A sound
	// server can accept and never answer; opening then has no end.
	if !w.isSettled() {
		if now-w.begun < patienceMin {
			w.s.follow(now, -w.s.frames(now+pictureTick)) // where it begins, should the next step not wait
			return pictureTick
		}
		w.tell(errSilent)
		w.settled()
	}
	w.picture(now)
	return pictureTick
}

// try begins to open a device.
func (w *watch) try(now time.Duration) {
	w.opening = true
	w.nextTry = now + retryAfter
	w.tap = newTap(w.s)
	w.device = *w.s.device.Load()
	src, f := w.tap, Format{Rate: w.s.opts.Rate, Buffer: w.s.opts.Buffer, Queue: w.queue, Device: w.device}
	w.spawn(func() {
		dev, err := w.s.opts.Open(src, f)
		w.opened <- opening{dev, err}
	})
}

// take receives what an opening came to.
func (w *watch) take(o opening, now time.Duration) {
	if o.err != nil {
		w.tap.retire()
		w.tell(o.err)
		w.settled()
		return
	}
	w.dev, w.benched, w.since = o.dev, -1, now
}

// lose gives the device up and says why. It reports false while the device is in the middle of a Read.
func (w *watch) lose(err error, now time.Duration) bool {
	if !w.change(now) {
		return false
	}
	w.tell(err)
	w.settled()
	return true
}

// change gives the device up, to open another at the time given. It reports false while the device is in the middle of
// a Read.
func (w *watch) change(at time.Duration) bool {
	if !w.tap.retire() {
		return false
	}
	w.dev.Close()
	w.dev = nil
	w.nextTry, w.pictured = at, at-pictureTick
	return true
}

// picture pulls the source up to where the clock is and discards it. After a device was lost it pulls nothing until
// the clock has passed what the device had not yet played. Once another is open it pulls ahead by what that holds: the
// first frame that it gets is the one that will be due when it is heard, so that the music goes on as if it had not
// been lost; the tap sees to the frame ([tap.align]). Where the clock is ahead it is caught up with a little at a time,
// for whoever keeps the source fed.
func (w *watch) picture(now time.Duration) {
	s := w.s
	late := s.frames(now) + s.line.Load() - s.rendered.Load()
	if late > s.frames(pictureGap) {
		// The whole program stood still, as on a machine that sleeps. So did the music.
		s.follow(now, s.line.Load()-late)
		late = 0
	}
	if late > 0 { // up to now nothing beyond what was pulled was audible
		s.past.note(now, s.line.Load(), s.rendered.Load())
	}
	since := now - w.pictured
	w.pictured = now
	most := s.frames(min(max(since, pictureTick)*pictureRush, pictureMost))
	for todo := min(late+w.lead(), most); todo > 0; {
		n := min(todo, chunk)
		s.src.Render(w.scratch[:2*n])
		s.rendered.Add(n)
		todo -= n
	}
}

// lead is how many frames the source is pulled ahead of what would be audible while no device has it.
func (w *watch) lead() int64 {
	if lead := w.s.frames(pictureLead); w.dev == nil {
		return lead
	}
	return max(w.s.frames(pictureLead), w.held())
}

// caughtUp pulls up to where a device that pulls can take the source over, and reports whether that is reached and the
// device steady. The first device takes the source from its beginning, at once.
func (w *watch) caughtUp(now time.Duration) bool {
	if !w.isSettled() || !w.tap.steady.Load() {
		return !w.isSettled()
	}
	w.picture(now)
	return w.s.rendered.Load() >= w.s.frames(now)+w.s.line.Load()+w.lead()
}

// grow has twice as much held each time that the device was found to have run dry: so a busy machine is heard once or
// twice, and then no more. What has grown stays until the device is closed or the player says otherwise.
func (w *watch) grow() {
	n := w.s.underruns.Load()
	if n == w.seen {
		return
	}
	w.seen = n
	if now := w.s.opts.Buffer + w.queue; now < growMax {
		w.hold(min(2*now, growMax))
	}
}

// hold has so much held from now on, by a device that plays as well.
func (w *watch) hold(all time.Duration) {
	w.queue = max(all-w.s.opts.Buffer, 0)
	if w.dev != nil {
		w.dev.SetQueue(w.queue)
		w.tap.held.Store(w.held())
		w.s.delay.Store(w.held())
	}
	w.s.holds.Store(int64(w.s.opts.Buffer + w.queue))
}

// held is the number of frames between the one just rendered and the one audible, right after the device's buffers
// were filled: what the device says, or its buffer, the period that the driver has in hand (drivers take half a buffer
// at a time), and the queue, which is topped up past its length by half an answer on average.
func (w *watch) held() int64 {
	s := w.s
	if d, ok := w.dev.(holder); ok {
		return d.Holds()
	}
	return s.frames(s.opts.Buffer) + s.frames(s.opts.Buffer/2) + s.frames(w.queue) + chunk/2
}

// tell puts err into one line for the player.
func (w *watch) tell(err error) {
	line := fmt.Sprintf("No sound: %s. The beat goes on silently; sound returns when the device does.", short(err))
	if w.s.State().Line == line {
		return // each try that fails in the same way is no news
	}
	w.s.state.Store(&State{Line: line, Err: err})
}

// settled says that the first try is over.
func (w *watch) settled() {
	if !w.isSettled() {
		close(w.s.ready)
	}
}

func (w *watch) isSettled() bool {
	select {
	case <-w.s.ready:
		return true
	default:
		return false
	}
}

// end takes the source from the tap and closes the device, also one still being opened. It is called when run has
// ended.
func (w *watch) end() {
	if w.tap != nil {
		for !w.tap.retire() { // at most the length of one Render
			runtime.Gosched()
		}
	}
	if w.dev != nil {
		w.dev.Close()
	}
	if w.opening {
		go func() {
			if o := <-w.opened; o.err == nil {
				o.dev.Close()
			}
		}()
	}
	w.s.state.Store(&State{Line: "The sound device is closed."})
	w.settled()
}
