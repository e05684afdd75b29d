package declick

import "math"

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
	ahead   []float32   // of tails, to be taken out of the samples to come
	ringing []ringing   // clicks whose tails are still to be learned from
	spare   [][]float64 // memory for their tails
	pulse   pulse
	free    struck // a click's room that can be taken again
}

// suspect is a place where a click may begin.
type suspect struct {
	at    int
	known bool // it was found by a known sound, not by an edge
	pulse bool // or by the pulse alone
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
	// The same where the beat of the last clicks says that one is, no farther off
	// than expectedMs.
	expectedShare = 0.03
	expectedMs    = 0.2
	// Sound under leastLoud is not searched for clicks.
	leastLoud = 1e-4
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
		d.quiet(n)
		x = x[n:]
		if total := d.base + len(d.held); total%(stepMs*d.ms) == 0 {
			d.examine(total)
			d.learnTails(false)
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
	if drop := d.passed - tailHeardMs*d.ms - d.base; drop > d.Late() {
		drop -= drop % (stepMs * d.ms)
		d.held = d.held[:copy(d.held, d.held[drop:])]
		d.base += drop
	}
	return dst
}

// Cleared is what was taken out of late; it goes on changing.
func (d *Filter) Cleared() *Cleared { return &d.cleared }

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
	for {
		at, ok := d.pulse.next(float64(d.searched))
		if !ok {
			break
		}
		d.suspect(suspect{at: int(math.Round(at)), pulse: true})
	}
	for len(d.due) > 0 {
		at := d.due[0].at
		if d.searched <= at+soughtMs*d.ms || total < at+(clickMs+soughtMs)*d.ms {
			break
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
		loud = loud || v > leastLoud || v < -leastLoud
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
