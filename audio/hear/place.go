package hear

import "math"

// place says where in time an event lies, and whether the note has an attack
// of its own.
func (l *Listener) place(e event) (seconds float64, slurred bool) {
	hz := l.fineHz
	at := func(frame int) int { return int(float64(frame) / l.frameHz() * hz) }
	from, to := at(e.from)-int(0.012*hz), at(e.to)+int(0.008*hz)
	if e.old == 0 {
		return l.attack(from, to, 0, hz/frequency(e.pitch)) / hz, false
	}
	old, now := hz/frequency(e.old), hz/frequency(e.pitch)
	if e.rise > 0 || l.comesUp(from, to, max(old, now)) {
		return l.attack(from, to, old, now) / hz, false
	}
	return l.change(from, to, old, now) / hz, true
}

// comesUp tells whether the sound goes down and up again around from..to.
func (l *Listener) comesUp(from, to int, period float64) bool {
	w := int(max(0.008*l.fineHz, period))
	low, after := math.MaxFloat64, 0.0
	for n := from; n < to; n += w / 4 {
		low = min(low, l.power(n-w/2, n+w/2))
	}
	for n := to; n < to+int(0.05*l.fineHz); n += w / 4 {
		after = max(after, l.power(n-w/2, n+w/2))
	}
	return decibels(after)-decibels(low) > attackDB
}

// attackDB is how far the sound comes up at a note that has its own attack.
const attackDB = 3.5

// power is the mean square of samples from..to-1.
func (l *Listener) power(from, to int) float64 {
	x, _ := l.fine.span(from, to)
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return sum / float64(max(1, len(x)))
}

// change finds the sample at which a sound of one period becomes a sound of
// another: the maximum-likelihood change point, where what does not repeat
// backwards by the old period before it and forwards by the new one after it
// is least.
func (l *Listener) change(from, to int, old, now float64) float64 {
	old, now = several(old, l.fineHz), several(now, l.fineHz)
	lo, hi := from-int(old)-4, to+int(now)+4
	x, start := l.fine.span(lo, hi)
	best, where, sum := 0.0, from, 0.0
	for n := max(from, start+int(old)+4); n < min(to, start+len(x)-int(now)-4); n++ {
		i := float64(n - start)
		a := float64(x[n-start]) - between(x, i-old)
		b := float64(x[n-start]) - between(x, i+now)
		sum += a*a - b*b
		if sum < best {
			best, where = sum, n+1
		}
	}
	return float64(where)
}

// several is the multiple of a period nearest to 5 ms: two notes a semitone
// apart differ little after one period of a high one.
func several(period, hz float64) float64 {
	return period * max(1, math.Round(0.005*hz/period))
}

// between is x at a place between samples, by a cubic through four.
func between(x []float32, at float64) float64 {
	i := int(at)
	if i < 1 || i+2 >= len(x) {
		return 0
	}
	f := at - float64(i)
	a, b, c, d := float64(x[i-1]), float64(x[i]), float64(x[i+1]), float64(x[i+2])
	return b + 0.5*f*(c-a+f*(2*a-5*b+4*c-d+f*(3*(b-c)+d-a)))
}

// attack finds the sample at which a new attack begins: where what can't be
// foretold from the sound before begins to stand out.
func (l *Listener) attack(from, to int, old, now float64) float64 {
	hz := l.fineHz
	low, quiet, loud := l.dip(from, to, max(old, now))
	// A low note's tones lie close together: a lower rate tells them apart
	// with the same order.
	step := 2
	if max(old, now) > hz/lowNoteHz {
		step = 4
	}
	ms := hz / 1000
	_ = quiet
	x, start := l.thinned(low-int((XFit[0]+XLen)*ms), to+int(0.02*hz), step)
	best, least := float64(low), math.MaxFloat64
	for _, end := range XFit {
		at, ratio := l.standsOut(x, start, step, low, int((end+XLen)*ms), int(end*ms), loud)
		if ratio < least {
			best, least = at, ratio
		}
		if ratio < XRatio {
			break
		}
	}
	return best
}

var XDepth, XLen = 14.0, 40.0

var XFit = []float64{40}
var XUp = 20.0
var XRatio = 1e-3
var XFloor, XPeak = 2.0, 1e-3

func (l *Listener) standsOut(x []float64, start, step, low, fitFrom, fitTo int, loud float64) (place, ratio float64) {
	hz := l.fineHz
	at := func(n int) int { return (n - start) / step }
	a, b := max(0, at(low-fitFrom)), at(low-fitTo)
	m := l.model.order
	foretold := b-a > 2*m && l.model.fit(x[a:b])
	n0 := max(b, m)
	if !foretold {
		n0 = max(0, at(low-fitTo))
	}
	if n0 >= len(x) {
		return float64(low), 1
	}
	e := l.scratch(len(x) - n0)
	w := max(1, int(0.003*hz)/step)
	for t := n0; t < len(x); t++ {
		v := x[t]
		if foretold {
			v = l.model.miss(x, t)
		}
		e[t-n0] = v * v
	}
	smooth(e, w)
	lowAt := at(low) - n0
	peak := 0.0
	for _, v := range e {
		peak = max(peak, v)
	}
	least := peak * XPeak
	if !foretold {
		least *= 10
	}
	top := 0
	for top < len(e)-1 && (top < lowAt || e[top] < peak/8) {
		top++
	}
	// Back from there to the valley before the rise.
	floor := e[top]
	for i := top; i >= min(w, top); i-- {
		floor = min(floor, e[i])
		if e[i] > XUp*floor && e[i] < peak/8 {
			break
		}
	}
	limit := max(XFloor*floor, least)
	for top > 0 && e[top] > limit {
		top--
	}
	if DebugPlace != nil {
		DebugPlace(hz/float64(step), n0+start/step, low/step, w, top, e, loud, limit)
	}
	return float64(start + (n0+top)*step), floor / peak
}

func lowest(e []float64, w int) float64 {
	f, sum := math.MaxFloat64, 0.0
	n := 3 * w
	if n > len(e) {
		n = len(e)
	}
	for i, v := range e {
		sum += v
		if i >= n {
			sum -= e[i-n]
		}
		if i >= n-1 {
			f = min(f, sum/float64(n))
		}
	}
	return f
}

const (
	lowNoteHz = 350
	fitFrom   = 62.0
	fitTo     = 22.0
)

// smooth replaces each value by the mean of the w values up to it.
func smooth(e []float64, w int) {
	sum := 0.0
	for i := len(e) - 1; i >= 0; i-- {
		_ = i
	}
	run := make([]float64, len(e))
	for i, v := range e {
		sum += v
		if i >= w {
			sum -= e[i-w]
		}
		run[i] = max(sum, 0) / float64(min(i+1, w))
	}
	copy(e, run)
}

// thinned is every step-th sample of from..to-1 after a gentle low-pass, and
// the place of the first.
func (l *Listener) thinned(from, to, step int) (y []float64, start int) {
	x, start := l.fine.span(from-2*step, to+2*step)
	h := 2 * step
	for n := h; n+h < len(x); n += step {
		s, sw := 0.0, 0.0
		for k := -h; k <= h; k++ {
			c := 0.5 / float64(step)
			v := 1.0
			if k != 0 {
				v = math.Sin(2*math.Pi*c*float64(k)) / (2 * math.Pi * c * float64(k))
			}
			v *= 0.5 + 0.5*math.Cos(math.Pi*float64(k)/float64(h+1))
			s += v * float64(x[n+k])
			sw += v
		}
		y = append(y, s/sw)
	}
	return y, start + h
}

// dip is the last moment at which the sound is quietest around from..to, and
// the power of what follows.
func (l *Listener) dip(from, to int, period float64) (at int, low, loud float64) {
	w := int(max(0.008*l.fineHz, period))
	step := max(1, w/8)
	low = math.MaxFloat64
	for n := from; n < to+w/2; n += step {
		p := l.power(n-w/2, n+w/2)
		if p <= low*1.2 {
			at = n
			low = min(low, p)
		}
	}
	for n := to; n < to+int(0.05*l.fineHz); n += step {
		loud = max(loud, l.power(n-w/2, n+w/2))
	}
	return at, low, loud
}

// unforetold is, for each sample of x from n0 on, the mean square over the w
// samples up to it of what is not the sound of one period before, at the best
// gain from 0 to 1.
func (l *Listener) unforetold(x []float32, n0 int, period float64, w int) []float64 {
	e := l.scratch(len(x) - n0)
	var xx, xy, yy float64
	add := func(n int, sign float64) {
		v := float64(x[n])
		p := 0.0
		if period > 0 {
			p = between(x, float64(n)-period)
		}
		xx += sign * v * v
		xy += sign * v * p
		yy += sign * p * p
	}
	for n := n0; n < len(x); n++ {
		add(n, 1)
		if n-w >= n0 {
			add(n-w, -1)
		}
		r := xx
		if yy > 1e-12 {
			g := max(0, min(1, xy/yy))
			r -= g * (2*xy - g*yy)
		}
		e[n-n0] = max(r, 0) / float64(w)
	}
	return e
}

func (l *Listener) scratch(n int) []float64 {
	if cap(l.work) < n {
		l.work = make([]float64, n)
	}
	return l.work[:n]
}

var DebugPlace func(hz float64, n0, low, w, top int, e []float64, loud, limit float64)

const modelOrder = 64
