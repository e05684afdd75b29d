package hear

// clicks tells whether the sound has an edge around sample at that no breath
// makes: its second difference leaps up for a moment and is down again.
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

// By how much (in power) a click's edge stands over what was before, and over
// what is after it has begun to die away.
const (
	clickJump = 10.0
	clickFall = 3.0
)
