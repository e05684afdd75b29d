package hear

import "math"

// decimator low-passes a stream and keeps every factor-th sample, with a
// linear-phase FIR (windowed sinc, Hann window). Output k is centred on input
// k·factor.
type decimator struct {
	factor int
	taps   []float32
	line   []float32 // the last samples, oldest first, then room for a block
	fill   int
	phase  int
}

// halfWidth is the reach of the sinc to either side, in output samples.
const halfWidth = 6

func newDecimator(factor int) *decimator {
	d := &decimator{factor: factor}
	if factor == 1 {
		return d
	}
	n := 2*halfWidth*factor + 1
	d.taps = make([]float32, n)
	mid, sum := float64(n-1)/2, 0.0
	cut := 0.45 / float64(factor)
	w := make([]float64, n)
	for i := range w {
		x := float64(i) - mid
		s := 2 * cut
		if x != 0 {
			s = math.Sin(2*math.Pi*cut*x) / (math.Pi * x)
		}
		w[i] = s * (0.5 + 0.5*math.Cos(math.Pi*x/(mid+1)))
		sum += w[i]
	}
	for i := range w {
		d.taps[i] = float32(w[i] / sum)
	}
	d.line = make([]float32, n+4096)
	d.fill = n / 2 // silence before the first sample
	return d
}

// run appends to out what x completes and returns it.
func (d *decimator) run(out, x []float32) []float32 {
	if d.factor == 1 {
		return append(out, x...)
	}
	n := len(d.taps)
	for len(x) > 0 {
		m := copy(d.line[d.fill:], x)
		x = x[m:]
		d.fill += m
		at := d.phase
		for ; at+n <= d.fill; at += d.factor {
			in := d.line[at : at+n]
			// The filter is symmetric: fold it.
			half := n / 2
			sum := d.taps[half] * in[half]
			early, late := in[:half], in[half+1:][:half]
			for i, t := range d.taps[:half] {
				sum += t * (early[i] + late[half-1-i])
			}
			out = append(out, sum)
		}
		keep := min(at, d.fill)
		copy(d.line, d.line[keep:d.fill])
		d.fill -= keep
		d.phase = at - keep
	}
	return out
}

// highPass takes away what lies below hearing: a recording's constant offset,
// the wind on a microphone, the swaying of a room. Two poles.
type highPass struct {
	pole float64
	x, y [2]float64
}

// blockHz is the corner frequency of each.
const blockHz = 18

func newHighPass(rate float64) highPass {
	return highPass{pole: math.Exp(-2 * math.Pi * blockHz / rate)}
}

func (h *highPass) run(x []float32) {
	for i, f := range x {
		v := float64(f)
		for k := range h.x {
			h.y[k] = h.pole*h.y[k] + v - h.x[k]
			h.x[k] = v
			v = h.y[k]
		}
		x[i] = float32(v)
	}
}
