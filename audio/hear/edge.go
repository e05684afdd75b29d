package hear

// clicks tells whether a click that is still in the sound lies around a sample.
func (p *placer) clicks(at int) bool {
	ms := int(0.001 * p.hz)
	x, start := p.fine.span(at-20*ms, at+20*ms)
	if len(x) < 40*ms || start != at-20*ms {
		return false
	}
	edge := func(from, to int) (most float64) {
		for i := from; i < to; i++ {
			d := float64(x[i-1]) - 2*float64(x[i]) + float64(x[i+1])
			most = max(most, d*d)
		}
		return most
	}
	best, k := 0.0, 0
	for n := 14 * ms; n < 26*ms; n++ {
		if v := edge(n, n+1); v > best {
			best, k = v, n
		}
	}
	return best > clickJump*edge(k-12*ms, k-ms) && best > clickFall*edge(k+5*ms, k+12*ms)
}

// By how much (in power) a click's edge stands above what was before, and above
// what follows once it has begun to die away. No other clicks help to tell here,
// so it has to be surer.
const (
	clickJump = 10.0
	clickFall = 3.0
)
