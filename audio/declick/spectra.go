package declick

import (
	"math"
	"math/cmplx"
)

// spectra compares clicks by their spectra.
type spectra struct {
	n     int // samples transformed
	ms    int // samples in a millisecond
	fft   *transform
	seq   []float64    // scratch
	cross []complex128 // scratch
	rest  []complex128 // scratch

	sought stretch   // scratch
	ring   []float64 // scratch: a tail
	power  []float64 // scratch
	near   []float64 // scratch
	late   []float64 // scratch
	// Scratch: sums of some of the unknown clicks.
	front, others sums
	rear          [mostUnknown]sums
	both          []complex128 // scratch: what a click and a sound have, of the lower bins
	rise          []float64    // how what is looked at comes up before a click
	fall          []float64    // and goes at its end
	hurry         []float64    // what a part of a sound is looked at through
}

// stretch is the spectrum of sound in which clicks are looked for.
type stretch struct {
	spec   []complex128
	weight []float64
}

// crossed is how a click and a sound correlate, bin by bin, each weighted.
type crossed struct {
	spec         []complex128 // the cross spectrum
	whole, power float64      // the powers of the click and of the sound
}

// fit is how a click is like a sound.
type fit struct {
	shift float64 // samples by which it lies later
	gain  float64 // by which it is stronger
	share float64 // of it that is explained, each bin by its weight
	plain float64 // of it that is explained, each bin like the others
}

func newSpectra(longest, ms int) *spectra {
	n := 1
	for n < longest {
		n *= 2
	}
	sp := &spectra{
		n: n, ms: ms, fft: newTransform(n), seq: make([]float64, n),
		cross: make([]complex128, n/2+1), rest: make([]complex128, n/2+1),
		power: make([]float64, n/2+1), near: make([]float64, n/2+1), both: make([]complex128, int(lowBins*float64(n/2+1))),
		sought: stretch{make([]complex128, n/2+1), make([]float64, n/2+1)},
	}
	sp.rise, sp.fall = rises((leadMs-1)*ms), rises(clickFadeMs*ms)
	sp.hurry = make([]float64, partMs*ms)
	for i := range sp.hurry {
		sp.hurry[i] = hurried(float64(i) / float64(len(sp.hurry)))
	}
	return sp
}

// rises is half a period of a cosine that comes up from 0 to 1, of so many samples.
func rises(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = 0.5 - 0.5*math.Cos(math.Pi*float64(i)/float64(n))
	}
	return x
}

// turn moves a spectrum by some samples to where it lies earlier.
func (sp *spectra) turn(spec []complex128, samples float64) {
	turn, step := complex(1, 0), cmplx.Rect(1, sp.omega(1)*samples)
	for i := range spec {
		spec[i] *= turn
		turn *= step
	}
}

// omega is the angular frequency of a bin, in radians a sample.
func (sp *spectra) omega(bin int) float64 { return 2 * math.Pi * float64(bin) / float64(sp.n) }

// cut takes a click's spectrum from x, which begins lead samples before it. It takes
// the place of one that is no longer needed, if there is any.
func (sp *spectra) cut(place struck, x []float32, lead, length int) struck {
	if place.spec == nil {
		place.spec, place.weight = make([]complex128, sp.n/2+1), make([]float64, sp.n/2+1)
	}
	fall := sp.fall
	if length/2 < len(fall) {
		fall = rises(length / 2)
	}
	n := lead + length
	clear(sp.seq[n:])
	for i, v := range x[:n] {
		sp.seq[i] = float64(v)
	}
	for i, g := range sp.rise {
		sp.seq[lead-sp.ms-len(sp.rise)+i] *= g
	}
	for i, g := range fall[1:] {
		sp.seq[n-1-i] *= g
	}
	c := struck{spec: sp.fft.coefficients(place.spec, sp.seq), weight: place.weight, gain: 1}
	if q := partMs * sp.ms; length >= 3*q {
		first, before := loud(x[lead:][:q]), loud(x[:lead-sp.ms])/float64(lead-sp.ms)*float64(q)
		c.fresh = before < freshBefore*first && loud(x[lead+2*q:][:q]) < freshAfter*first
	}
	c.dies = length >= (diesMs+partMs)*sp.ms && loud(x[lead+diesMs*sp.ms:][:partMs*sp.ms]) < diesLeast*loud(x[lead:][:partMs*sp.ms])
	return c
}

const (
	// A click has less than diesLeast of its power after diesMs, though a room comes in
	// waves; a note comes up by more.
	diesMs    = clickMs - partMs - 5
	diesLeast = 0.35
	// A click out of silence has less than freshBefore of its first partMs before it, for
	// so long a time, and does not grow: less than freshAfter of it in its third partMs.
	freshBefore = 0.12
	freshAfter  = 1.2
)

func loud(x []float32) (power float64) {
	for _, v := range x {
		power += float64(v) * float64(v)
	}
	return power
}

// match finds how a click is like a sound, shifted by up to reach samples, and
// weighs its bins by what the sound leaves of it.
func (sp *spectra) match(s *clickSound, c *struck, reach int) fit {
	sp.weigh(c.weight, c.spec)
	both := sp.both
	var whole, power float64
	for i, v := range c.spec[:len(both)] {
		u := s.spec[i]
		both[i] = complex(real(v)*real(u)+imag(v)*imag(u), imag(v)*real(u)-real(v)*imag(u))
		whole += real(v)*real(v) + imag(v)*imag(v)
		power += real(u)*real(u) + imag(u)*imag(u)
	}
	x := sp.weighted(s, c)
	f := sp.align(x, sp.latest(x, reach))
	if f.share > 0 {
		turn, step := complex(f.gain, 0), cmplx.Rect(1, -sp.omega(1)*f.shift)
		for i, v := range c.spec {
			sp.rest[i] = v - s.spec[i]*turn
			turn *= step
		}
		sp.weigh(c.weight, sp.rest)
		f = sp.align(sp.weighted(s, c), f.shift)
	}
	// Whatever else may have sounded.
	plain := 0.0
	turn, step := complex(1, 0), cmplx.Rect(1, sp.omega(1)*f.shift)
	for _, v := range both {
		plain += real(v)*real(turn) - imag(v)*imag(turn)
		turn *= step
	}
	f.plain = plain * max(0, plain) / (whole*power + tiny)
	return f
}

// weighted is correlate of what both a click and a sound have.
func (sp *spectra) weighted(s *clickSound, c *struck) (x crossed) {
	x.spec = sp.cross
	clear(x.spec[len(sp.both):])
	for i, b := range sp.both {
		w, u, v := c.weight[i], s.spec[i], c.spec[i]
		x.spec[i] = complex(w*real(b), w*imag(b))
		x.whole += w * (real(v)*real(v) + imag(v)*imag(v))
		x.power += w * (real(u)*real(u) + imag(u)*imag(u))
	}
	return x
}

// stands tells whether what is struck is hardly stronger than clicks of the known
// sounds, so that one of those would explain it.
func (sp *spectra) stands(c *struck, sounds []*clickSound) bool {
	most := 0.0
	for _, s := range sounds {
		p := 0.0
		for _, v := range s.spec {
			p += real(v)*real(v) + imag(v)*imag(v)
		}
		most = max(most, p)
	}
	whole := 0.0
	for _, v := range c.spec {
		whole += real(v)*real(v) + imag(v)*imag(v)
	}
	return whole < drowned*most
}

// drowned is by how much, in power, the notes are stronger than clicks that they
// drown.
const drowned = 3.0

// lowBins is the share of bins that are trusted in comparing: above lie what
// the decimation has folded and no more than the click's very edge.
const lowBins = 0.7

// correlate is the weighted cross spectrum of a click and a sound, and the
// weighted powers of both. It holds until the next call.
func (sp *spectra) correlate(s *clickSound, spec []complex128, weight []float64) (x crossed) {
	x.spec = sp.cross
	clear(x.spec)
	low := int(lowBins * float64(len(spec)))
	for i, v := range spec[:low] {
		w, u := weight[i], s.spec[i]
		x.spec[i] = complex(w, 0) * v * cmplx.Conj(u)
		x.whole += w * (real(v)*real(v) + imag(v)*imag(v))
		x.power += w * (real(u)*real(u) + imag(u)*imag(u))
	}
	return x
}

// latest is the shift, of up to reach samples either way, at which the weighted
// correlation is greatest: of few, each by itself, else by the transform.
func (sp *spectra) latest(x crossed, reach int) float64 {
	best := 0
	if reach > fewShifts {
		sp.fft.sequence(sp.seq, x.spec)
		at := func(i int) float64 { return sp.seq[(i+sp.n)%sp.n] }
		for i := -reach; i <= reach; i++ {
			if at(i) > at(best) {
				best = i
			}
		}
		return float64(best)
	}
	var sums [2*fewShifts + 1]float64
	for i := range reach + 1 {
		sums[fewShifts-i], sums[fewShifts+i] = sp.fft.around(x.spec[:len(sp.both)], i)
	}
	for i := -reach; i <= reach; i++ {
		if sums[fewShifts+i] > sums[fewShifts+best] {
			best = i
		}
	}
	return float64(best)
}

// fewShifts are sooner worked out one by one.
const fewShifts = 8

// align finds the shift at which the weighted correlation of a click and a
// sound is greatest, from one near it, between samples by Newton's method
// (generalised cross-correlation: Knapp & Carter 1976, "The generalized
// correlation method for estimation of time delay", IEEE Trans. ASSP 24, 320-327).
func (sp *spectra) align(x crossed, from float64) fit {
	if x.power == 0 || x.whole == 0 {
		return fit{}
	}
	f := fit{shift: from}
	most, first := 0.0, sp.omega(1)
	low := x.spec[:(len(sp.both)+1)&^1] // above is nothing
	for range 6 {
		// Even bins and odd ones, so that neither waits for the other.
		var most0, most1, slope0, slope1, bend0, bend1 float64
		step := cmplx.Rect(1, first*f.shift)
		r0, i0, r1, i1 := 1.0, 0.0, real(step), imag(step)
		sr, si := real(step*step), imag(step*step)
		k := 0.0
		for n := 0; n+1 < len(low); n += 2 {
			u, v := low[n], low[n+1]
			re, im := real(u)*r0-imag(u)*i0, real(u)*i0+imag(u)*r0
			most0 += re
			slope0 += k * im
			bend0 += k * k * re
			k++
			re, im = real(v)*r1-imag(v)*i1, real(v)*i1+imag(v)*r1
			most1 += re
			slope1 += k * im
			bend1 += k * k * re
			k++
			r0, i0 = r0*sr-i0*si, r0*si+i0*sr
			r1, i1 = r1*sr-i1*si, r1*si+i1*sr
		}
		most = most0 + most1
		slope, bend := -first*(slope0+slope1), -first*first*(bend0+bend1)
		if bend >= 0 || math.Abs(slope) < -1e-3*bend {
			break
		}
		f.shift -= max(-0.3, min(0.3, slope/bend))
	}
	if most <= 0 {
		return fit{}
	}
	f.gain = most / x.power
	f.share = most * most / x.power / x.whole
	return f
}

// hop is by how much two stretches that are searched lie apart: enough of a click
// that begins just before the next is still in the first.
func (sp *spectra) hop() int { return 3 * sp.n / 4 }

// stretchOf is the spectrum of sound in which likest looks for clicks. It holds
// until the next call.
func (sp *spectra) stretchOf(x []float32) stretch {
	for i, v := range x {
		sp.seq[i] = float64(v)
	}
	sp.fft.coefficients(sp.sought.spec, sp.seq)
	sp.weigh(sp.sought.weight, sp.sought.spec)
	return sp.sought
}

// likest is where in the first hop of a stretch a sound is likeliest to begin,
// its lead included, and the share of the stretch that it would explain.
func (sp *spectra) likest(s *clickSound, in stretch) (at int, share float64) {
	x := sp.correlate(s, in.spec, in.weight)
	sp.fft.sequence(sp.seq, x.spec)
	for i, v := range sp.seq[:sp.hop()] {
		if v > sp.seq[at] {
			at = i
		}
	}
	v := sp.seq[at] / 2
	return at, v * v / (x.power*x.whole + tiny)
}

// sounded is a sound as it is at some shift and gain. The next call overwrites it.
func (sp *spectra) sounded(s *clickSound, f fit) []float64 { return sp.sounding(s.spec, f) }

// sounding is the same of a spectrum.
func (sp *spectra) sounding(spec []complex128, f fit) []float64 {
	turn, step := complex(f.gain/float64(sp.n), 0), cmplx.Rect(1, -sp.omega(1)*f.shift)
	for i, v := range spec {
		sp.rest[i] = v * turn
		turn *= step
	}
	return sp.fft.sequence(sp.seq, sp.rest)
}

const (
	// A band that after lateMs has gone down to less than lateLeast of its power
	// is a click's, one that has more than lateMost is a note's.
	lateMs    = 38
	partMs    = 25
	lateLeast = 0.25
	lateMost  = 0.7
	bandBins  = 4
	// A click heard alone may begin so long before its edge.
	aloneLeadMs = 3
)

// shape leaves of a sound what is a click's. Notes that sounded with most of
// its clicks are in it as well; but a click begins at its edge and dies away,
// band by band, in a room slowly and in waves. What was heard alone is a click's.
func (sp *spectra) shape(s *clickSound, alone bool) {
	edge := leadMs*sp.ms - sp.ms/2
	if alone {
		edge = (leadMs - aloneLeadMs) * sp.ms // what comes first need not be the steepest
	}
	if !alone {
		sp.ring = append(sp.ring[:0], sp.sounded(s, fit{gain: 1})...)
		sp.near = sp.part(sp.near[:0], sp.ring, edge)
		sp.late = sp.part(sp.late[:0], sp.ring, edge+lateMs*sp.ms)
		for i, late := range sp.late {
			left := late / (sp.near[i] + tiny)
			g := max(0, min(1, (lateMost-left)/(lateMost-lateLeast)))
			s.spec[i] = complex(g*real(s.spec[i]), g*imag(s.spec[i]))
		}
	}
	sp.sounded(s, fit{gain: 1})
	clear(sp.seq[:edge])
	clear(sp.seq[edge+clickMs*sp.ms:])
	sp.fft.coefficients(s.spec, sp.seq)
}

// part appends the powers of a part of x, each the mean of a band.
func (sp *spectra) part(out, x []float64, from int) []float64 {
	clear(sp.seq)
	for i, g := range sp.hurry {
		sp.seq[from+i] = x[from+i] * g
	}
	sp.power = powers(sp.power[:0], sp.fft.coefficients(sp.rest, sp.seq))
	return around(out, sp.power, bandBins)
}

// hurried is a window that comes up in its first tenth, as a click does.
func hurried(x float64) float64 {
	if x < 0.1 {
		return math.Sin(math.Pi / 2 * x / 0.1)
	}
	return math.Cos(math.Pi / 2 * (x - 0.1) / 0.9)
}
