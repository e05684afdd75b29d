package hear

import "math"

// frameSeconds is the time between two analysis frames.
const frameSeconds = 0.005

// pitch limits in Hz: below the contrabassoon's usual range, above the piccolo's.
const (
	lowestHz  = 40.0
	highestHz = 4300.0
)

// windowBlocks is the length of the pitch window, in blocks of frameSeconds.
const windowBlocks = 6

// correlator keeps, for each block of frameSeconds, the products of the block
// with itself a lag earlier, for every lag up to the longest period. The
// difference function of YIN (de Cheveigné & Kawahara 2002, JASA 111, 1917)
// over any window is then a sum of blocks.
type correlator struct {
	rate        float64
	block       int // samples
	lags        int // lags 0..lags-1
	past        []float32
	blocks      [][]float32 // ring, blocks[k%len][lag]
	energy      []float64   // ring of running sums of squares, one a sample
	total       int         // blocks taken
	norm        []float64   // scratch
	list        []candidate // scratch
	runners     []contender // scratch
	here, alone curve       // scratch
}

const keptBlocks = 256

func newCorrelator(rate float64) *correlator {
	c := &correlator{rate: rate}
	c.block = int(math.Round(rate * frameSeconds))
	c.lags = (int(rate/lowestHz)+6)/4*4 + 4
	c.past = make([]float32, c.lags+c.block)
	c.blocks = make([][]float32, keptBlocks)
	for i := range c.blocks {
		c.blocks[i] = make([]float32, c.lags)
	}
	c.energy = make([]float64, keptBlocks*c.block)
	c.norm = make([]float64, c.lags)
	return c
}

// take adds one block of c.block samples.
func (c *correlator) take(x []float32) {
	copy(c.past, c.past[c.block:])
	copy(c.past[c.lags:], x)
	cur := c.past[c.lags:]
	out := c.blocks[c.total%keptBlocks]
	lag := 0
	for ; lag+8 <= c.lags; lag += 8 {
		// Eight lags at a time share the loads and keep the adders busy.
		h := c.past[c.lags-lag-7:][:len(cur)+7]
		var s0, s1, s2, s3, s4, s5, s6, s7 float32
		for i, v := range cur {
			w := h[i:][:8]
			s7 += v * w[0]
			s6 += v * w[1]
			s5 += v * w[2]
			s4 += v * w[3]
			s3 += v * w[4]
			s2 += v * w[5]
			s1 += v * w[6]
			s0 += v * w[7]
		}
		o := out[lag:][:8]
		o[0], o[1], o[2], o[3], o[4], o[5], o[6], o[7] = s0, s1, s2, s3, s4, s5, s6, s7
	}
	for ; lag < c.lags; lag++ {
		s := float32(0)
		h := c.past[c.lags-lag:][:len(cur)]
		for i, v := range cur {
			s += v * h[i]
		}
		out[lag] = s
	}
	at := c.total * c.block
	n := len(c.energy)
	sum := 0.0
	if at > 0 {
		sum = c.energy[(at-1)%n]
	}
	for i, v := range x {
		sum += float64(v) * float64(v)
		c.energy[(at+i)%n] = sum
	}
	c.total++
}

// energyBetween is the sum of squares of samples from..to-1, clipped to what is held.
func (c *correlator) energyBetween(from, to int) float64 {
	end := c.total * c.block
	lo := max(end-len(c.energy)+1, 0)
	from, to = max(from, lo), min(to, end)
	if to <= from {
		return 0
	}
	n := len(c.energy)
	e := c.energy[(to-1)%n]
	if from > 0 {
		e -= c.energy[(from-1)%n]
	}
	return max(e, 0)
}

// periodic is the sum of x(n)·x(n-lag) with the pairs' centres in blocks
// from..to-1, and the energy of the samples that took part, both scaled to
// one side.
func (c *correlator) periodic(lag, from, to int) (product, energy float64) {
	shift := (lag + c.block) / (2 * c.block)
	from, to = from+shift, to+shift
	for k := max(from, c.total-keptBlocks, 0); k < min(to, c.total); k++ {
		product += float64(c.blocks[k%keptBlocks][lag])
	}
	a, b := from*c.block, to*c.block
	energy = (c.energyBetween(a, b) + c.energyBetween(a-lag, b-lag)) / 2
	return product, energy
}

// aheadBlocks is how many blocks after a frame its longest lag still needs.
func (c *correlator) aheadBlocks(half int) int {
	return (c.lags+c.block)/(2*c.block) + half
}

// clarity is the normalised correlation (1 - d'(τ)/2 in YIN's terms; McLeod &
// Wyvill 2005) of every lag for pairs centred in blocks from..to-1. It holds until
// the next call.
func (c *correlator) clarity(from, to int) []float64 {
	clear(c.norm)
	for lag := 0; lag < len(c.norm); {
		// Lags whose pairs lie in the same blocks are summed up together.
		shift := (lag + c.block) / (2 * c.block)
		end := min(len(c.norm), (2*shift+1)*c.block)
		norm := c.norm[lag:end]
		for k := max(from+shift, c.total-keptBlocks, 0); k < min(to+shift, c.total); k++ {
			for i, v := range c.blocks[k%keptBlocks][lag:end] {
				norm[i] += float64(v)
			}
		}
		a, b := (from+shift)*c.block, (to+shift)*c.block
		late := c.energyBetween(a, b)
		for i, p := range norm {
			norm[i] = 0
			if e := (late + c.energyBetween(a-lag-i, b-lag-i)) / 2; e > 0 {
				norm[i] = p / e
			}
		}
		lag = end
	}
	return c.norm
}

// candidate is one peak of a normalised correlation.
type candidate struct{ lag, height float64 }

// peaks lists the peaks of a normalised correlation beyond the zero-lag lobe. They
// hold until the next call.
func (c *correlator) peaks(norm []float64) []candidate {
	list := c.list[:0]
	shortest := c.rate / highestHz
	i := 1
	for i < len(norm)-1 && norm[i] > 0 {
		i++
	}
	for ; i < len(norm)-1; i++ {
		if norm[i] > 0.2 && norm[i] >= norm[i-1] && norm[i] > norm[i+1] && float64(i) >= shortest {
			at, h := sharpPeak(norm, i)
			list = append(list, candidate{at, h})
		}
	}
	c.list = list
	return list
}

// highest is the height of the highest peak, 0 without any.
func highest(list []candidate) (height float64) {
	for _, p := range list {
		height = max(height, p.height)
	}
	return height
}

// fundamental is the first peak that comes close to the highest one. Its
// height tells how periodic the sound is. Zero when there is no peak.
func fundamental(list []candidate, best float64) candidate {
	for _, p := range list {
		if p.height >= nearHighest*best && !overblown(p, list) {
			return p
		}
	}
	return candidate{}
}

// overblown tells whether a peak is only the octave of the note: a sound whose
// even harmonics are strong nearly repeats after half a period, but after a
// whole one it does so clearly better, unless neither is clear. A short
// period's peak is known less well, so there it must come back: after one and
// a half periods again worse, after two again better.
func overblown(p candidate, list []candidate) bool {
	m := multiples(p, list)
	if m[2].height == 0 {
		return false
	}
	clear := max(0.025, min(0.12, 2.5*(1-m[2].height)))
	if m[2].height-p.height > max(clear, (11-p.lag)*0.025) {
		return true
	}
	return m[3].height > 0 && m[4].height > 0 &&
		m[2].height-max(p.height, m[3].height) > clear && m[4].height-m[3].height > clear
}

// beneath finds the note an octave under a peak when it is sure that that is
// what sounds, however weak its odd harmonics are: the even multiples of the
// peak's lag stand out from the odd ones.
func beneath(p candidate, list []candidate) (low candidate, sure bool) {
	m := multiples(p, list)
	for _, q := range m[1:] {
		if q.height == 0 {
			return m[2], false
		}
	}
	odd := max(m[1].height, m[3].height)
	return m[2], m[2].height-odd > evenOut && m[4].height-max(m[3].height, m[5].height) > evenOut
}

// multiples are the peaks at one to five times the lag of one, zero where there
// is none.
func multiples(p candidate, list []candidate) (m [6]candidate) {
	m[1] = p
	for _, q := range list {
		for k := 2; k < len(m); k++ {
			if math.Abs(q.lag-float64(k)*p.lag) <= 0.04*p.lag*float64(k-1) {
				m[k] = q
			}
		}
	}
	return m
}

// evenOut is how far the even multiples must stand out.
const evenOut = 0.018

// sharpen improves a period by the peaks at its multiples, as far as several
// milliseconds, where the same error in lag weighs less.
func (c *correlator) sharpen(lag, height float64, list []candidate) float64 {
	for k := 2.0; k*lag < 0.008*c.rate; k++ {
		for _, q := range list {
			if math.Abs(q.lag-k*lag) < min(1, 0.25*lag) && q.height > 0.9*height {
				lag = q.lag / k
				break
			}
		}
	}
	return lag
}

// nearHighest is how near to the highest peak the first one must come to be
// the period: low enough that two notes ringing into each other are not heard
// as their common subharmonic, high enough that a strong third harmonic (a
// clarinet's) is not heard as the note.
const nearHighest = 0.87

// peak is the place and height of the parabola through three points.
func peak(y []float64, i int) (at, height float64) {
	a, b, c := y[i-1], y[i], y[i+1]
	d := a - 2*b + c
	if d >= 0 {
		return float64(i), b
	}
	o := (a - c) / (2 * d)
	return float64(i) + o, b - (a-c)*o/4
}

// sharpPeak is peak for a band-limited curve sampled too thinly for a parabola
// (a bright sound's correlation turns within one lag): the curve is rebuilt
// about the point by its own sinc.
func sharpPeak(y []float64, i int) (at, height float64) {
	if i < sincReach || i+sincReach+1 >= len(y) {
		return peak(y, i)
	}
	var fine [2*sincSteps + 1]float64
	best := 0
	for k := range fine {
		taps := &sincTaps[k]
		s := 0.0
		for j, t := range taps {
			s += t * y[i-sincReach+j]
		}
		fine[k] = s
		if s > fine[best] {
			best = k
		}
	}
	o := float64(best)
	h := fine[best]
	if best > 0 && best < len(fine)-1 {
		o, h = peak(fine[:], best)
	}
	return float64(i) + (o-sincSteps)/(2*sincSteps)*sincSpan, h
}

const (
	sincReach = 5 // lags to either side
	sincSteps = 5 // places to either side
	sincSpan  = 1.2
)

// sincTaps are the weights that give a curve at places from half a lag before
// to half a lag after a point, and a little beyond.
var sincTaps = func() (taps [2*sincSteps + 1][2*sincReach + 1]float64) {
	for k := range taps {
		o := float64(k-sincSteps) / (2 * sincSteps) * sincSpan
		for j := range taps[k] {
			x := o - float64(j-sincReach)
			w := 0.5 + 0.5*math.Cos(math.Pi*x/(sincReach+1))
			if x != 0 {
				w *= math.Sin(math.Pi*x) / (math.Pi * x)
			}
			taps[k][j] = w
		}
	}
	return taps
}()
