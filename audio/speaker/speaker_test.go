package speaker

import (
	"encoding/binary"
	"errors"
	"io"
	"math"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// counting renders each frame's own number, exact in float32 up to 2^24, so a frame left out or given twice shows.
type counting struct{ next int64 }

func (c *counting) Render(dst []float32) {
	for i := 0; i < len(dst); i += 2 {
		dst[i], dst[i+1] = float32(c.next), -float32(c.next)
		c.next++
	}
}

// device is a sound device with a clock: it takes what its rate and buffer say, in periods, when told that time passed.
type device struct {
	src    io.Reader
	f      Format
	err    error
	closed bool
	stuck  bool
	stalls time.Duration // for so long it takes what it holds and plays nothing, as many do at first
	got    []byte
	queue  time.Duration
	eof    bool

	playing time.Duration // playing time so far
	want    int64
}

func (d *device) Err() error               { return d.err }
func (d *device) SetQueue(q time.Duration) { d.queue = q }
func (d *device) Close() error             { d.closed = true; return nil }

// pull takes frames until the device holds what it should after it played for t more.
func (d *device) pull(t time.Duration) {
	if d.stuck || d.err != nil {
		return
	}
	if d.stalls > 0 {
		d.stalls, t = d.stalls-t, 0
	}
	d.playing += t
	held := d.f.Buffer + d.f.Buffer/2 + d.queue
	total := int64((d.playing + held) * time.Duration(d.f.Rate) / time.Second)
	p := make([]byte, 4096*bytesPerFrame)
	for d.want < total && !d.eof {
		n, err := d.src.Read(p)
		d.eof = err == io.EOF
		d.got = append(d.got, p[:n]...)
		d.want += int64(n / bytesPerFrame)
	}
}

// frames are the numbers of the source's frames that the device got, without the silence.
func (d *device) frames(t *testing.T) []int64 {
	t.Helper()
	var out []int64
	for i := 0; i+8 <= len(d.got); i += 8 {
		l := math.Float32frombits(binary.LittleEndian.Uint32(d.got[i:]))
		r := math.Float32frombits(binary.LittleEndian.Uint32(d.got[i+4:]))
		if l != -r {
			t.Fatalf("frame %d: left %v, right %v: channels out of step", i/8, l, r)
		}
		if l != 0 {
			out = append(out, int64(l))
		}
	}
	return out
}

// bench is a speaker on fake devices and a clock that only the test moves.
type bench struct {
	t       *testing.T
	now     atomic.Int64
	src     *counting
	s       *Speaker
	absent  error         // what opening fails with
	stalls  time.Duration // of devices that are opened
	devices []*device
	opens   int
	next    time.Duration
}

func newBench(t *testing.T) *bench {
	b := &bench{t: t, src: &counting{next: 1}}
	s, err := newSpeaker(b.src, Options{
		Clock: func() time.Duration { return time.Duration(b.now.Load()) },
		Open: func(src io.Reader, f Format) (Device, error) {
			b.opens++
			if b.absent != nil {
				return nil, b.absent
			}
			d := &device{src: src, f: f, queue: f.Queue, stalls: b.stalls}
			b.devices = append(b.devices, d)
			d.pull(0) // as a player does that fills its queue before it is handed out
			return d, nil
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	s.watch.spawn = func(f func()) { f() }
	b.s = s
	t.Cleanup(func() { s.Close() })
	return b
}

func (b *bench) last() *device { return b.devices[len(b.devices)-1] }

// run lets time pass in steps of a millisecond: the newest device pulls every 5 ms, the watch steps when it asked to.
// Heard must never go back nor jump by more than most frames in a step.
func (b *bench) run(d time.Duration, most int64) {
	b.t.Helper()
	before := b.s.Heard()
	for end := time.Duration(b.now.Load()) + d; time.Duration(b.now.Load()) < end; {
		now := time.Duration(b.now.Add(int64(time.Millisecond)))
		if len(b.devices) > 0 && now%(5*time.Millisecond) == 0 {
			b.last().pull(5 * time.Millisecond)
		}
		if now >= b.next {
			b.next = now + b.s.watch.step(now)
		}
		heard := b.s.Heard()
		if heard < before || heard > before+most {
			b.t.Fatalf("at %v: heard frame %d after %d; a step may be 0 to %d frames", now, heard, before, most)
		}
		if heard > b.s.Rendered() {
			b.t.Fatalf("at %v: heard frame %d of %d rendered", now, heard, b.s.Rendered())
		}
		before = heard
	}
}

func (b *bench) want(sounding bool, line string) {
	b.t.Helper()
	if s := b.s.State(); s.Sounding != sounding || !strings.Contains(s.Line, line) || (line == "") != (s.Line == "") {
		b.t.Fatalf("state is %+v, want sounding %v and a line with %q", s, sounding, line)
	}
}

// consecutive checks that every source frame reached a device at most once, in order, with gaps only where no device was.
func (b *bench) consecutive(gaps int) {
	b.t.Helper()
	before, found := int64(0), 0
	for _, d := range b.devices {
		for _, f := range d.frames(b.t) {
			if f <= before {
				b.t.Fatalf("frame %d came after frame %d", f, before)
			}
			if f != before+1 {
				found++
			}
			before = f
		}
	}
	if found != gaps {
		b.t.Fatalf("%d gaps in the frames that reached devices, want %d", found, gaps)
	}
}

// rush is what the clock pulls in one tick, at most, while it catches up, besides.
const rush = pictureRush*480 + step1

// step1 is a millisecond of frames and one for rounding, plus what the estimate settles by in one Read.
const step1 = 48 + 1 + chunk

func TestPlays(t *testing.T) {
	b := newBench(t)
	b.run(3*time.Second, step1)
	b.run(7*time.Second, 49+28) // settled: a millisecond, and what two clocks may part within a second
	b.want(true, "")
	b.consecutive(0)
	if b.s.Underruns() != 0 {
		t.Errorf("%d underruns on a device that never ran dry", b.s.Underruns())
	}
	select {
	case <-b.s.Ready():
	default:
		t.Error("not ready although playing")
	}
	// What is audible follows the clock, to the sample, between two pulls as well.
	h, r := b.s.Heard(), b.s.Rendered()
	b.now.Add(int64(3 * time.Millisecond))
	if got := b.s.Heard() - h; got < 143 || got > 145 {
		t.Errorf("heard moved by %d frames in 3 ms, want 144", got)
	}
	// Between rendering and the ear lie buffer, period in hand and queue: 70 + 35 + 48 ms, here within an answer.
	if held := (r - h) * 1000 / 48_000; held < 147 || held > 159 {
		t.Errorf("%d ms between rendered and heard, want about 153", held)
	}
}

// Who presses a key before the first device is there hears it from the first frame on, however long it takes to open.
func TestTheMusicWaitsForTheFirstDevice(t *testing.T) {
	for _, tt := range []struct {
		takes time.Duration
		lost  bool
	}{{5 * time.Millisecond, false}, {400 * time.Millisecond, false}, {9 * time.Second, false}, {11 * time.Second, true}} {
		b := newBench(t)
		var open func()
		b.s.watch.spawn = func(f func()) { open = f }
		b.run(tt.takes, step1)
		if rendered := b.s.Rendered() > 0; rendered != tt.lost {
			t.Errorf("after %v without a device the source was pulled: %v, want %v", tt.takes, rendered, tt.lost)
		}
		select {
		case <-b.s.Ready():
			// Who waits to be told is told, though the device may never answer.
			if !tt.lost {
				t.Errorf("the first try is over %v after it began, and no device has answered", tt.takes)
			}
			b.want(false, "does not answer")
		default:
			if tt.lost {
				t.Errorf("%v without an answer, and the first try is not over", tt.takes)
			}
		}
		open()
		b.run(3*time.Second, step1)
		b.want(true, "")
		if first := b.last().frames(t)[0]; (first != 1) != tt.lost {
			t.Errorf("a device that took %v to open began with frame %d of the source", tt.takes, first)
		}
	}
}

func TestOffset(t *testing.T) {
	b := newBench(t)
	b.run(5*time.Second, step1)
	h := b.s.Heard()
	b.s.SetOffset(100 * time.Millisecond)
	if got := b.s.Heard(); got != h {
		t.Errorf("heard went from %d to %d when the offset grew", h, got)
	}
	b.run(time.Second, step1)
	if got := b.s.Heard() - h; got < 43_100 || got > 43_300 {
		t.Errorf("heard moved by %d frames in a second with 0.1 s more offset, want 43200", got)
	}
}

func TestNoDevice(t *testing.T) {
	b := newBench(t)
	b.absent = errors.New("there is no sound card")
	b.run(21*time.Second, step1)
	b.want(false, "there is no sound card")
	if b.opens != 11 {
		t.Errorf("%d tries in 21 s, want one every 2 s: 11", b.opens)
	}
	if h := b.s.Heard(); h < 20.9*48_000 || h > 21*48_000 {
		t.Errorf("heard is %d after 21 s without a device, want about %d", h, 21*48_000)
	}
	b.absent = nil
	b.run(3*time.Second, step1)
	b.want(true, "")
	b.consecutive(1)
	if b.src.next-1 != b.s.Rendered() {
		t.Errorf("source rendered %d frames, speaker counted %d", b.src.next-1, b.s.Rendered())
	}
}

func TestLossAndReturn(t *testing.T) {
	b := newBench(t)
	b.run(5*time.Second, step1)
	b.absent = errors.New("connection refused")
	b.last().err = errors.New("the device went away")
	b.run(5*time.Second, step1)
	b.want(false, "connection refused")
	if !b.devices[0].closed {
		t.Error("the lost device was not closed")
	}
	if n, err := b.devices[0].src.Read(make([]byte, 64)); n != 0 || err != io.EOF {
		t.Errorf("the lost device still reads: %d bytes, error %v", n, err)
	}
	b.absent = nil
	b.run(5*time.Second, step1)
	b.want(true, "")
	b.consecutive(1)
	if h := b.s.Heard(); h < 14.5*48_000 || h > 15*48_000 {
		t.Errorf("heard is %d after 15 s, want at most half a second of standing still", h)
	}
	if b.s.Underruns() != 0 {
		t.Errorf("%d underruns; a loss is none", b.s.Underruns())
	}
}

// A suspended device stops pulling without an error, and goes on later.
func TestStall(t *testing.T) {
	b := newBench(t)
	b.run(5*time.Second, step1)
	b.last().stuck = true
	b.run(3*time.Second, rush)
	b.want(false, "takes no more sound")
	b.last().stuck = false
	b.run(3*time.Second, rush)
	b.want(true, "")
	if len(b.devices) != 1 {
		t.Errorf("%d devices opened for a stall of 3 s, want 1", len(b.devices))
	}
	if b.s.Underruns() != 1 {
		t.Errorf("%d underruns, want 1 for the stall", b.s.Underruns())
	}
	// One that hangs for good is given up, later each time.
	b.last().stuck = true
	b.run(13*time.Second, rush)
	if len(b.devices) != 2 || !b.devices[0].closed {
		t.Fatalf("%d devices after one hung for 13 s, want 2 and the first closed", len(b.devices))
	}
	b.want(true, "")
	b.last().stuck = true
	b.run(15*time.Second, rush)
	if len(b.devices) != 2 {
		t.Errorf("the second that hung was given up within 15 s, want patience of 20 s")
	}
}

// Whether the device fails or stalls, however much it holds, however unevenly it starts and whenever it is looked at, the
// music goes on in time: what is heard from the first frame on lies where it would have, had nothing happened.
func TestTheMusicGoesOnInTime(t *testing.T) {
	const exact = 16 // frames, a third of a millisecond: how far answers overshoot what is to be held
	for _, stalls := range []bool{false, true} {
		for _, held := range []time.Duration{LeastBuffer, DefaultBuffer + DefaultQueue, MostBuffer} {
			for between := range time.Duration(5) { // milliseconds, of the watch and the device
				b := newBench(t)
				b.s.SetBuffer(held)
				b.run(3*time.Second, rush)
				was := b.moments(100*time.Millisecond, rush)
				from, had, first := was[len(was)-1], b.s.Rendered(), true
				b.absent, b.stalls = errors.New("connection refused"), 20*time.Millisecond
				if b.last().stuck = true; !stalls {
					b.last().err = errors.New("the device went away")
				}
				b.next += between * time.Millisecond
				b.run(4*time.Second, rush)
				b.want(false, "The beat goes on silently")
				b.absent, b.last().stuck = nil, false
				for _, m := range b.moments(2500*time.Millisecond, 2*rush) {
					if m.truth < had {
						continue // silence still, or what the device had when it stalled
					}
					if d := m.truth - from.truth - b.s.frames(m.at-from.at); d > exact || d < -exact {
						t.Fatalf("stalls: %v, %v held, %d ms between: the music is %d frames from where it would be, at the first frame: %v", stalls, held, between, d, first)
					}
					first = false
				}
				b.want(true, "")
				if first {
					t.Fatal("no music came back")
				}
			}
		}
	}
}

// A device that hangs must not be asked for a source that is in the middle of a Read.
func TestRetireWaitsForRead(t *testing.T) {
	b := newBench(t)
	b.run(5*time.Second, step1)
	tap := b.s.watch.tap
	tap.state.Store(reading)
	b.last().err = errors.New("gone")
	b.last().stuck = true
	b.run(time.Second, step1)
	if b.last().closed || tap.state.Load() != reading {
		t.Fatal("the source was taken during a Read")
	}
	tap.state.Store(admitted)
	b.run(200*time.Millisecond, 2*rush)
	if !b.devices[0].closed {
		t.Fatal("the device was not given up after the Read")
	}
}

func TestUnderrun(t *testing.T) {
	b := newBench(t)
	b.run(10*time.Second, step1)
	h, at := b.s.Heard(), b.now.Load()
	b.last().playing -= 20 * time.Millisecond // the device played silence instead of the source
	b.run(8*time.Second, step1)
	if b.s.Underruns() != 1 {
		t.Fatalf("%d underruns after one of 20 ms, want 1", b.s.Underruns())
	}
	lag := b.s.frames(time.Duration(b.now.Load()-at)) - (b.s.Heard() - h)
	if lag < 900 || lag > 1020 {
		t.Errorf("heard stood still for %d frames, want 960: the sound did", lag)
	}
}

// The player hears a busy machine once or twice: each time more is held, up to a bound, and a device that is opened
// anew begins with that.
func TestTheBufferGrowsUntilItHolds(t *testing.T) {
	b := newBench(t)
	b.run(10*time.Second, step1)
	for gaps, us := range []time.Duration{118_000, 236_000, 472_000, 600_000, 600_000} {
		want := us * time.Microsecond
		if got := b.s.Buffer(); got != want || b.last().queue != want-DefaultBuffer || b.s.Underruns() != uint64(gaps) {
			t.Fatalf("after %d gaps %v is held, %v of it in the queue, and %d gaps are known; want %v", gaps, got, b.last().queue, b.s.Underruns(), want)
		}
		b.last().playing -= 25 * time.Millisecond
		b.run(3*time.Second, step1)
	}
	b.last().err = errors.New("unplugged")
	b.run(time.Second, step1)
	if got := b.last().f; len(b.devices) != 2 || got.Buffer+got.Queue != 600*time.Millisecond {
		t.Errorf("the %dth device was asked for %v and %v, want 600 ms together", len(b.devices), got.Buffer, got.Queue)
	}
}

func TestThePlayersBuffer(t *testing.T) {
	b := newBench(t)
	b.run(5*time.Second, step1)
	before := b.s.Delay()
	b.s.SetBuffer(300 * time.Millisecond)
	b.run(3*time.Second, step1)
	if grown := b.s.Delay() - before; len(b.devices) != 1 || b.s.Buffer() != 300*time.Millisecond || (grown-182*time.Millisecond).Abs() > time.Millisecond {
		t.Errorf("with more to hold there are %d devices, %v held, and %v more delay; want the same device, 300 ms and 182 ms", len(b.devices), b.s.Buffer(), grown)
	}
	b.s.SetBuffer(0)
	b.run(3*time.Second, step1)
	if f := b.last().f; len(b.devices) != 2 || !b.devices[0].closed || f.Buffer+f.Queue != LeastBuffer {
		t.Errorf("with less to hold there are %d devices, and the last holds %v and %v; want another with the least", len(b.devices), f.Buffer, f.Queue)
	}
	b.run(3*time.Second, step1)
	if b.s.Underruns() != 0 || len(b.devices) != 2 {
		t.Errorf("the player's own change counts as %d gaps, and made %d devices", b.s.Underruns(), len(b.devices))
	}
	b.s.SetOffset(40 * time.Millisecond)
	if got := b.s.Delay(); (got - LeastBuffer*3/2 - 40*time.Millisecond).Abs() > 4*time.Millisecond {
		t.Errorf("the delay is %v; want the buffer, the driver's period and the offset", got)
	}
}

func TestAnotherDevice(t *testing.T) {
	b := newBench(t)
	b.run(5*time.Second, step1)
	if got := b.last().f.Device; got != "" {
		t.Errorf("the first device is %q, want the system's own", got)
	}
	b.s.SetDevice("phones")
	b.run(time.Second, step1)
	b.want(true, "")
	if got := b.last().f.Device; len(b.devices) != 2 || got != "phones" || !b.devices[0].closed {
		t.Errorf("of %d devices the last is %q, and the first is closed: %v", len(b.devices), got, b.devices[0].closed)
	}
	b.absent = errors.New("no such device")
	b.s.SetDevice("gone")
	b.run(time.Second, step1)
	b.want(false, "no such device")
	b.absent = nil
	b.s.SetDevice("")
	b.run(3*time.Second, step1)
	b.want(true, "")
	b.consecutive(2) // while the old device played out what it held, and while there was none
}

func TestCloseEndsSource(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		src := &counting{next: 1}
		s, err := Open(src, Options{Open: func(io.Reader, Format) (Device, error) { return nil, errors.New("none") }})
		if err != nil {
			t.Fatal(err)
		}
		<-s.Ready()
		<-time.After(3 * time.Second)
		s.Close()
		s.Close()
		n := src.next - 1
		if n < 2.9*48_000 || n > 3.1*48_000 {
			t.Errorf("%d frames pulled by the clock in 3 s, want about %d", n, 3*48_000)
		}
		<-time.After(time.Second)
		if src.next-1 != n {
			t.Error("the source was pulled after Close")
		}
	})
}

func TestCloseLetsGoOfTheDevice(t *testing.T) {
	b := newBench(t)
	b.run(time.Second, step1)
	b.s.Close()
	if _, err := b.last().src.Read(make([]byte, 64)); !b.last().closed || err != io.EOF {
		t.Errorf("after Close the device is closed: %v, and reads: error %v", b.last().closed, err)
	}
}

func TestCloseWhileOpening(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &device{}
		slow := make(chan struct{})
		s, err := Open(&counting{}, Options{Open: func(src io.Reader, f Format) (Device, error) {
			<-slow
			d.src = src
			return d, nil
		}})
		if err != nil {
			t.Fatal(err)
		}
		<-time.After(time.Second)
		s.Close()
		close(slow)
		synctest.Wait()
		if !d.closed {
			t.Error("a device that opened after Close was left open")
		}
		if _, err := d.src.Read(make([]byte, 64)); err != io.EOF {
			t.Errorf("it still reads: %v", err)
		}
	})
}

func TestOptions(t *testing.T) {
	for _, o := range []Options{{Rate: 4000}, {Rate: 400_000}, {Buffer: -1}, {Queue: 2 * time.Second}} {
		if _, err := Open(&counting{}, o); err == nil || !strings.HasPrefix(err.Error(), "open speaker: ") {
			t.Errorf("%+v: error %v", o, err)
		}
	}
}

func TestFramesOfLongTimes(t *testing.T) {
	s := &Speaker{opts: Options{Rate: 192_000}}
	if got, want := s.frames(400*24*time.Hour), int64(400*24*3600*192_000); got != want {
		t.Errorf("400 days are %d frames, want %d", got, want)
	}
}

func TestShort(t *testing.T) {
	err := deviceError{"the sound device went away", errors.New("oto: ALSA error at snd_pcm_writei: No such device")}
	if got, want := short(err), "the sound device went away (No such device)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := short(errors.New(strings.Repeat("ä", 300) + "\nmore")); len([]rune(got)) != 100 {
		t.Errorf("%d runes, want 100", len([]rune(got)))
	}
}

func admittedTap(tb testing.TB) *tap {
	s, err := newSpeaker(&counting{}, Options{})
	if err != nil {
		tb.Fatal(err)
	}
	tap := newTap(s)
	tap.admit(false)
	return tap
}

func TestReadAllocatesNothing(t *testing.T) {
	tap := admittedTap(t)
	p := make([]byte, 2160*bytesPerFrame)
	for _, tt := range []struct {
		name   string
		before func() // each Read
	}{
		{"with the source", func() {}},
		{"while it waits", func() { tap.state.Store(waiting) }},
		{"as it takes the source over", func() { tap.served = false; tap.admit(true) }},
		{"as it begins anew", func() { tap.bench(); tap.served = true }},
	} {
		if n := testing.AllocsPerRun(1000, func() { tt.before(); _, _ = tap.Read(p) }); n != 0 {
			t.Errorf("%s: %v allocations a Read, want 0", tt.name, n)
		}
	}
	if _, err := tap.Read(p[:5]); err != io.ErrShortBuffer {
		t.Errorf("room for less than a frame: error %v, want %v: an empty answer would make the player spin", err, io.ErrShortBuffer)
	}
}

func BenchmarkRead(b *testing.B) {
	tap := admittedTap(b)
	p := make([]byte, chunk*bytesPerFrame)
	b.SetBytes(int64(len(p)))
	b.ReportAllocs()
	for b.Loop() {
		_, _ = tap.Read(p)
	}
}
