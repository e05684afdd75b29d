package hear

import (
	"fmt"
	"math"

	"footing/audio/declick"
)

// Listener hears notes in a stream of mono samples, in one pass and in bounded
// memory. It is not safe for concurrent use.
type Listener struct {
	rate                       int
	first                      *decimator // to a rate of 16 to 32 kHz, on which onsets are placed
	second                     *decimator // to half of that, on which pitch is heard
	block                      highPass
	fine                       *ring
	fineHz                     float64
	declick                    *declick.Filter
	clean                      []float32 // scratch: what it lets out
	coarse                     *correlator
	buf                        []float32 // scratch: a stretch of input
	mid                        []float32 // scratch: the same at fineHz
	low                        []float32 // samples for the correlator, less than a block left over
	frames                     frameRing
	notes                      tracker
	placer                     *placer
	recall                     *recall
	heard                      Hearing
	counted, sounding, pitched int // frames
	closed                     bool
	pitches                    *Pitches // nil unless they are kept
	out                        []Onset
	written                    int
}

// lowestRate and highestRate bound the sample rates that can be listened to, in Hz.
const (
	lowestRate  = 8_000
	highestRate = 384_000
)

// NewListener starts listening at a sample rate in Hz, 8 000 to 384 000; other
// rates are an error.
func NewListener(rate int) (*Listener, error) {
	if rate < lowestRate || rate > highestRate {
		return nil, fmt.Errorf("listening at %d Hz: a sample rate from %d to %d Hz is needed", rate, lowestRate, highestRate)
	}
	l := &Listener{rate: rate}
	f1, f2 := max(1, rate/16_000), 1
	if rate >= 16_000 {
		f2 = 2
	}
	l.first, l.second = newDecimator(f1), newDecimator(f2)
	l.fineHz = float64(rate) / float64(f1)
	l.block = newHighPass(l.fineHz)
	l.declick = declick.New(l.fineHz)
	l.coarse = newCorrelator(l.fineHz / float64(f2))
	l.fine = newRing(int(l.fineHz * keptSeconds))
	l.buf = make([]float32, 0, 4096)
	l.mid = make([]float32, 0, 4096)
	l.low = make([]float32, 0, 4096+l.coarse.block)
	l.placer = newPlacer(l.fine, l.declick.Cleared(), l.fineHz, l.frameHz())
	l.recall = newRecall(l.fine, l.fineHz)
	l.notes = newTracker(l)
	return l, nil
}

// keptSeconds of sound are at hand to place an onset in.
const keptSeconds = 1.2

// Write takes the next samples, full scale ±1; it does not keep the slice.
// Samples that are no numbers are counted and heard as silence. Writing after
// Close does nothing.
func (l *Listener) Write(samples []float32) {
	for len(samples) > 0 && !l.closed {
		n := min(len(samples), cap(l.buf))
		l.buf = l.buf[:n]
		l.admit(l.buf, samples[:n])
		samples = samples[n:]
		l.hear(l.buf)
	}
}

// admit copies src to dst, counts what is wrong with it and mends it.
func (l *Listener) admit(dst, src []float32) {
	peak := float32(l.heard.Peak)
	for i, v := range src {
		if v != v || v > math.MaxFloat32 || v < -math.MaxFloat32 {
			l.heard.Broken++
			v = 0
		}
		v = max(-64, min(64, v))
		dst[i] = v
		if v < 0 {
			v = -v
		}
		if v > peak {
			peak = v
		}
	}
	l.heard.Peak = float64(peak)
	l.written += len(src)
}

func (l *Listener) hear(x []float32) {
	l.mid = l.first.run(l.mid[:0], x)
	l.block.run(l.mid)
	// What is known of the clicks is ahead of what is tracked. By how much must
	// not depend on how long the writes are: one step at a time.
	for rest := l.mid; len(rest) > 0; {
		n := min(len(rest), l.declick.Next())
		l.clean = l.declick.Run(l.clean[:0], rest[:n])
		rest = rest[n:]
		for x := l.clean; len(x) > 0; {
			n := min(len(x), cap(l.mid))
			l.track(x[:n])
			x = x[n:]
		}
	}
}

// track takes what the clicks have been taken out of.
func (l *Listener) track(x []float32) {
	l.fine.write(x)
	l.low = l.second.run(l.low, x)
	b := l.coarse.block
	at := 0
	for ; at+b <= len(l.low); at += b {
		l.coarse.take(l.low[at : at+b])
		l.step()
	}
	l.low = l.low[:copy(l.low, l.low[at:])]
}

// step looks at the one frame for which enough has been heard by now.
func (l *Listener) step() {
	k := l.coarse.total - l.coarse.aheadBlocks(windowBlocks/2)
	if k < 0 {
		return
	}
	f := l.frame(k, l.notes.run.pitch)
	l.frames.put(k, f)
	if !l.closed {
		l.counted++
		if f.level > silenceDB {
			l.sounding++
		}
		if f.pitch > 0 {
			l.pitched++
		}
	}
	if l.pitches != nil {
		l.pitches.add(f)
	}
	l.notes.step(k)
}

// Close tells that the stream has ended; the last onsets can be read after it.
// A second call does nothing.
func (l *Listener) Close() {
	if l.closed {
		return
	}
	// Silence enough to bring everything that is still on its way out.
	l.closed = true
	l.declick.Settle()
	for left := int(float64(l.rate) * (l.Delay() + 0.1)); left > 0; left -= cap(l.buf) {
		l.buf = l.buf[:cap(l.buf)]
		clear(l.buf)
		l.hear(l.buf)
	}
}

// Onsets returns the onsets decided since the last call, in order of time.
func (l *Listener) Onsets() []Onset {
	out := l.out
	l.out = nil
	return out
}

// Refine places once more the onsets that this listener has told, which are in
// order of time: each by the onset envelopes of all notes of its pitch, and by how
// all changes between the same two notes were played, those after it too. It is for
// the end of a take, once; while a player is at work each is placed by the ones before
// it.
func (l *Listener) Refine(onsets []Onset) {
	before := 0.0
	live := liveness(l.placer.tails.median())
	turns := mannersOf(onsets, live)
	for i := range onsets {
		o := &onsets[i]
		if o.recalled != (recalled{}) {
			l.recall.apply(o)
			o.alone = max(o.PlacedMs, o.hardly)
		}
		turns.place(o)
		o.PlacedMs = l.notes.placedMs(*o, live)
		o.Seconds = max(o.Seconds, before)
		before = o.Seconds
	}
}

// Delay is the time in seconds after which a note that has begun is told, at
// most: what the longest period needs, what it takes to tell a note from the
// noise of its beginning, and what it takes to remove a click. Once, from the
// first click on, it is longer by up to 2.5 s, until the clicks are known.
func (l *Listener) Delay() float64 {
	return float64(l.coarse.aheadBlocks(windowBlocks/2)+tellFrames+tellSurely)*frameSeconds +
		float64(l.declick.Late())/l.fineHz
}

// Hearing sums up the stream so far.
func (l *Listener) Hearing() Hearing {
	h := l.heard
	h.Seconds = float64(l.written) / float64(l.rate)
	h.Sounding = float64(l.sounding) / float64(max(1, l.counted))
	for _, by := range []anchor{byHigh, byLow} {
		if soft, known := l.placer.heads[by].median(); known {
			h.SoftMs = max(h.SoftMs, 1000*soft)
		}
	}
	h.Live = liveness(l.placer.tails.median())
	h.Pitched = float64(l.pitched) / float64(max(1, l.counted))
	return h
}

// frameHz is the exact rate of frames.
func (l *Listener) frameHz() float64 { return l.coarse.rate / float64(l.coarse.block) }
