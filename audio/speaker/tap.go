package speaker

import (
	"encoding/binary"
	"io"
	"math"
	"sync/atomic"
	"time"
)

// bytesPerFrame is two channels of float32.
const bytesPerFrame = 8

// chunk is the most frames a single Read answers. The device's queue is topped up past its size by at most one answer,
// so short answers keep its length, and with it the latency, even.
const chunk = 256

// A tap is waiting until the watch admits it, and again when its device stalls: it then answers silence and leaves the
// source alone. Admitted, it owns the source, for the length of each Read. Retired, it answers the end of the stream.
const (
	waiting int32 = iota
	admitted
	reading
	retired
)

// tap is the reader that one device pulls. At most one tap is admitted at a time, which is what lets the source, the
// meter and the speaker's line go without a lock: the state's atomic operations order the accesses.
type tap struct {
	s        *Speaker
	state    atomic.Int32
	lastRead atomic.Int64 // clock at the last Read, in nanoseconds; -1 before the first
	held     atomic.Int64 // frames between the last one rendered and the one audible, when all is well
	scratch  []float32
	meter    meter
	holding  int64 // of held, what the device has been filled to so far
	lead     int64 // of the meter, at the last Read
}

func newTap(s *Speaker) *tap {
	t := &tap{s: s, scratch: make([]float32, 2*chunk)}
	t.lastRead.Store(-1)
	return t
}

// Read implements [io.Reader] for the device: whole frames of little-endian float32. It takes no lock and allocates
// nothing.
func (t *tap) Read(p []byte) (int, error) {
	n := min(len(p)/bytesPerFrame, chunk)
	if n == 0 {
		return 0, io.ErrShortBuffer
	}
	p = p[:n*bytesPerFrame]
	now := t.s.opts.Clock()
	t.lastRead.Store(int64(now))
	if !t.state.CompareAndSwap(admitted, reading) {
		if t.state.Load() == retired {
			return 0, io.EOF
		}
		clear(p)
		return len(p), nil
	}
	out := t.scratch[:2*n]
	t.s.src.Render(out)
	t.s.level.apply(out, t.s.opts.Rate)
	for i, v := range out {
		binary.LittleEndian.PutUint32(p[4*i:], math.Float32bits(v))
	}
	rendered := t.s.rendered.Add(int64(n))
	lead, dry := t.meter.note(now, rendered-t.s.frames(now))
	if dry {
		t.s.underruns.Add(1)
	}
	t.s.follow(now, lead-t.fill(lead))
	t.state.Store(admitted)
	return len(p), nil
}

// fill is what is held by now. Where more is to be held than before, it is reached in several Reads, and what is audible
// meanwhile goes on as it was.
func (t *tap) fill(lead int64) int64 {
	held := t.held.Load()
	if t.holding == 0 {
		t.holding = held
	}
	t.holding = min(held, t.holding+max(0, lead-t.lead))
	t.lead = lead
	return t.holding
}

// admit gives the source to a waiting tap.
func (t *tap) admit() {
	t.meter, t.holding = newMeter(t.s.opts.Rate), 0
	t.state.Store(admitted)
}

// bench takes the source from the tap, to be admitted again. It reports false while a Read is under way.
func (t *tap) bench() bool {
	return t.state.CompareAndSwap(admitted, waiting) || t.state.Load() == waiting
}

// retire takes the source from the tap for good. It reports false while a Read is under way.
func (t *tap) retire() bool {
	return t.state.CompareAndSwap(waiting, retired) || t.state.CompareAndSwap(admitted, retired) || t.state.Load() == retired
}

// quietFor is the time since the device last pulled.
func (t *tap) quietFor(now time.Duration) time.Duration {
	return now - time.Duration(t.lastRead.Load())
}
