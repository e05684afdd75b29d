package click

import "math/bits"

// Place is a place in sound: a frame and a fraction of a frame in units of
// 2⁻⁶⁴. A fraction that is not a multiple of 2⁻⁶⁴ is cut off below it.
type Place struct {
	Frame int64
	Frac  uint64
}

// Round returns the nearest whole frame; exactly halfway rounds up.
func (p Place) Round() int64 {
	if p.Frac >= 1<<63 {
		return p.Frame + 1
	}
	return p.Frame
}

func (p Place) add(q Place) Place {
	frac, carry := bits.Add64(p.Frac, q.Frac, 0)
	return Place{p.Frame + q.Frame + int64(carry), frac}
}

// Span is the exact length of b at tempo t and rate frames a second:
//
//	b · rate · 60 000 / t   frames (t in thousandths of a bpm)
//
// in 128-bit integer arithmetic, cut off below 2⁻⁶⁴ of a frame. Rounding it is
// therefore the same as rounding the exact fraction. b must not be negative,
// t and rate must be above zero; a length over 2⁶² frames is not supported.
func Span(b Beats, t Tempo, rate int) Place {
	hi, lo := bits.Mul64(uint64(b.num), uint64(rate)*60_000)
	den := uint64(b.Den()) * uint64(t)
	frame, rest := bits.Div64(hi%den, lo, den)
	frac, _ := bits.Div64(rest, 0, den)
	return Place{int64(frame), frac}
}

// Timeline maps beats to frames. While the tempo stays the same it counts in
// exact beats from one anchor, so that no rounding is ever added up; at a
// change of tempo it drops a new anchor and keeps the fraction of a frame to
// 2⁻⁶⁴. A day with a change of tempo every beat is therefore off by less than
// 10⁻¹³ of a frame.
//
// A Timeline is a plain value, not safe for use by several goroutines.
type Timeline struct {
	rate   int
	tempo  Tempo
	anchor Place
	// from is the place in beats, counted from the anchor, that At(0) names.
	// It is negative after a change within a phrase.
	from Beats
}

// NewTimeline starts a timeline at frame start with the given tempo and rate
// (frames a second).
func NewTimeline(start int64, t Tempo, rate int) Timeline {
	return Timeline{rate: rate, tempo: t, anchor: Place{Frame: start}}
}

// Tempo is the tempo in force.
func (l *Timeline) Tempo() Tempo { return l.tempo }

// At is the place of b, counted in beats from where the timeline stands. After
// a [Timeline.Change] within a phrase only places at or after it can be asked.
func (l *Timeline) At(b Beats) Place {
	return l.anchor.add(Span(l.from.Add(b), l.tempo, l.rate))
}

// Advance moves on by b beats: what was At(b) is At(0) now.
func (l *Timeline) Advance(b Beats) { l.from = l.from.Add(b) }

// Change sets the tempo from the place b on. At(b) stays where it was.
func (l *Timeline) Change(b Beats, t Tempo) {
	if t == l.tempo {
		return
	}
	l.anchor = l.At(b)
	l.from = Beats{}.Sub(b)
	l.tempo = t
}
