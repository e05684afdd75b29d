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

// Many devices start unevenly: what a waiting tap learns of its device in the first unevenFor is forgotten, and after
// steadyAfter it knows enough to hand the source over on its exact frame.
const (
	unevenFor   = 200 * time.Millisecond
	steadyAfter = 500 * time.Millisecond
)

// tap is the reader that one device pulls. At most one tap is admitted at a time, which is what lets the source and the
// speaker's line go without a lock: the state's atomic operations order the accesses.
type tap struct {
	s        *Speaker
	state    atomic.Int32
	lastRead atomic.Int64 // clock at the last Read, in nanoseconds; -1 before the first
	held     atomic.Int64 // frames between the last one rendered and the one audible, when all is well
	steady   atomic.Bool  // the device has pulled evenly for so long that the source can be handed over exactly
	aligned  atomic.Bool  // the music goes on where the line says, not where the source is

	// What follows belongs to Read alone.
	scratch []float32
	meter   meter
	given   int64         // frames that the device got, silence included
	began   time.Duration // when it began to pull silence; -1 for not yet
	uneven  bool          // it began less than unevenFor ago
	served  bool          // the last Read had the source
	shift   int64         // rendered less given, once the source is on its frame
	ahead   int64         // frames by which the source is further than that: so much silence comes first
	holding int64         // of held, what the device has been filled to so far
	lead    int64         // of the meter, at the last Read
}

func newTap(s *Speaker) *tap {
	t := &tap{s: s, scratch: make([]float32, 2*chunk), began: -1}
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
	before := time.Duration(t.lastRead.Swap(int64(now)))
	if !t.state.CompareAndSwap(admitted, reading) {
		if t.state.Load() == retired {
			return 0, io.EOF
		}
		t.wait(now, before, n)
		clear(p)
		return len(p), nil
	}
	if !t.served {
		t.served = true
		t.align()
	}
	silent := min(t.ahead, int64(n))
	t.ahead -= silent
	out := t.scratch[:2*n]
	clear(out[:2*silent])
	t.render(out[2*silent:])
	t.s.level.apply(out, t.s.opts.Rate)
	for i, v := range out {
		binary.LittleEndian.PutUint32(p[4*i:], math.Float32bits(v))
	}
	t.given += int64(n)
	lead, dry := t.meter.note(now, t.given-t.s.frames(now))
	if dry {
		t.s.underruns.Add(1)
	}
	t.s.follow(now, lead+t.shift-t.fill(lead))
	t.state.Store(admitted)
	return len(p), nil
}

// render pulls the source, which the tap must hold.
func (t *tap) render(out []float32) {
	if len(out) > 0 {
		t.s.src.Render(out)
		t.s.rendered.Add(int64(len(out) / 2))
	}
}

// wait learns from a Read that is answered with n frames of silence how the device takes sound. before is when the one
// before it was.
func (t *tap) wait(now, before time.Duration, n int) {
	if t.served || now-before > stallAfter {
		t.served, t.began = false, -1
	}
	if t.began < 0 {
		t.began, t.given, t.uneven, t.meter = now, 0, true, newMeter(t.s.opts.Rate)
		t.steady.Store(false)
	}
	if t.uneven && now-t.began >= unevenFor {
		t.uneven, t.meter = false, newMeter(t.s.opts.Rate)
	}
	t.given += int64(n)
	t.meter.note(now, t.given-t.s.frames(now))
	if now-t.began >= steadyAfter {
		t.steady.Store(true)
	}
}

// align finds which frame of the source is the next to be given. The next that the device gets is audible once what it
// leads the clock by has been played, less what is held, and the line says which frame of the source is due then. What
// the source is short of that is passed over, which is hardly ever anything: it is pulled ahead for the purpose.
func (t *tap) align() {
	s := t.s
	t.holding, t.ahead = 0, 0
	if !t.aligned.Load() {
		t.given, t.shift, t.meter = s.rendered.Load(), 0, newMeter(s.opts.Rate)
		return
	}
	t.shift = s.line.Load() + t.held.Load() - t.meter.lead
	t.ahead = s.rendered.Load() - t.given - t.shift
	for most := s.frames(pictureMost); t.ahead < 0 && most > 0; {
		n := min(-t.ahead, most, chunk)
		t.render(t.scratch[:2*n])
		t.ahead, most = t.ahead+n, most-n
	}
	if t.ahead < 0 {
		t.shift, t.ahead = t.shift+t.ahead, 0
	}
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

// admit gives the source to a waiting tap. With aligned the music goes on where the line says, to the frame: the device
// has to be steady, and the source pulled as far ahead as it holds. Else the device begins with the source's next frame.
func (t *tap) admit(aligned bool) {
	t.aligned.Store(aligned)
	t.state.Store(admitted)
}

// bench takes the source from the tap, to be admitted again. It reports false while a Read is under way.
func (t *tap) bench() bool {
	if !t.state.CompareAndSwap(admitted, waiting) {
		return t.state.Load() == waiting
	}
	t.steady.Store(false)
	return true
}

// retire takes the source from the tap for good. It reports false while a Read is under way.
func (t *tap) retire() bool {
	return t.state.CompareAndSwap(waiting, retired) || t.state.CompareAndSwap(admitted, retired) || t.state.Load() == retired
}

// quietFor is the time since the device last pulled.
func (t *tap) quietFor(now time.Duration) time.Duration {
	return now - time.Duration(t.lastRead.Load())
}
