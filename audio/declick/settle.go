package declick

import (
	"math"
	"slices"
)

// heardEnough tells whether all that was struck is of known sounds.
func (d *Filter) heardEnough() bool {
	n := 0
	for _, s := range d.sounds {
		n += len(s.clicks)
	}
	return n >= manyClicks && len(d.unknown) == 0
}

// Settle ends the waiting for the clicks to be known, as at a stream's end: what
// was held is gone through once more with the sounds that are known by now.
func (d *Filter) Settle() {
	waiting := !d.settled && d.since >= 0
	d.settled = true
	if !waiting || len(d.sounds) == 0 {
		return
	}
	raw := slices.Clone(d.held)
	d.lookBack()
	// What rings on of a click lies in the next one: each time more is known of both.
	for pass := range settlePasses {
		if pass > 0 {
			d.learnTails(true)
			for _, s := range d.sounds {
				s.refine(d.spectra)
			}
		}
		copy(d.held, raw)
		d.ahead, d.ringing, d.due = d.ahead[:0], d.ringing[:0], d.due[:0]
		d.searched = max(d.base, d.since-d.spectra.n/4)
		d.last = -1 << 40
		d.pulse = pulse{}
		d.examine(d.base + len(d.held))
	}
	for len(d.ringing) > 0 && d.ringing[0].at+tailHeardMs*d.ms <= d.base+len(d.held) {
		d.ringing = d.ringing[1:] // it was learned from
	}
}

// settlePasses is how often that is gone through.
const settlePasses = 3

// lookBack looks at where the pulse says that there were clicks of sounds that are
// not known yet.
func (d *Filter) lookBack() {
	var known []struck
	for _, s := range d.sounds {
		known = append(known, s.clicks...)
	}
	slices.SortFunc(known, func(a, b struck) int { return a.at - b.at })
	var p pulse
	for _, c := range known {
		p.add(float64(c.at), 1, float64(d.ms))
	}
	d.part(known, &p)
	if p.step == 0 {
		return
	}
	first := float64(max(d.since-d.ms, d.base+2*leadMs*d.ms))
	d.last = -1 << 40
	for at := p.anchor - math.Floor((p.anchor-first)/p.step)*p.step; at < p.anchor; at += p.step {
		if !d.holds(at) {
			d.judgeExpected(int(math.Round(at)), true)
		}
	}
}

// holds tells whether there was a click of a known sound at a place.
func (d *Filter) holds(at float64) bool {
	for _, s := range d.sounds {
		if s.of(int(at), d.ms) >= 0 {
			return true
		}
	}
	return false
}

// part finds out whether some of the known clicks, in order, have a sound of their
// own: those that lie between others heard alone and are not like them.
func (d *Filter) part(known []struck, p *pulse) {
	odd := slices.Clone(d.unknown)
	for i, c := range known {
		if c.alone || i > 0 && !known[i-1].alone || i+1 < len(known) && !known[i+1].alone {
			continue
		}
		odd = append(odd, c)
		own, rest := pair(odd, d.spectra, p)
		if own == nil || len(d.sounds) == mostSounds {
			continue
		}
		odd = rest
		d.unknown = slices.DeleteFunc(d.unknown, func(c struck) bool { return own.of(c.at, 0) >= 0 })
		for _, s := range d.sounds {
			s.clicks = slices.DeleteFunc(s.clicks, func(c struck) bool { return own.of(c.at, 0) >= 0 })
			if len(s.clicks) > 0 {
				s.refine(d.spectra)
			}
		}
		d.sounds = slices.DeleteFunc(d.sounds, func(s *clickSound) bool { return len(s.clicks) == 0 })
		d.sounds = append(d.sounds, own)
	}
}
