package hear

import "math"

// thinned is every step-th sample of from..to-1, low-passed, and the place of
// the first. It holds until the next call.
func (p *placer) thinned(from, to, step int) (x []float64, start int) {
	taps := p.thin[step]
	h := len(taps) / 2
	sound, start := p.fine.span(from-h, to+h)
	x = p.scratch.sound[:0]
	n := h
	for ; n+3*step+h < len(sound); n += 4 * step {
		s0, s1, s2, s3 := four(sound[n-h:], taps, step)
		x = append(x, s0, s1, s2, s3)
	}
	for ; n+h < len(sound); n += step {
		s := 0.0
		for k, v := range sound[n-h : n+h+1] {
			s += taps[k] * float64(v)
		}
		x = append(x, s)
	}
	p.scratch.sound = x
	return x, start + h
}

// four are the sums of x by some weights, and of x from one step, two and three on,
// worked out together so that none waits for another.
func four[T float32 | float64](x []T, weights []float64, step int) (s0, s1, s2, s3 float64) {
	a, b := x[:len(weights)], x[step:][:len(weights)]
	c, d := x[2*step:][:len(weights)], x[3*step:][:len(weights)]
	for k, w := range weights {
		s0 += w * float64(a[k])
		s1 += w * float64(b[k])
		s2 += w * float64(c[k])
		s3 += w * float64(d[k])
	}
	return s0, s1, s2, s3
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

// thinClick is the last click that was taken out, thinned and strengthened. It
// holds until the next call.
func (p *placer) thinClick(step int) []float64 {
	taps := p.thin[step]
	h := len(taps) / 2
	x := p.cleared.Sound
	click := p.scratch.click[:0]
	n := 0
	for ; n < len(x); n += step {
		if n >= h && n+3*step+h < len(x) {
			s0, s1, s2, s3 := four(x[n-h:], taps, step)
			click = append(click, s0*clickWeight, s1*clickWeight, s2*clickWeight, s3*clickWeight)
			n += 3 * step
			continue
		}
		s := 0.0
		for i := max(0, n-h); i < min(len(x), n+h+1); i++ {
			s += taps[i-n+h] * x[i]
		}
		click = append(click, s*clickWeight)
	}
	p.scratch.click = click
	return click
}

// clickWeight is how much more, in amplitude, a model learns of a click than of
// the old note: enough to predict whatever is left of it, and so to look for
// the new note where the click is not. Chosen by hand among 0.1 to 100.
const clickWeight = 8
