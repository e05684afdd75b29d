package declick

import (
	"math"
	"math/cmplx"
)

// Filter takes a metronome's clicks out of a stream. A click begins with an
// edge that no breath makes; what follows on such edges and is the same each
// time, whatever note sounds with it, is the click. The stream comes out as it
// was but for these, and somewhat later.
type Filter struct {
	ms       int // samples in a millisecond
	spectra  *spectra
	held     []float32 // the samples from place base on
	base     int
	passed   int // place of the next sample to let out
	edges    edges
	searched int // place up to which known sounds were looked for
	due      []suspect
	last     int // place of the last click
	unknown  []struck
	sounds   []*clickSound
	// Until it is settled which sounds there are, what follows the first edge
	// is held for up to patience.
	since   int // place of that edge; -1 when nothing is waited for
	waits   int
	settled bool
	cleared Cleared
}

// suspect is a place where a click may begin.
type suspect struct {
	at    int
	known bool // it was found by a known sound, not by an edge
}

const (
	clickMs     = 80   // a click lasts no longer
	clickFadeMs = 15   // of which it fades so long
	leadMs      = 5    // heard before it
	apartMs     = 5    // two clicks are no closer
	soughtMs    = 20   // searched beyond a place before it is judged
	stepMs      = 16   // of sound are worked on at a time
	patienceMs  = 2500 // the longest that sound is held
	mostWaits   = 3    // times that it is held in vain
	manyClicks  = 6    // of one sound are enough to begin with
	mostSounds  = 4
	mostUnknown = 16
	// A click is one of a known sound when that explains these shares of what is
	// no note in it: where an edge told of the click, and where only the sound did.
	alikeShare  = 0.3
	surelyShare = 0.5
	// The same of a whole stretch, for a place in it to be looked at.
	likeShare = 0.01
	// quiet sound is not searched for clicks.
	quiet = 1e-4
)

// New is a filter for a stream of so many samples a second, 8 000 or more.
func New(hz float64) *Filter {
	ms := int(hz / 1000)
	// Silence before the stream, for a click that begins with it.
	before := stepMs * ms
	return &Filter{
		ms: ms, spectra: newSpectra((leadMs+clickMs+5)*ms, ms), edges: edges{ms: ms, next: -before},
		held: make([]float32, before), base: -before, searched: -before, last: -1 << 40, since: -1,
	}
}

// Late is by how many samples the stream comes out later, apart from the 16 ms at
// a time in which it is worked on. From the first click on it is up to 2.5 s more,
// until the clicks are known; and that happens up to three times where something
// seems to be a click and is none.
func (d *Filter) Late() int {
	return (leadMs+soughtMs+stepMs)*d.ms + max(d.spectra.n, (clickMs+soughtMs)*d.ms)
}

// Run takes more of the stream and appends what can be let out to dst. What
// comes out does not depend on the lengths it is given.
func (d *Filter) Run(dst, x []float32) []float32 {
	for len(x) > 0 {
		n := min(len(x), d.Next())
		d.held = append(d.held, x[:n]...)
		x = x[n:]
		if total := d.base + len(d.held); total%(stepMs*d.ms) == 0 {
			d.examine(total)
			dst = d.letOut(dst, total)
		}
	}
	return dst
}

// Next is after how many samples more it will know more and may let some out.
func (d *Filter) Next() int {
	step := stepMs * d.ms
	return step - (d.base+len(d.held))%step
}

// letOut appends what needs no more work of what is held up to total.
func (d *Filter) letOut(dst []float32, total int) []float32 {
	to := total - d.Late()
	if !d.settled && d.since >= 0 {
		switch {
		case d.heardEnough() || len(d.sounds) > 0 && total >= d.since+patienceMs*d.ms:
			d.Settle()
		case total < d.since+patienceMs*d.ms:
			to = min(to, d.since-leadMs*d.ms)
		default: // no click, as it seems
			d.since = -1
			d.waits++
			d.settled = d.waits == mostWaits
		}
	}
	if to > d.passed {
		dst = append(dst, d.held[d.passed-d.base:to-d.base]...)
		d.passed = to
	}
	if drop := d.passed - d.Late() - d.base; drop > d.Late() {
		drop -= drop % (stepMs * d.ms)
		d.held = d.held[:copy(d.held, d.held[drop:])]
		d.base += drop
	}
	return dst
}

func (d *Filter) heardEnough() bool {
	return len(d.sounds) > 0 && len(d.sounds[0].clicks) >= manyClicks
}

// Cleared is what was taken out of late; it goes on changing.
func (d *Filter) Cleared() *Cleared { return &d.cleared }

// Settle ends the waiting for the clicks to be known, as at a stream's end: what
// was held is gone through once more with the sounds that are known by now.
func (d *Filter) Settle() {
	waiting := !d.settled && d.since >= 0
	d.settled = true
	if !waiting {
		return
	}
	d.searched = max(d.base, d.since-d.spectra.n/4)
	d.due = d.due[:0]
	d.last = -1 << 40
	d.examine(d.base + len(d.held))
}

// examine looks for clicks up to total.
func (d *Filter) examine(total int) {
	for d.edges.next < total-d.ms-1 {
		if at, ok := d.edges.look(d.held[d.edges.next-d.base:]); ok {
			d.suspect(suspect{at: at})
		}
	}
	for d.searched+d.spectra.n < total {
		d.search()
	}
	for len(d.due) > 0 {
		at := d.due[0].at
		if d.searched <= at+soughtMs*d.ms || total < at+(clickMs+soughtMs)*d.ms {
			return
		}
		s := d.due[0]
		d.due = d.due[:copy(d.due, d.due[1:])]
		d.judge(s)
	}
}

// suspect adds a place to be judged, in order of time.
func (d *Filter) suspect(s suspect) {
	i := len(d.due)
	for i > 0 && d.due[i-1].at > s.at {
		i--
	}
	d.due = append(d.due, suspect{})
	copy(d.due[i+1:], d.due[i:])
	d.due[i] = s
}

// search looks through the next part of the stream for the one place most like
// each known sound.
func (d *Filter) search() {
	x := d.held[d.searched-d.base:][:d.spectra.n]
	from := d.searched
	d.searched += d.spectra.hop()
	loud := false
	for _, v := range x {
		loud = loud || v > quiet || v < -quiet
	}
	if !loud || len(d.sounds) == 0 {
		return
	}
	in := d.spectra.stretchOf(x)
	for _, s := range d.sounds {
		at, share := d.spectra.likest(s, in)
		if at += from + leadMs*d.ms; at > d.last+apartMs*d.ms && share > likeShare {
			d.suspect(suspect{at: at, known: true})
		}
	}
}

// judge looks at one place: a click of a known sound is taken out and learned
// from, another is kept for finding out.
func (d *Filter) judge(s suspect) {
	at := s.at
	if at < d.last+apartMs*d.ms || at < d.base+2*leadMs*d.ms {
		return
	}
	var c struck
	var sound *clickSound
	var fit fit
	length := d.length(at)
	for try := 0; ; try++ {
		c = d.spectra.cut(d.held[at-leadMs*d.ms-d.base:], leadMs*d.ms, length)
		sound, fit = d.likeness(&c)
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
	d.last = at
	others := sound
	if own := sound.of(at, d.ms); own >= 0 {
		others = sound.without(own, d.spectra)
	}
	if d.settled && len(others.clicks) >= fewestClicks {
		d.clear(at, length, others, fit)
	}
	if others == sound {
		c.join(sound, fit, d.spectra)
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

// likeness finds the known sound that a click is most like.
func (d *Filter) likeness(c *struck) (sound *clickSound, best fit) {
	for _, s := range d.sounds {
		if f := d.spectra.match(s, c, 3*d.ms); f.share > best.share {
			sound, best = s, f
		}
	}
	return sound, best
}

// clear takes the click at a place out of what is held.
func (d *Filter) clear(at, length int, s *clickSound, f fit) {
	f.gain = s.usual(f.gain)
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
	if len(d.unknown) < fewestClicks {
		return
	}
	sound, rest := common(d.unknown, d.spectra)
	if sound == nil {
		return
	}
	d.unknown = append(d.unknown[:0], rest...)
	if len(d.sounds) == mostSounds {
		d.sounds = d.sounds[:copy(d.sounds, d.sounds[1:])]
	}
	d.sounds = append(d.sounds, sound)
}

// join makes a click one of a sound's.
func (c struck) join(s *clickSound, f fit, sp *spectra) {
	for i := range c.spec {
		c.spec[i] *= cmplx.Rect(1, sp.omega(i)*f.shift)
	}
	c.gain = f.gain
	s.add(c, sp)
}
