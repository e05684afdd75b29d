package picture

import "math"

// Wave is the outline of a sound of any length, in bounded memory: the lowest
// and the highest sample of each of at most 8192 stretches of equal length. It
// is not safe for concurrent use while it is added to.
type Wave struct {
	rate float64
	per  int // samples a stretch
	bins []stretch
	part stretch // the last, unfinished one
	in   int     // samples in it
}

type stretch struct{ low, high float32 }

// maxStretches is even, so that they merge in pairs.
const maxStretches = 8192

// NewWave is the outline of sound at rate samples a second, of which none has
// come yet.
func NewWave(rate int) *Wave { return &Wave{rate: float64(max(1, rate)), per: 16} }

// Add takes the next samples. What is no number is passed over.
func (w *Wave) Add(samples []float32) {
	for _, v := range samples {
		if v < w.part.low {
			w.part.low = v
		}
		if v > w.part.high {
			w.part.high = v
		}
		if w.in++; w.in == w.per {
			w.bins = append(w.bins, w.part)
			w.part, w.in = stretch{}, 0
			if len(w.bins) == maxStretches {
				w.merge()
			}
		}
	}
}

// merge makes the stretches twice as long.
func (w *Wave) merge() {
	half := w.bins[:0]
	for i := 0; i < maxStretches; i += 2 {
		half = append(half, w.bins[i].with(w.bins[i+1]))
	}
	w.bins, w.per = half, 2*w.per
}

func (s stretch) with(t stretch) stretch { return stretch{min(s.low, t.low), max(s.high, t.high)} }

// Seconds is the length of the sound.
func (w *Wave) Seconds() float64 {
	return float64(len(w.bins)*w.per+w.in) / w.rate
}

// Peak is the largest absolute sample.
func (w *Wave) Peak() float32 {
	all := w.between(0, w.Seconds())
	return max(-all.low, all.high)
}

// between is the outline from one time in seconds to another; it holds at
// least one stretch where there is any.
func (w *Wave) between(from, to float64) stretch {
	n := len(w.bins)
	at := func(t float64) float64 { return min(max(t*w.rate/float64(w.per), 0), float64(n+1)) }
	first := int(at(from))
	last := max(first+1, int(math.Ceil(at(to))))
	var out stretch
	if last > n && first <= n {
		out = w.part
	}
	for _, s := range w.bins[min(first, n):min(last, n)] {
		out = out.with(s)
	}
	return out
}
