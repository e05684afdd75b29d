package declick

import "math"

// pulse knows how far apart the last clicks lie: where the next one is expected it
// may be drowned by what is played.
type pulse struct {
	clicks []beat  // the last ones, in order
	step   float64 // samples from one to the next; 0 while there is no pulse
	anchor float64 // where the last one that lies on it should
	asked  int     // steps after the anchor that were looked at
}

// beat is the place of a click, in samples, and how surely it is known.
type beat struct{ at, sure float64 }

const (
	pulseClicks = 24  // are remembered
	pulseLeast  = 4   // of them that lie on it make a pulse
	pulseAsks   = 32  // steps without a click, and it is over
	pulseOffMs  = 0.5 // off it a click lies no farther
	pulseNearMs = 1.5 // one that seems to begin so near to it may be on it
)

// add takes in a click; ms is samples in a millisecond.
func (p *pulse) add(place, sure, ms float64) {
	if len(p.clicks) == pulseClicks {
		p.clicks = p.clicks[:copy(p.clicks, p.clicks[1:])]
	}
	p.clicks = append(p.clicks, beat{place, sure})
	if p.step > 0 && p.off(place) < pulseOffMs*ms {
		p.fit(p.step, ms)
		return
	}
	p.step = 0
	most := pulseLeast - 1
	for i := len(p.clicks) - 1; i > 0; i-- {
		last := *p
		step := p.clicks[i].at - p.clicks[i-1].at
		if n := last.fit(step, ms); n > most || n == most && last.step > p.step {
			most = n
			p.step, p.anchor, p.asked = last.step, last.anchor, 0
		}
	}
}

// fit lays a grid about a step wide through the last click and those that lie on it
// with it, and says how many do.
func (p *pulse) fit(step, ms float64) (agree int) {
	last := p.clicks[len(p.clicks)-1].at
	// Sums of a weighted least-squares line through the places by their number.
	var w, wk, wkk, wd, wkd float64
	for i := len(p.clicks) - 1; i >= 0; i-- {
		c := p.clicks[i]
		k := math.Round((last - c.at) / step)
		d := last - c.at - k*step
		if math.Abs(d) > pulseOffMs*ms {
			continue
		}
		if k > 0 {
			agree++
		}
		d += k * step
		w, wk, wkk, wd, wkd = w+c.sure, wk+c.sure*k, wkk+c.sure*k*k, wd+c.sure*d, wkd+c.sure*k*d
		if det := w*wkk - wk*wk; det > 0 {
			step = (w*wkd - wk*wd) / det
		}
	}
	p.anchor, p.step, p.asked = last, step, 0
	if w > 0 {
		p.anchor = last - (wd-step*wk)/w
	}
	return agree
}

// off is how far a place lies off the pulse.
func (p *pulse) off(place float64) float64 {
	d := place - p.anchor
	return math.Abs(d - math.Round(d/p.step)*p.step)
}

// next is where a click is expected that was not asked for yet, before a place.
func (p *pulse) next(before float64) (at float64, ok bool) {
	if p.step == 0 {
		return 0, false
	}
	at = p.anchor + float64(p.asked+1)*p.step
	if at >= before || p.asked == pulseAsks {
		return 0, false
	}
	p.asked++
	return at, true
}

// expects tells whether a click is expected near a place, and where.
func (p *pulse) expects(place, ms float64) (at float64, ok bool) {
	if p.step == 0 || place <= p.anchor || p.off(place) > pulseNearMs*ms {
		return 0, false
	}
	return p.anchor + math.Round((place-p.anchor)/p.step)*p.step, true
}

// on tells whether a click lies on the pulse.
func (p *pulse) on(at, ms int) bool { return p.step > 0 && p.off(float64(at)) < pulseOffMs*float64(ms) }
