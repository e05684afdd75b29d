package speaker

import (
	"sync/atomic"
	"time"
)

// history keeps by what line the audible frame followed the clock, as far back as its ring reaches. One goroutine
// notes at a time, the one that holds the source, without a lock and without allocating; any may look.
//
// The line settles within the first second of a device, and then moves by a few frames a second at most, so that a ring
// of changes holds minutes; while it settles it can move at every answer, which are 188 a second at 48 kHz: then 5 s.
type history struct {
	noted atomic.Int64 // changes so far; the one of number n lies in ring[n%len(ring)]
	ring  [1024]change
}

// change is from when on a line holds, and how many frames had been rendered by then.
type change struct {
	at, line, rendered atomic.Int64
}

// note takes down a line that holds from now on.
func (h *history) note(at time.Duration, line, rendered int64) {
	n := h.noted.Load()
	c := &h.ring[n%int64(len(h.ring))]
	c.at.Store(int64(at))
	c.line.Store(line)
	c.rendered.Store(rendered)
	h.noted.Store(n + 1)
}

// at is the frame that was audible at a time: on the line of that time, but no frame that had not been rendered yet,
// and none beyond where a later line begins: a device that ran dry lost ground before that was found. It reports false
// for a time before those kept. offset is in frames.
func (h *history) at(t time.Duration, s *Speaker, offset int64) (int64, bool) {
	most := s.rendered.Load()
	newest := h.noted.Load() - 1
	for n := newest; n >= 0; n-- {
		c := &h.ring[n%int64(len(h.ring))]
		at, line, rendered := time.Duration(c.at.Load()), c.line.Load(), c.rendered.Load()
		if h.noted.Load() >= n+int64(len(h.ring)) {
			return 0, false // its place is being taken by a new one
		}
		if at <= t {
			return min(s.frames(t)+line-offset, most), true
		}
		most = min(most, rendered, s.frames(at)+line-offset)
	}
	return 0, false
}
