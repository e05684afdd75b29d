package declick

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"
)

// spectra compares clicks by their spectra.
type spectra struct {
	n     int // samples transformed
	ms    int // samples in a millisecond
	fft   *fourier.FFT
	seq   []float64    // scratch
	cross []complex128 // scratch
	rest  []complex128 // scratch
	// of cross, the weighted powers of the click and of the sound
	whole, power float64
	weight       []float64 // scratch
}

// fit is how a click is like a sound.
type fit struct {
	shift float64 // samples by which it lies later
	gain  float64 // by which it is stronger
	share float64 // of it that is explained, each bin by its weight
}

func newSpectra(longest, ms int) *spectra {
	n := 1
	for n < longest {
		n *= 2
	}
	return &spectra{
		n: n, ms: ms, fft: fourier.NewFFT(n), seq: make([]float64, n),
		cross: make([]complex128, n/2+1), rest: make([]complex128, n/2+1), weight: make([]float64, n/2+1),
	}
}

// omega is the angular frequency of a bin, in radians a sample.
func (sp *spectra) omega(bin int) float64 { return 2 * math.Pi * float64(bin) / float64(sp.n) }

// cut takes a click's spectrum from x, which begins lead samples before it.
func (sp *spectra) cut(x []float32, lead, length int) struck {
	clear(sp.seq)
	fade := min(clickFadeMs*sp.ms, length/2)
	for i, v := range x[:lead+length] {
		g := 1.0
		if i < lead-sp.ms {
			g = 0.5 - 0.5*math.Cos(math.Pi*float64(i)/float64(lead-sp.ms))
		}
		if left := lead + length - i; left < fade {
			g = 0.5 - 0.5*math.Cos(math.Pi*float64(left)/float64(fade))
		}
		sp.seq[i] = g * float64(v)
	}
	c := struck{spec: sp.fft.Coefficients(nil, sp.seq), weight: make([]float64, sp.n/2+1), gain: 1}
	weigh(c.weight, c.spec)
	return c
}

// match finds how a click is like a sound, shifted by up to reach samples, and
// weighs its bins by what the sound leaves of it.
func (sp *spectra) match(s *clickSound, c *struck, reach int) fit {
	weigh(c.weight, c.spec)
	sp.correlate(s, c.spec, c.weight)
	f := sp.align(sp.latest(reach))
	if f.share > 0 {
		turn, step := complex(f.gain, 0), cmplx.Rect(1, -sp.omega(1)*f.shift)
		for i, v := range c.spec {
			sp.rest[i] = v - s.spec[i]*turn
			turn *= step
		}
		weigh(c.weight, sp.rest)
		sp.correlate(s, c.spec, c.weight)
		f = sp.align(f.shift)
	}
	return f
}

// lowBins is the share of bins that are trusted in comparing: above lie what
// the decimation has folded and no more than the click's very edge.
const lowBins = 0.7

// correlate fills in the weighted cross spectrum of a click and a sound, and the
// weighted powers of both.
func (sp *spectra) correlate(s *clickSound, spec []complex128, weight []float64) {
	sp.whole, sp.power = 0, 0
	clear(sp.cross)
	low := int(lowBins * float64(len(spec)))
	for i, v := range spec[:low] {
		w, u := weight[i], s.spec[i]
		sp.cross[i] = complex(w, 0) * v * cmplx.Conj(u)
		sp.whole += w * (real(v)*real(v) + imag(v)*imag(v))
		sp.power += w * (real(u)*real(u) + imag(u)*imag(u))
	}
}

// latest is the shift, of up to reach samples either way, at which the weighted
// correlation is greatest, by the transform.
func (sp *spectra) latest(reach int) float64 {
	sp.fft.Sequence(sp.seq, sp.cross)
	at := func(i int) float64 { return sp.seq[(i+sp.n)%sp.n] }
	best := 0
	for i := -reach; i <= reach; i++ {
		if at(i) > at(best) {
			best = i
		}
	}
	return float64(best)
}

// align finds the shift at which the weighted correlation of a click and a
// sound is greatest, from one near it, between samples by Newton's method
// (generalised cross-correlation: Knapp & Carter 1976, "The generalized
// correlation method for estimation of time delay", IEEE Trans. ASSP 24, 320-327).
func (sp *spectra) align(from float64) fit {
	if sp.power == 0 || sp.whole == 0 {
		return fit{}
	}
	f := fit{shift: from}
	most := 0.0
	for range 6 {
		slope, bend := 0.0, 0.0
		most = 0
		turn, step := complex(1, 0), cmplx.Rect(1, sp.omega(1)*f.shift)
		for i, v := range sp.cross[:int(lowBins*float64(len(sp.cross)))] {
			w, y := sp.omega(i), v*turn
			most += real(y)
			slope -= w * imag(y)
			bend -= w * w * real(y)
			turn *= step
		}
		if bend >= 0 || math.Abs(slope) < -1e-3*bend {
			break
		}
		f.shift -= max(-0.3, min(0.3, slope/bend))
	}
	if most <= 0 {
		return fit{}
	}
	f.gain = most / sp.power
	f.share = most * most / sp.power / sp.whole
	return f
}

// hop is by how much two stretches that are searched lie apart: enough of a click
// that begins just before the next is still in the first.
func (sp *spectra) hop() int { return 3 * sp.n / 4 }

// search takes a stretch in which likest looks for sounds.
func (sp *spectra) search(x []float32) {
	for i, v := range x {
		sp.seq[i] = float64(v)
	}
	sp.fft.Coefficients(sp.rest, sp.seq)
	weigh(sp.weight, sp.rest)
}

// likest is where in the first hop of the stretch that is searched a sound is
// likeliest to begin, its lead included, and the share of it that it would explain.
func (sp *spectra) likest(s *clickSound) (at int, share float64) {
	sp.correlate(s, sp.rest, sp.weight)
	sp.fft.Sequence(sp.seq, sp.cross)
	for i, v := range sp.seq[:sp.hop()] {
		if v > sp.seq[at] {
			at = i
		}
	}
	v := sp.seq[at] / 2
	return at, v * v / (sp.power*sp.whole + tiny)
}

// sounded is a sound as it is at some shift and gain. The next call overwrites it.
func (sp *spectra) sounded(s *clickSound, f fit) []float64 {
	turn, step := complex(f.gain/float64(sp.n), 0), cmplx.Rect(1, -sp.omega(1)*f.shift)
	for i, v := range s.spec {
		sp.rest[i] = v * turn
		turn *= step
	}
	return sp.fft.Sequence(sp.seq, sp.rest)
}

const (
	// A band that after lateMs has gone down to less than lateLeast of its power
	// is a click's, one that has more than lateMost is a note's.
	lateMs    = 38
	partMs    = 25
	lateLeast = 0.25
	lateMost  = 0.7
	bandBins  = 4
)

// shape leaves of a sound what is a click's. Notes that sounded with most of
// its clicks are in it as well; but a click begins at its edge and dies away,
// band by band.
func (sp *spectra) shape(s *clickSound) {
	edge := leadMs*sp.ms - sp.ms/2
	x := append([]float64(nil), sp.sounded(s, fit{gain: 1})...)
	part := func(from int) []float64 {
		clear(sp.seq)
		n := partMs * sp.ms
		for i := range n {
			sp.seq[from+i] = x[from+i] * hurried(float64(i)/float64(n))
		}
		return around(powers(sp.fft.Coefficients(sp.rest, sp.seq)), bandBins)
	}
	early, late := part(edge), part(edge+lateMs*sp.ms)
	for i := range s.spec {
		left := late[i] / (early[i] + tiny)
		s.spec[i] *= complex(max(0, min(1, (lateMost-left)/(lateMost-lateLeast))), 0)
	}
	sp.sounded(s, fit{gain: 1})
	clear(sp.seq[:edge])
	clear(sp.seq[edge+clickMs*sp.ms:])
	sp.fft.Coefficients(s.spec, sp.seq)
}

// hurried is a window that comes up in its first tenth, as a click does.
func hurried(x float64) float64 {
	if x < 0.1 {
		return math.Sin(math.Pi / 2 * x / 0.1)
	}
	return math.Cos(math.Pi / 2 * (x - 0.1) / 0.9)
}
