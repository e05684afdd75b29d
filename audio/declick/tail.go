package declick

import (
	"math"
)

// In a room a click is heard on when its sound is over. What follows on it, from
// the fade of the click itself on, is learned in parts, each like the click: of
// their spectra the mean over the clicks, weighted bin by bin.
const (
	tailParts = 3
	tailHopMs = clickMs - clickFadeMs
	// By tailHeardMs after a click those that lie in its tail have been taken out.
	tailHeardMs = 450
	// Part by part a band goes down to tailMost of its power at least.
	tailMost = 0.5
	// Parts with less than tailLeast of the click's power are no part of it.
	tailLeast = 1e-4
	// The last clicks, about tailMemory of them, tell a tail.
	tailMemory = 32
)

// tail is what is learned of one sound's, part by part.
type tail [tailParts]tailPart

type tailPart struct {
	sum    []complex128 // of the clicks, weighted
	weight []float64    // sum of the weights
	spec   []complex128 // what is the same in all; nil where there is nothing
}

// ringing is a click that was taken out, and what was of its tail.
type ringing struct {
	at    int
	fit   fit
	sound *clickSound
	out   []float64 // from tailHopMs after it on
}

// quiet takes the tails of clicks out of the last n samples held.
func (d *Filter) quiet(n int) {
	k := min(n, len(d.ahead))
	x := d.held[len(d.held)-n:]
	for i, v := range d.ahead[:k] {
		x[i] -= v
	}
	d.ahead = d.ahead[:copy(d.ahead, d.ahead[k:])]
}

// clearTail takes out what rings on after a click.
func (d *Filter) clearTail(at int, s *clickSound, f fit) {
	r := ringing{at: at, fit: f, sound: s}
	if n := len(d.spare); n > 0 {
		r.out, d.spare = d.spare[n-1][:0], d.spare[:n-1]
	}
	r.out = append(r.out, d.spectra.rings(s, f)...)
	d.ringing = append(d.ringing, r)
	first, total := at+tailHopMs*d.ms, d.base+len(d.held)
	for i, v := range r.out {
		k := first + i
		if k < total {
			d.held[k-d.base] -= float32(v)
			continue
		}
		for len(d.ahead) <= k-total {
			d.ahead = append(d.ahead, 0)
		}
		d.ahead[k-total] += float32(v)
	}
}

// learnTails learns from the clicks that have rung, or from all that did so within
// what is held, and anew.
func (d *Filter) learnTails(all bool) {
	total := d.base + len(d.held)
	if all {
		for _, s := range d.sounds {
			for j := range s.tail {
				clear(s.tail[j].sum)
				clear(s.tail[j].weight)
			}
		}
	}
	n := 0
	for _, r := range d.ringing {
		if !all && total < r.at+tailHeardMs*d.ms {
			break
		}
		n++
		if first := r.at + tailHopMs*d.ms; first >= d.base && total >= first+d.spectra.tailLength() {
			d.spectra.learnTail(r, d.held[first-d.base:])
		}
	}
	for _, r := range d.ringing[:n] {
		d.spare = append(d.spare, r.out)
	}
	d.ringing = d.ringing[:copy(d.ringing, d.ringing[n:])]
}

// tailLength is that of all parts, in samples.
func (sp *spectra) tailLength() int { return ((tailParts-1)*tailHopMs + clickMs) * sp.ms }

// rings is the tail of a sound at some shift and gain, from tailHopMs after the
// click on; nothing when it has none. It holds until the next call.
func (sp *spectra) rings(s *clickSound, f fit) []float64 {
	sp.ring = sp.ring[:0]
	for j := range s.tail {
		if s.tail[j].spec == nil {
			break
		}
		for len(sp.ring) < (j*tailHopMs+clickMs)*sp.ms {
			sp.ring = append(sp.ring, 0)
		}
		part := sp.sounding(s.tail[j].spec, f)
		x := sp.ring[j*tailHopMs*sp.ms:]
		for i := range x {
			x[i] += part[i]
		}
	}
	return sp.ring
}

// learnTail learns from a click whose tail x is, after what was known of it was
// taken out.
func (sp *spectra) learnTail(r ringing, x []float32) {
	s := r.sound
	hop, length, fade := tailHopMs*sp.ms, clickMs*sp.ms, clickFadeMs*sp.ms
	sp.late = powers(sp.late[:0], s.spec)
	whole := 0.0
	for _, p := range sp.late {
		whole += p
	}
	ended := false
	weight := sp.sought.weight
	for j := range s.tail {
		clear(sp.seq)
		for i := range length {
			v := float64(x[j*hop+i])
			if k := j*hop + i; k < len(r.out) {
				v += r.out[k]
			}
			g := 1.0
			if left := min(i, length-i); left < fade {
				g = sp.fall[left]
			}
			sp.seq[i] = g * v
		}
		spec := sp.fft.coefficients(sp.cross, sp.seq)
		t := &s.tail[j]
		if t.sum == nil {
			t.sum, t.weight = make([]complex128, len(spec)), make([]float64, len(spec))
		}
		sp.turn(spec, r.fit.shift)
		for i := range spec {
			sp.rest[i] = spec[i]
			if t.spec != nil {
				sp.rest[i] -= complex(r.fit.gain, 0) * t.spec[i]
			}
		}
		sp.weigh(weight, sp.rest)
		const keep = 1 - 1.0/tailMemory
		for i, v := range spec {
			w := weight[i] * r.fit.gain
			t.sum[i] = keep*t.sum[i] + complex(w, 0)*v
			t.weight[i] = keep*t.weight[i] + w*r.fit.gain
		}
		if ended {
			t.spec = nil
			continue
		}
		sp.late = sp.settle(t, sp.late, whole)
		ended = t.spec == nil
	}
}

// settle works out a part that follows on one of some powers, of a click of some
// power in all, and returns its own powers in their place.
func (sp *spectra) settle(t *tailPart, before []float64, whole float64) []float64 {
	if t.spec == nil {
		t.spec = make([]complex128, len(t.sum))
	}
	sp.mean(t.spec, sums{t.sum, t.weight})
	sp.draw(t.spec, t.weight)
	sp.near = around(sp.near[:0], before, bandBins)
	sp.power = powers(sp.power[:0], t.spec)
	before = around(before[:0], sp.power, bandBins)
	sum := 0.0
	for i, own := range before {
		if most := sp.near[i]; own > tailMost*most {
			g := math.Sqrt(tailMost * most / own)
			t.spec[i] = complex(g*real(t.spec[i]), g*imag(t.spec[i]))
		}
	}
	before = powers(before[:0], t.spec)
	for _, v := range before {
		sum += v
	}
	if sum < tailLeast*whole {
		t.spec = nil
	}
	return before
}
