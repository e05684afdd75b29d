package speaker

import (
	"encoding/binary"
	"errors"
	"math"
	"sync"
	"testing"
	"time"
)

// moment is what was known, and what was so, at a time.
type moment struct {
	at    time.Duration
	heard int64 // what Heard answered
	truth int64 // the source's frame in the device's ear; -1 where there is none
}

// moments lets time pass and takes down one every 5 ms, just after the device pulled.
func (b *bench) moments(d time.Duration, most int64) (out []moment) {
	b.t.Helper()
	for range d / (5 * time.Millisecond) {
		b.run(5*time.Millisecond, most)
		m := moment{time.Duration(b.now.Load()), b.s.Heard(), -1}
		if dev := b.last(); dev.err == nil && !dev.stuck {
			if at := int(b.s.frames(dev.playing)) * bytesPerFrame; at+4 <= len(dev.got) {
				m.truth = int64(math.Float32frombits(binary.LittleEndian.Uint32(dev.got[at:]))) - 1
			}
		}
		out = append(out, m)
	}
	return out
}

// looksBack checks what holds of any past: a later time has no earlier frame, none was audible that Heard had not
// reached, and the time to come is unknown.
func looksBack(t *testing.T, s *Speaker, past []moment) {
	t.Helper()
	before := int64(0)
	for _, m := range past {
		got, ok := s.AudibleAt(m.at)
		if !ok && m.heard > 0 {
			t.Fatalf("at %v: nothing is known, and frame %d was heard", m.at, m.heard)
		}
		if !ok {
			continue
		}
		if got < before || got > m.heard {
			t.Fatalf("at %v: frame %d after %d; %d was heard", m.at, got, before, m.heard)
		}
		before = got
	}
	if f, ok := s.AudibleAt(s.Now() + 1); ok {
		t.Errorf("frame %d is said to be audible in the time to come", f)
	}
}

func TestWhatWasAudible(t *testing.T) {
	b := newBench(t)
	past := b.moments(12*time.Second, step1)
	looksBack(t, b.s, past)
	for _, m := range past {
		got, _ := b.s.AudibleAt(m.at)
		if got != m.heard {
			t.Fatalf("at %v frame %d was heard, and looking back it is %d", m.at, m.heard, got)
		}
		if m.at > 3*time.Second && (got-m.truth > chunk || m.truth-got > chunk) {
			t.Fatalf("at %v frame %d was audible, not %d", m.at, m.truth, got)
		}
	}
	// Between two pulls it follows the clock, to the sample.
	a, _ := b.s.AudibleAt(8 * time.Second)
	c, _ := b.s.AudibleAt(8*time.Second + 2500*time.Microsecond)
	if c-a != 120 {
		t.Errorf("2.5 ms later it is %d frames later, want 120", c-a)
	}
	if _, ok := b.s.AudibleAt(0); ok {
		t.Error("something is said to be audible at the very start")
	}
	b.s.SetOffset(10 * time.Millisecond)
	if got, _ := b.s.AudibleAt(8 * time.Second); a-got != 480 {
		t.Errorf("an offset of 10 ms takes off %d frames, want 480", a-got)
	}
}

func TestWhatWasAudibleAroundAnUnderrun(t *testing.T) {
	b := newBench(t)
	b.moments(10*time.Second, step1)
	b.last().playing -= 20 * time.Millisecond // the device played silence instead of the source
	past := b.moments(8*time.Second, step1)
	if b.s.Underruns() != 1 {
		t.Fatalf("%d underruns, want 1", b.s.Underruns())
	}
	looksBack(t, b.s, past)
	for _, m := range past {
		got, _ := b.s.AudibleAt(m.at)
		ahead := got - m.truth
		if m.at < 13*time.Second+20*time.Millisecond {
			if ahead < -chunk || ahead > 960+chunk {
				t.Fatalf("%v, not yet found: %d frames ahead", m.at, ahead)
			}
		} else if ahead < -chunk || ahead > chunk {
			t.Fatalf("%v, after it was found: %d frames ahead", m.at, ahead)
		}
	}
}

func TestWhatWasAudibleWhileDevicesComeAndGo(t *testing.T) {
	b := newBench(t)
	past := b.moments(5*time.Second, step1)
	b.last().stuck = true
	past = append(past, b.moments(3*time.Second, rush)...)
	b.last().stuck = false
	past = append(past, b.moments(3*time.Second, rush)...)
	b.absent = errors.New("connection refused")
	b.last().err = errors.New("the device went away")
	past = append(past, b.moments(3*time.Second, rush)...)
	b.absent = nil
	past = append(past, b.moments(5*time.Second, rush)...)
	b.want(true, "")
	looksBack(t, b.s, past)
	for _, m := range past[len(past)-400:] {
		if got, _ := b.s.AudibleAt(m.at); got-m.truth > chunk || m.truth-got > chunk {
			t.Fatalf("at %v frame %d was audible, not %d", m.at, m.truth, got)
		}
	}
}

func TestThePastIsForgotten(t *testing.T) {
	b := newBench(t)
	s := b.s
	s.rendered.Store(1 << 40)
	n := int64(len(s.past.ring))
	for i := range 3 * n {
		b.now.Store(i * int64(time.Millisecond))
		s.follow(s.Now(), 1000*i) // later lines lie higher: none bounds the one before
	}
	for i := range 3 * n {
		at := time.Duration(i) * time.Millisecond
		got, ok := s.AudibleAt(at)
		// The oldest is given up too, since its place is the next to be taken.
		if kept := i > 2*n; ok != kept || ok && got != s.frames(at)+1000*i {
			t.Fatalf("change %d of %d: frame %d, %v", i, 3*n, got, ok)
		}
	}
}

// The race detector is one judge; the other is that no answer is made of two lines.
func TestLookingBackWhileItGoesOn(t *testing.T) {
	b := newBench(t)
	s := b.s
	s.rendered.Store(1 << 60)
	const changes, step = 50_000, int64(1 << 20)
	var readers sync.WaitGroup
	done := make(chan struct{})
	for range 2 {
		readers.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				at := s.Now()
				got, ok := s.AudibleAt(at)
				if !ok {
					continue
				}
				// Every change lies on its own millisecond, and so does each answer on its line.
				if want := s.frames(at) + step*int64(at/time.Millisecond); got != want {
					t.Errorf("at %v frame %d, want %d", at, got, want)
					return
				}
			}
		})
	}
	for i := range int64(changes) {
		at := time.Duration(i) * time.Millisecond
		s.past.note(at, step*i, 1<<60)
		b.now.Store(int64(at)) // asked for only once it stands
	}
	close(done)
	readers.Wait()
}

func TestLookingBackAllocatesNothing(t *testing.T) {
	b := newBench(t)
	b.run(3*time.Second, step1)
	now := b.s.Now()
	if n := testing.AllocsPerRun(100, func() { b.s.AudibleAt(now - time.Second) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
	if n := testing.AllocsPerRun(100, func() { now++; b.s.follow(now, int64(now)) }); n != 0 {
		t.Errorf("%v allocations a change", n)
	}
}
