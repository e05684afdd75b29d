package speaker

import (
	"context"
	"fmt"
	"sync"
	"sync/atomic"
	"time"
)

// Source renders the sound to be played.
type Source interface {
	// Render fills dst with interleaved stereo samples in [-1, 1]. It is called from one goroutine at a time, in a
	// place where blocking or allocating is heard as a gap.
	Render(dst []float32)
}

// Options say how to open a speaker. The zero value is right for a player at a desk.
type Options struct {
	// Rate is the frames per second of the source, 48 000 if zero. A device that runs at another rate converts.
	Rate int
	// Buffer is the time the device is asked to hold, [DefaultBuffer] if zero.
	Buffer time.Duration
	// Queue is the time held ready in front of the device, [DefaultQueue] if zero. It grows by itself when the device
	// is found to need more.
	Queue time.Duration
	// Device is the name of the device among [Devices]; empty for the system's own choice.
	Device string
	// Offset is the player's own calibration, see [Speaker.SetOffset].
	Offset time.Duration
	// Clock tells monotonic time since any fixed moment, the system's if nil. It must be safe for concurrent use.
	Clock func() time.Duration
	// Open opens a device, [System] if nil.
	Open Opener
}

// The default buffers keep the click whole while other programs keep every core busy, and put a key's sound about
// 0.13 s behind the key. ALSA holds the sum in the device, from which the system fills the ear whatever this program's
// scheduling does. Elsewhere the queue has to hold one period (half the device's buffer), because the driver takes a
// period at once, and some more for devices that round their period up.
const (
	DefaultBuffer = 70 * time.Millisecond
	DefaultQueue  = 48 * time.Millisecond
)

// The least and the most that a player can have held.
const (
	LeastBuffer = DefaultBuffer
	MostBuffer  = growMax
)

// State is what to tell the player about the device.
type State struct {
	// Sounding says whether a device takes the sound.
	Sounding bool
	// Line is one sentence for the player, empty while sounding.
	Line string
	// Err is the cause in full, nil while sounding and before the first try is over.
	Err error
}

// Speaker is one source on whatever device there is. Its methods are safe for concurrent use.
type Speaker struct {
	src  Source
	opts Options

	// rendered counts the frames pulled from the source; line is the audible frame less the clock's frame. Both are
	// written only by whoever holds the source at the time: the admitted tap, or the watch while none is.
	rendered  atomic.Int64
	line      atomic.Int64
	past      history      // of line; written with it
	offset    atomic.Int64 // nanoseconds
	heard     atomic.Int64 // the furthest answer of Heard
	underruns atomic.Uint64
	level     *level
	device    atomic.Pointer[string] // that the player wants
	wanted    atomic.Int64           // nanoseconds that the player wants to be held
	holds     atomic.Int64           // nanoseconds that the device and the queue are to hold
	delay     atomic.Int64           // frames that they hold when all is well, as far as is known
	state     atomic.Pointer[State]

	ready     chan struct{}
	cancel    context.CancelFunc
	watching  sync.WaitGroup
	closeOnce sync.Once
	watch     watch
}

// Open starts pulling src and opening the device. It returns at once; [Speaker.Ready] tells when the first try is
// over. It fails only on options out of range: a machine without sound is a state, not an error.
func Open(src Source, opts Options) (*Speaker, error) {
	s, err := newSpeaker(src, opts)
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithCancel(context.Background())
	s.cancel = cancel
	s.watching.Go(func() { s.run(ctx) })
	return s, nil
}

func newSpeaker(src Source, opts Options) (*Speaker, error) {
	if opts.Rate == 0 {
		opts.Rate = 48_000
	}
	if opts.Rate < 8_000 || opts.Rate > 192_000 {
		return nil, fmt.Errorf("open speaker: rate is %d frames per second; 8000 to 192000 can be played", opts.Rate)
	}
	if opts.Buffer == 0 {
		opts.Buffer = DefaultBuffer
	}
	if opts.Queue == 0 {
		opts.Queue = DefaultQueue
	}
	if opts.Buffer < 0 || opts.Queue < 0 || opts.Buffer > time.Second || opts.Queue > time.Second {
		return nil, fmt.Errorf("open speaker: buffers are %v and %v; each may be up to 1s", opts.Buffer, opts.Queue)
	}
	if opts.Clock == nil {
		begin := time.Now()
		opts.Clock = func() time.Duration { return time.Since(begin) }
	}
	if opts.Open == nil {
		opts.Open = System
	}
	s := &Speaker{src: src, opts: opts, level: newLevel(), ready: make(chan struct{}), cancel: func() {}}
	s.offset.Store(int64(opts.Offset))
	s.follow(opts.Clock(), -s.frames(opts.Clock()))
	s.state.Store(&State{Line: "The sound device is being opened."})
	s.device.Store(&opts.Device)
	s.wanted.Store(int64(opts.Buffer + opts.Queue))
	s.watch = newWatch(s)
	return s, nil
}

// Close takes the source from the device and ends every goroutine that might call it: after Close returns, Render is
// not called again. The device falls silent after what it holds. Close never fails; closing twice is harmless.
func (s *Speaker) Close() error {
	s.closeOnce.Do(func() {
		s.cancel()
		s.watching.Wait()
		s.watch.end()
	})
	return nil
}

// Ready is closed when the first try to open a device is over, successful or not, and after ten seconds without an
// answer. A device that answers later is taken up all the same.
func (s *Speaker) Ready() <-chan struct{} { return s.ready }

// Rate is the frames per second that the source is pulled at.
func (s *Speaker) Rate() int { return s.opts.Rate }

// Rendered is the number of frames pulled from the source so far.
func (s *Speaker) Rendered() int64 { return s.rendered.Load() }

// Heard is the frame of the source that is audible now: frames rendered, less what is queued, less what the device is
// taken to hold, less the player's offset. It follows the clock between two calls of the device, never goes back, and
// stands still where the sound stands still. Without a device it is the frame that would be audible.
func (s *Speaker) Heard() int64 {
	now := s.frames(s.opts.Clock()) + s.line.Load() - s.frames(time.Duration(s.offset.Load()))
	now = max(0, min(now, s.rendered.Load()))
	for {
		before := s.heard.Load()
		if now <= before {
			return before
		}
		if s.heard.CompareAndSwap(before, now) {
			return now
		}
	}
}

// Now is the time on the speaker's clock, that of [Options], on which [Speaker.AudibleAt] is asked. What else keeps
// times that are to be compared, such as a microphone, takes them from here or from the same clock.
func (s *Speaker) Now() time.Duration { return s.opts.Clock() }

// AudibleAt is the frame of the source that was audible at a time on the speaker's clock; see [Speaker.Now]. It reports
// false when no frame was audible yet, when the time is still to come, or when it is longer ago than is kept: 5 s at
// least at 48 kHz, and minutes once a device has played for a second. A later time has no earlier frame. It may be
// called from anywhere; it takes no lock and does not allocate.
//
// It has two errors. One stays the same while a device plays: how much sooner or later than estimated the sound is at
// the ear, which no driver tells. A device that holds what it was asked to hold is half an answer (3 ms) off; one that
// rounds its buffers is a period off, and a wireless headphone a fifth of a second. [Speaker.SetOffset] takes that out,
// of times past as well. The other moves: it is within 3 ms, what the estimate forgives a busy machine. (64 clicks
// recorded from a sound server were all 8 to 10 ms beside what was said.) Where the device ran dry, the frames of up to
// three seconds before that was found may be ahead by the gap.
func (s *Speaker) AudibleAt(t time.Duration) (frame int64, ok bool) {
	if t > s.opts.Clock() {
		return 0, false
	}
	frame, ok = s.past.at(t, s, s.frames(time.Duration(s.offset.Load())))
	if !ok || frame < 0 {
		return 0, false
	}
	return frame, true
}

// follow sets the line from now on. Only who holds the source may call it.
func (s *Speaker) follow(now time.Duration, line int64) {
	if s.past.noted.Load() > 0 && line == s.line.Load() {
		return
	}
	s.past.note(now, line, s.rendered.Load())
	s.line.Store(line)
}

// SetOffset sets the player's own calibration: by how much longer than estimated the sound takes to the ear. A
// wireless headphone may need 0.2 s; a negative offset is allowed.
func (s *Speaker) SetOffset(d time.Duration) { s.offset.Store(int64(d)) }

// Underruns counts the times the device ran dry while it was playing. One that ends within the first two seconds
// after a device was taken up is not counted, since many devices start unevenly.
func (s *Speaker) Underruns() uint64 { return s.underruns.Load() }

// SetDevice has another device opened, by its name among [Devices]; empty for the system's own choice. It takes a moment,
// in which the music goes on unheard. Where it cannot be opened [Speaker.State] says so.
func (s *Speaker) SetDevice(name string) { s.device.Store(&name) }

// SetBuffer sets how much sound the device and its queue hold, [LeastBuffer] to [MostBuffer]: the more, the less a busy
// machine is heard, and the later a key. It holds until the device is found to need more; then it grows.
func (s *Speaker) SetBuffer(d time.Duration) {
	s.wanted.Store(int64(min(max(d, LeastBuffer), MostBuffer)))
}

// Buffer is how much sound is to be held now: what was asked for, or more, where that was not enough.
func (s *Speaker) Buffer() time.Duration { return time.Duration(s.holds.Load()) }

// Delay is how long after it was rendered a frame is heard, as far as is known: what is held, and the player's offset.
func (s *Speaker) Delay() time.Duration {
	return time.Duration(s.delay.Load()*int64(time.Second)/int64(s.opts.Rate) + s.offset.Load())
}

// Offset is the player's own calibration; see [Speaker.SetOffset].
func (s *Speaker) Offset() time.Duration { return time.Duration(s.offset.Load()) }

// State says whether a device takes the sound, and if none does, why.
func (s *Speaker) State() State { return *s.state.Load() }

// frames converts a time to frames, rounding towards zero. Seconds are split off first: nanoseconds times a rate
// leave 64 bits after half a day.
func (s *Speaker) frames(d time.Duration) int64 {
	rate := int64(s.opts.Rate)
	return int64(d/time.Second)*rate + int64(d%time.Second)*rate/int64(time.Second)
}
