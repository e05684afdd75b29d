package hear

import "math"

// pitchOf hears frames from..to-1 as one note, thought to be of pitch guess,
// after one of pitch old (0: none), and what sound it has.
func (l *Listener) pitchOf(from, to int, guess, old float64) (pitch, clarity float64, sound fit) {
	if to-from < 2 {
		return guess, 1, l.notes.usual
	}
	from += (to - from) / 2
	c := l.coarse
	norm := c.clarity(from, to)
	peaks := c.peaks(norm)
	c.runners = c.contenders(c.runners[:0], norm, peaks, guess, old, l.notes.usual)
	p := likeliest(c.runners)
	if p == nil {
		return guess, 0, fit{}
	}
	return noteNumber(c.rate / c.sharpen(p.lag, p.height, peaks)), p.height, p.evidence.here
}

// rings tells whether a run of pitch heard is nothing but the notes old and now
// ringing into each other: their common subharmonic, or that of the old one's
// octave, which may be most of it.
func rings(heard, old, now float64) bool {
	return (multiple(old, heard) || multiple(old+12, heard)) && multiple(now, heard)
}

// multiple tells whether a pitch is a harmonic of another, the second to the
// ninth.
func multiple(pitch, of float64) bool {
	r := math.Exp2((pitch - of) / 12)
	n := math.Round(r)
	return n >= 2 && n <= 9 && math.Abs(12*math.Log2(r/n)) < 0.35
}
