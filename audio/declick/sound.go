package declick

import (
	"math"
	"slices"
)

// clickSound is one sound of clicks, learned from several of them: what is the
// same in all, bin by bin of their spectra. Each click counts in each bin by the
// reciprocal of the power of what else sounds there, as is best for a mean of
// values known unequally well; and that power is of what the mean of the other
// clicks leaves of it. Notes are strong in few bins and change, so there are
// clean clicks for every bin.
type clickSound struct {
	clicks []struck
	joined int // clicks ever
	pairs  int // that were looked at for whether they were heard alone
	sums   sums
	spec   []complex128 // what is the same in all
	tail   tail         // what the room makes of it later
}

// struck is one click as it was heard, with what sounded at the time.
type struck struct {
	at     int          // place of its edge
	late   float64      // by how much later, in samples, it begins as its sound does
	spec   []complex128 // once it is of a sound, with its edge where that has it
	weight []float64
	gain   float64 // how much louder than its sound it is
	dies   bool    // it dies away as clicks do
	fresh  bool    // it comes out of silence, and does not grow: a room may ring with it
	plain  float64 // the share of it that its sound explained
	alone  bool    // hardly anything else sounded
}

const (
	// So many clicks tell a sound, or two when nothing else is heard in them.
	fewestClicks = 3
	fewestAlone  = 2
	aloneShare   = 0.8
	// Clicks that are the same explain so much of each other, and lie evenly to evenMs.
	sameShare  = 0.95
	evenMs     = 0.5
	mostClicks = 32
	// So many pairs of a sound's clicks are looked at for whether they were heard alone.
	mostVouched = 128
)

// tells whether so many clicks are enough for a sound that explains this share of
// another.
func tells(clicks int, share float64) bool {
	return clicks >= fewestClicks || clicks >= fewestAlone-1 && share > aloneShare
}

// add takes in a click, and returns one that is no longer needed, if there is any.
func (s *clickSound) add(c struck, sp *spectra) (free struck) {
	if len(s.clicks) == mostClicks {
		free = s.forget()
	}
	s.clicks = append(s.clicks, c)
	s.joined++
	if len(s.clicks) < refineBelow || s.joined%refineEvery == 0 {
		s.refine(sp)
	}
	return free
}

// forget drops the click of the older half that most else sounded with, and returns it.
func (s *clickSound) forget() struck {
	worst := 0
	for i, c := range s.clicks[:len(s.clicks)/2] {
		if c.plain < s.clicks[worst].plain {
			worst = i
		}
	}
	c := s.clicks[worst]
	s.clicks = slices.Delete(s.clicks, worst, worst+1)
	return c
}

// A sound that few clicks tell is worked out anew with each, later with every
// so many.
const (
	refineBelow = 8
	refineEvery = 8
)

// of is which of the sound's clicks lies at a place, or -1.
func (s *clickSound) of(at, within int) int {
	for i, c := range s.clicks {
		if max(c.at-at, at-c.at) <= within {
			return i
		}
	}
	return -1
}

// without is the sound as the clicks other than one tell it.
func (s *clickSound) without(own int, sp *spectra) *clickSound {
	o := &clickSound{clicks: make([]struck, 0, len(s.clicks))}
	if len(s.clicks) == 1 {
		return o // they tell nothing
	}
	o.clicks = append(append(o.clicks, s.clicks[:own]...), s.clicks[own+1:]...)
	o.average(sp)
	sp.shape(o, s.heardAlone())
	return o
}

// heardAlone tells whether nothing but the sound was heard in some of its clicks.
func (s *clickSound) heardAlone() bool {
	n := 0
	for _, c := range s.clicks {
		if c.alone {
			n++
		}
	}
	return n >= fewestAlone
}

// usual is the mean of the gains near one: a metronome has few.
func (s *clickSound) usual(gain float64) float64 {
	sum, n := gain, 1.0
	for _, c := range s.clicks {
		if r := c.gain / gain; r > 0.8 && r < 1.25 {
			sum += c.gain
			n++
		}
	}
	return sum / n
}

// known tells whether a click was about as strong as one of the sound's.
func (s *clickSound) known(gain float64) bool {
	for _, c := range s.clicks {
		if r := gain / c.gain; r > 1/knownGain && r < knownGain {
			return true
		}
	}
	return false
}

// knownGain is how much stronger or weaker a click may seem where notes sound.
const knownGain = 1.6

// refine works out anew how much each click counts, and the sound.
func (s *clickSound) refine(sp *spectra) {
	s.average(sp)
	if len(s.clicks) < fewestClicks {
		return
	}
	rounds := 2
	if len(s.clicks) >= refineBelow {
		rounds = 1
	}
	for range rounds {
		for n := range s.clicks {
			c := &s.clicks[n]
			rest, weights, sum, weight := sp.rest[:len(c.spec)], c.weight[:len(c.spec)], s.sums.spec[:len(c.spec)], s.sums.weight[:len(c.spec)]
			for i, v := range c.spec {
				w := weights[i] * c.gain
				others := sum[i] - complex(w*real(v), w*imag(v))
				g := c.gain / max(weight[i]-w*c.gain, tiny)
				rest[i] = v - complex(g*real(others), g*imag(others))
			}
			sp.weigh(c.weight, rest)
		}
		s.average(sp)
	}
	sp.shape(s, s.heardAlone())
}

const tiny = 1e-30

// sums are those of clicks, weighted, and of the weights.
type sums struct {
	spec   []complex128
	weight []float64
}

// none makes them those of no clicks, of so many bins.
func (s *sums) none(bins int) {
	if s.spec == nil {
		s.spec, s.weight = make([]complex128, bins), make([]float64, bins)
	}
	clear(s.spec)
	clear(s.weight)
}

func (s *sums) add(c *struck) {
	weights, sum, weight := c.weight[:len(c.spec)], s.spec[:len(c.spec)], s.weight[:len(c.spec)]
	for i, v := range c.spec {
		w := weights[i] * c.gain
		sum[i] += complex(w*real(v), w*imag(v))
		weight[i] += w * c.gain
	}
}

func (s *sums) join(others sums) {
	for i, v := range others.spec {
		s.spec[i] += v
		s.weight[i] += others.weight[i]
	}
}

// average finds the weighted mean, drawn towards nothing where it is as weak as
// it is uncertain.
func (s *clickSound) average(sp *spectra) {
	n := len(s.clicks[0].spec)
	if s.spec == nil {
		s.spec = make([]complex128, n)
	}
	s.sums.none(n)
	for i := range s.clicks {
		s.sums.add(&s.clicks[i])
	}
	s.between(s.sums, sp)
}

// between makes the sound that of sums of as many clicks as it has.
func (s *clickSound) between(of sums, sp *spectra) {
	sp.mean(s.spec, of)
	if len(s.clicks) >= fewestClicks {
		sp.draw(s.spec, of.weight)
	}
}

// mean puts sums by their weights into spec.
func (sp *spectra) mean(spec []complex128, of sums) {
	for i, v := range of.spec {
		w := max(of.weight[i], tiny)
		spec[i] = complex(real(v)/w, imag(v)/w)
	}
}

// draw draws a mean towards nothing where it is as weak as it is uncertain.
func (sp *spectra) draw(spec []complex128, weight []float64) {
	sp.power = powers(sp.power[:0], spec)
	sp.near = around(sp.near[:0], sp.power, nearBins)
	for i, p := range sp.near {
		g := max(0, 1-1/(max(weight[i], tiny)*p+tiny))
		spec[i] = complex(g*real(spec[i]), g*imag(spec[i]))
	}
}

// nearBins either side are taken with a bin for its power.
const nearBins = 2

// weigh sets each bin's weight to the reciprocal of the power around it.
func (sp *spectra) weigh(w []float64, spec []complex128) {
	p := sp.power[:len(spec)]
	total := 0.0
	for i, v := range spec {
		p[i] = real(v)*real(v) + imag(v)*imag(v)
		total += p[i]
	}
	least := 1e-6*total/float64(len(spec)) + tiny
	const n = 2*nearBins + 1
	w = w[:len(p)]
	for i := range p {
		if i < nearBins || i >= len(p)-nearBins {
			near := p[max(0, i-nearBins):min(len(p), i+nearBins+1)]
			sum := 0.0
			for _, v := range near {
				sum += v
			}
			w[i] = 1 / (sum/float64(len(near)) + least)
			continue
		}
		q := p[i-nearBins:][:n]
		w[i] = n / (q[0] + q[1] + q[2] + q[3] + q[4] + n*least)
	}
}

// powers appends those of the bins.
func powers(p []float64, spec []complex128) []float64 {
	for _, v := range spec {
		p = append(p, real(v)*real(v)+imag(v)*imag(v))
	}
	return p
}

// around appends the mean of each value and h either side of it.
func around(out, p []float64, h int) []float64 {
	for i := range p {
		sum := 0.0
		near := p[max(0, i-h):min(len(p), i+h+1)]
		for _, v := range near {
			sum += v
		}
		out = append(out, sum/float64(len(near)))
	}
	return out
}

// pair finds a click that the last one is like, when nearly nothing else sounds in
// either and both die away, and returns the sound of the two and the other clicks. In
// a room clicks ring on: there they come out of silence, are the same, and lie on a
// pulse, or evenly with a third.
func pair(unknown []struck, sp *spectra, p *pulse) (sound *clickSound, rest []struck) {
	n := len(unknown) - 1
	last := unknown[n]
	if !last.dies && !last.fresh {
		return nil, unknown
	}
	one := &clickSound{}
	like := func(c struck) fit {
		c.gain = 1
		one.clicks = append(one.clicks[:0], c)
		one.average(sp)
		return sp.match(one, &last, sp.ms)
	}
	for i, c := range unknown[:n] {
		if !(c.dies && last.dies) && !(c.fresh && last.fresh) {
			continue
		}
		f := like(c)
		if f.plain < aloneShare {
			continue
		}
		if !(c.dies && last.dies) && (f.plain < sameShare || !evenly(c, last, f, unknown[:n], like, p, sp.ms)) {
			continue
		}
		f = like(c)
		last = last.copied()
		last.aligned(f, sp)
		one.clicks[0] = c.copied()
		last.alone, one.clicks[0].alone = true, true
		one.clicks = append(one.clicks, last)
		one.refine(sp)
		return one, append(append(rest, unknown[:i]...), unknown[i+1:n]...)
	}
	return nil, unknown
}

// evenly tells whether two clicks, the second of which fits the first so, lie on a
// pulse, or evenly with another one that is the same.
func evenly(a, b struck, f fit, others []struck, like func(struck) fit, p *pulse, ms int) bool {
	if p.on(a.at, ms) && p.on(b.at, ms) {
		return true
	}
	apart := float64(b.at-a.at) + f.shift
	for _, c := range others {
		if d := float64(b.at - c.at); c.at == a.at || !even(d, apart, 1, ms) {
			continue
		}
		if f := like(c); f.plain > sameShare && even(float64(b.at-c.at)+f.shift, apart, evenMs, ms) {
			return true
		}
	}
	return false
}

// even tells whether a third click lies evenly with two that are so many samples apart,
// when it is d samples before the second of them: as far before both, between them, or
// as far after both. It may be off by so many milliseconds.
func even(d, apart, within float64, ms int) bool {
	within *= float64(ms)
	return math.Abs(d-2*apart) < within || math.Abs(d-apart/2) < within || math.Abs(d+apart) < within
}

// vouch finds two clicks of a sound, not both of its first ones, that come out of
// silence, are the same and lie evenly with a third: they were heard alone.
func (s *clickSound) vouch(first int, sp *spectra, p *pulse) {
	third := func(i, j int) bool {
		place := func(c struck) float64 { return float64(c.at) + c.late }
		apart := place(s.clicks[j]) - place(s.clicks[i])
		for k, c := range s.clicks {
			if k != i && k != j && even(place(s.clicks[j])-place(c), apart, evenMs, sp.ms) {
				return true
			}
		}
		return p.on(s.clicks[i].at, sp.ms) && p.on(s.clicks[j].at, sp.ms)
	}
	one := &clickSound{}
	for i := first; i < len(s.clicks); i++ {
		a := s.clicks[i]
		for j, b := range s.clicks[:i] {
			if !a.fresh || !b.fresh || !third(i, j) {
				continue
			}
			if s.pairs++; s.pairs > mostVouched {
				return
			}
			b.gain = 1
			one.clicks = append(one.clicks[:0], b)
			one.average(sp)
			c := a.copied()
			if sp.match(one, &c, sp.ms).plain > sameShare {
				s.clicks[i].alone, s.clicks[j].alone = true, true
				s.refine(sp)
				return
			}
		}
	}
}

func (c struck) copied() struck {
	c.spec = append([]complex128(nil), c.spec...)
	c.weight = append([]float64(nil), c.weight...)
	c.gain, c.late = 1, 0
	return c
}

// hopeful tells whether clicks that share so much at first may have a sound in common:
// the few that have in the end share far more than this.
func hopeful(shares []float64) bool {
	n := 0
	for _, s := range shares {
		if s > hopefulShare {
			n++
		}
	}
	return n >= fewestClicks
}

const hopefulShare = 0.01

// common finds the sound that clicks have in common, if at least fewestClicks
// have, and returns those that have not.
func common(unknown []struck, sp *spectra) (sound *clickSound, rest []struck) {
	all := &clickSound{}
	for _, c := range unknown {
		all.clicks = append(all.clicks, c.copied())
	}
	shares := make([]float64, len(all.clicks))
	one := &all.clicks[0]
	front, others := &sp.front, &sp.others
	rear := sp.rear[:len(all.clicks)] // of all clicks behind one
	mean := &clickSound{clicks: all.clicks[1:], spec: make([]complex128, len(one.spec))}
	for round := range 3 {
		if round > 0 && !hopeful(shares) {
			return nil, unknown
		}
		front.none(len(one.spec))
		rear[len(rear)-1].none(len(one.spec))
		for n := len(rear) - 2; n >= 0; n-- {
			rear[n].none(len(one.spec))
			rear[n].join(rear[n+1])
			rear[n].add(&all.clicks[n+1])
		}
		for n := range all.clicks {
			c := &all.clicks[n]
			others.none(len(c.spec))
			others.join(*front)
			others.join(rear[n])
			mean.between(*others, sp)
			f := sp.match(mean, c, 3)
			shares[n] = f.share
			if math.Abs(f.shift) < 3 {
				sp.turn(c.spec, f.shift)
				c.late += f.shift
			}
			c.gain = max(0.1, min(3, f.gain))
			front.add(c)
		}
	}
	sound = &clickSound{}
	for i, share := range shares {
		if share > alikeShare {
			sound.clicks = append(sound.clicks, all.clicks[i])
		} else {
			rest = append(rest, unknown[i])
		}
	}
	if len(sound.clicks) < fewestClicks {
		return nil, unknown
	}
	sound.refine(sp)
	return sound, rest
}
