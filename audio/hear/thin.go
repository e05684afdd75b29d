package hear

import "math"

// thinned fills p.x with every step-th sample of from..to-1, low-passed, and
// returns the place of the first.
func (p *placer) thinned(from, to, step int) (start int) {
	taps := p.thin[step]
	h := len(taps) / 2
	x, start := p.fine.span(from-h, to+h)
	p.x = p.x[:0]
	for n := h; n+h < len(x); n += step {
		s := 0.0
		for k, v := range x[n-h : n+h+1] {
			s += taps[k] * float64(v)
		}
		p.x = append(p.x, s)
	}
	return start + h
}

// lowPass is a short windowed sinc for keeping every step-th sample.
func lowPass(step int) []float64 {
	h := 6 * step
	taps := make([]float64, 2*h+1)
	sum := 0.0
	for i := range taps {
		k := float64(i - h)
		v := 1.0
		if k != 0 {
			x := math.Pi * k / float64(step)
			v = math.Sin(x) / x
		}
		taps[i] = v * (0.5 + 0.5*math.Cos(math.Pi*k/float64(h+1)))
		sum += taps[i]
	}
	for i := range taps {
		taps[i] /= sum
	}
	return taps
}

// thinClick is the last click that was taken out, thinned and strengthened.
func (p *placer) thinClick(step int) []float64 {
	taps := p.thin[step]
	h := len(taps) / 2
	x := p.cleared.Sound
	p.click = p.click[:0]
	for n := 0; n < len(x); n += step {
		s := 0.0
		for i := max(0, n-h); i < min(len(x), n+h+1); i++ {
			s += taps[i-n+h] * x[i]
		}
		p.click = append(p.click, s*clickWeight)
	}
	return p.click
}

// clickWeight is how much more, in amplitude, a model learns of a click than of
// the old note: enough to foretell whatever is left of it, and so to look for
// the new note where the click is not. Chosen by hand, of 0.1 to 100.
const clickWeight = 8
