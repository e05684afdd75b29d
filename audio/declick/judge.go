package declick

import (
	"math"
	"slices"
)

// judge looks at one place: a click of a known sound is taken out and learned
// from, another is kept for finding out.
func (d *Filter) judge(s suspect) {
	at := s.at
	if at < d.last+apartMs*d.ms || at < d.base+2*leadMs*d.ms {
		return
	}
	if where, ok := d.pulse.expects(float64(at), float64(d.ms)); ok && d.judgeExpected(int(math.Round(where)), s.pulse) || s.pulse {
		return
	}
	var c struck
	var sound *clickSound
	var fit fit
	length := d.length(at)
	for try := 0; ; try++ {
		c = d.spectra.cut(d.free, d.held[at-leadMs*d.ms-d.base:], leadMs*d.ms, length)
		d.free = c
		sound, fit = d.likeness(&c, 3*d.ms)
		shift := int(math.Round(fit.shift))
		if max(shift, -shift) <= d.ms/2 {
			break
		}
		at += shift
		if try == 4 || at < d.base+2*leadMs*d.ms || at+length > d.base+len(d.held) {
			return
		}
	}
	c.at = at
	switch {
	case s.known && fit.share < surelyShare:
		return
	case sound == nil || fit.share < alikeShare:
		if d.since < 0 {
			d.since = at
		}
		d.last = at
		d.puzzle(c)
		return
	}
	d.strike(c, length, sound, fit)
}

// judgeExpected looks at a place where a click is expected, by the pulse alone
// perhaps, and tells whether one was taken out.
func (d *Filter) judgeExpected(at int, pulsed bool) bool {
	if at < d.last+apartMs*d.ms || at < d.base+2*leadMs*d.ms {
		return false
	}
	length := d.length(at)
	if at+length > d.base+len(d.held) {
		return false
	}
	alone := slices.ContainsFunc(d.sounds, (*clickSound).heardAlone)
	if !alone && !pulsed {
		return false // as it would be in the end
	}
	c := d.spectra.cut(d.free, d.held[at-leadMs*d.ms-d.base:], leadMs*d.ms, length)
	d.free = c
	stands := d.spectra.stands(&c, d.sounds)
	if !alone && !stands {
		return false
	}
	reach := int(math.Ceil(expectedMs * float64(d.ms)))
	c.at = at
	sound, fit := d.likeness(&c, reach)
	if stands && fit.share < alikeShare {
		// It would be heard if it were one of these: it is another, or none.
		if pulsed {
			d.puzzle(c)
		}
		return false
	}
	if sound == nil || !sound.heardAlone() || fit.share < expectedShare || math.Abs(fit.shift) > 1.5*float64(reach) || !sound.known(fit.gain) {
		return false
	}
	d.strike(c, length, sound, fit)
	return true
}

// strike takes a click of a known sound out, and learns from it.
func (d *Filter) strike(c struck, length int, sound *clickSound, fit fit) {
	at := c.at
	d.last = at
	d.pulse.add(float64(at)+fit.shift, fit.share, float64(d.ms))
	own := sound.of(at, d.ms)
	others := sound
	if own >= 0 {
		others = sound.without(own, d.spectra)
	}
	if d.settled && tells(len(others.clicks), fit.plain) {
		usual := fit
		usual.gain = others.usual(fit.gain)
		d.clear(at, length, others, usual)
		if sound.heardAlone() {
			d.clearTail(at, sound, usual)
		}
	}
	if own >= 0 {
		c.aligned(fit, d.spectra)
		c.alone = c.tellsAlone(sound)
		d.free = sound.clicks[own]
		sound.clicks[own] = c // as it is without what others left in it
		return
	}
	d.free = c.join(sound, fit, d.spectra)
	if c.fresh && !sound.heardAlone() {
		sound.vouch(len(sound.clicks)-1, d.spectra, &d.pulse)
	}
}

// length of a click at a place, in samples: up to the next one's edge.
func (d *Filter) length(at int) int {
	for _, s := range d.due {
		if !s.known && s.at > at+2*apartMs*d.ms {
			return min(clickMs*d.ms, s.at-at-d.ms)
		}
	}
	return clickMs * d.ms
}

// likeness finds the known sound that a click is most like, shifted by up to reach
// samples, and weighs its bins.
func (d *Filter) likeness(c *struck, reach int) (sound *clickSound, best fit) {
	if len(d.sounds) == 0 {
		d.spectra.weigh(c.weight, c.spec)
	}
	for _, s := range d.sounds {
		if f := d.spectra.match(s, c, reach); f.share > best.share {
			sound, best = s, f
		}
	}
	return sound, best
}

// clear takes the click at a place out of what is held.
func (d *Filter) clear(at, length int, s *clickSound, f fit) {
	click := d.spectra.sounded(s, f)
	lead := leadMs * d.ms
	x := d.held[at-lead-d.base:]
	for i := range lead + length {
		x[i] -= float32(click[i])
	}
	d.cleared.Sound = append(d.cleared.Sound[:0], click[lead-d.ms/2:lead+length]...)
	d.cleared.add(float64(at)+f.shift, click[lead:][:beganMs*d.ms])
}

// puzzle keeps a click of no known sound, and finds out whether some of those
// kept have a sound in common.
func (d *Filter) puzzle(c struck) {
	if len(d.unknown) == mostUnknown {
		d.unknown = d.unknown[:copy(d.unknown, d.unknown[1:])]
	}
	d.unknown = append(d.unknown, c)
	d.free = struck{}
	sound, rest := pair(d.unknown, d.spectra, &d.pulse)
	if sound == nil && len(d.unknown) >= fewestClicks {
		if sound, rest = common(d.unknown, d.spectra); sound != nil {
			sound.vouch(0, d.spectra, &d.pulse)
		}
	}
	if sound == nil {
		return
	}
	d.unknown = append(d.unknown[:0], rest...)
	if len(d.sounds) == mostSounds {
		rare := 0
		for i, s := range d.sounds {
			if s.joined < d.sounds[rare].joined {
				rare = i
			}
		}
		d.sounds = slices.Delete(d.sounds, rare, rare+1)
	}
	d.sounds = append(d.sounds, sound)
}

// join makes a click one of a sound's, and returns one that is no longer needed, if
// there is any.
func (c struck) join(s *clickSound, f fit, sp *spectra) (free struck) {
	c.aligned(f, sp)
	c.alone = c.tellsAlone(s)
	return s.add(c, sp)
}

// aligned moves a click to where its sound begins.
func (c *struck) aligned(f fit, sp *spectra) {
	sp.turn(c.spec, f.shift)
	c.gain, c.plain, c.late = f.gain, f.plain, f.shift
}

// tellsAlone tells whether hardly anything but its sound was heard in a click. One that
// rings on may be a note, unless others of its sound were found to be none.
func (c struck) tellsAlone(s *clickSound) bool {
	return (c.dies || c.fresh && s.heardAlone()) && c.plain > aloneShare
}
