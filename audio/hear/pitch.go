package hear

import "math"

// pitchOf hears frames from..to-1 as one note, thought to be of pitch guess,
// after one of pitch old.
func (l *Listener) pitchOf(from, to int, guess, old float64) (pitch, clarity float64) {
	if to-from < 2 {
		return guess, 1
	}
	from += (to - from) / 2
	c := l.coarse
	list, best := c.peaks(c.clarity(from, to), c.list[:0])
	c.list = list
	p := fundamental(list, best)
	if p.lag == 0 {
		return guess, 0
	}
	if low, sure := beneath(p, list); sure {
		p = low
	}
	if low, ok := c.twelfthUnder(p, list, old); ok {
		p = low
	}
	p = c.apart(p, list, old)
	// After a note that was nearly its octave alone, an unclear one that seems
	// to leap up is more likely that instrument's octave again.
	if low, ok := octaveOf(p, list, 2); ok && l.notes.octaves && noteNumber(c.rate/p.lag) > old+6 && low.height > p.height-nearOctave && (p.height < sureOctave || low.height > p.height+evenOut/2) {
		p = low
	}
	high, ok := octaveOf(p, list, 0.5)
	l.notes.octaves = ok && high.height > p.height-nearOctave
	return noteNumber(c.rate / c.sharpen(p.lag, p.height, list)), p.height
}

// twelfthUnder finds the note whose third harmonic a peak is: thirds of its
// period repeat nearly, whole ones clearly better. The old note ringing into a
// new one makes such a pattern too, of the two.
func (c *correlator) twelfthUnder(p candidate, list []candidate, old float64) (low candidate, sure bool) {
	m := multiples(p, list)
	if m[2].height == 0 || m[3].height-max(m[1].height, m[2].height, m[4].height) < thirdOut {
		return low, false
	}
	under := noteNumber(c.rate / m[3].lag)
	return m[3], old == 0 || !multiple(old, under) && !multiple(old+12, under)
}

// thirdOut is how far every third multiple must stand out.
const thirdOut = 0.07

// octaveOf finds the peak at so many times the lag of another.
func octaveOf(p candidate, list []candidate, times float64) (candidate, bool) {
	for _, q := range list {
		if math.Abs(q.lag/p.lag-times) < 0.03*times {
			return q, true
		}
	}
	return candidate{}, false
}

// nearOctave is how little clearer a note may be than its octave alone.
const nearOctave = 0.09

// sureOctave is how clear a note is that is no mere octave of another.
const sureOctave = 0.985

// apart finds the new note in a pitch that may be nothing but it and the old
// note ringing into each other.
func (c *correlator) apart(p candidate, list []candidate, old float64) candidate {
	heard := noteNumber(c.rate / p.lag)
	if old == 0 || math.Abs(heard-old) < newPitch {
		return p
	}
	for _, q := range list {
		now := noteNumber(c.rate / q.lag)
		if q.lag < p.lag && q.height > stillHeard*p.height && math.Abs(now-old) > newPitch && rings(heard, old, now) {
			return q
		}
	}
	return p
}

// stillHeard is how clear the new note is, for all that the old one rings, as
// a share of how clear the two are together.
const stillHeard = 0.6

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
