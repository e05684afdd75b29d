package hear

import "math"

// placer says where in time a note begins, once it is known that one does.
type placer struct {
	fine  *ring
	hz    float64 // of fine
	frame float64 // frames a second
	model *predictor
	thin  map[int][]float64 // low-pass by step
	x, e  []float64         // scratch
	mean  []float64         // scratch
	heads [2]heads
	slurs float64 // share, 0 to 1, of the last notes that one pitch turning into another explains
}

func newPlacer(fine *ring, hz, frameHz float64) *placer {
	p := &placer{fine: fine, hz: hz, frame: frameHz, slurs: 1, model: newPredictor(), thin: map[int][]float64{}}
	for _, step := range []int{2, 4} {
		p.thin[step] = lowPass(step)
	}
	return p
}

// place says where an event lies, in seconds, and whether the note has no
// attack of its own.
func (p *placer) place(e event) (seconds float64, slurred bool) {
	at := func(frame int) int { return int(float64(frame) / p.frame * p.hz) }
	from, to := at(e.from)-int(0.012*p.hz), at(e.to)+int(0.008*p.hz)
	now := p.hz / frequency(e.pitch)
	if e.old == 0 {
		return p.attack(from, to, now) / p.hz, false
	}
	old := p.hz / frequency(e.old)
	if e.rise > 0 {
		p.slurs -= p.slurs / slurMemory
		return p.heads[1].trust(p.attack(from, to, max(old, now))/p.hz, float64(e.to)/p.frame), false
	}
	where, rest := p.change(from, to, old, now)
	begin := p.attack(from, to, max(old, now))
	if rest < surelySlurred || rest < hardlySlurred && !p.comesUp(from, to, max(old, now)) {
		sharp := begin > where-headSeconds*p.hz
		mixed := p.mixed(int(where), old, now)
		p.slurs += (1 - p.slurs) / slurMemory
		if sharp || mixed < cleanChange+slurredTrust*(p.slurs-0.5) {
			return where / p.hz, true
		}
	} else {
		p.slurs -= p.slurs / slurMemory
	}
	return p.heads[0].trust(begin/p.hz, float64(e.to)/p.frame), false
}

const (
	// surelySlurred is the share of the power that may be left over when one
	// pitch is taken to turn into another at a moment; with the old note
	// ringing on, or with a soft attack, far more is. In a room a slur leaves
	// up to hardlySlurred.
	surelySlurred = 0.1
	hardlySlurred = 0.3
	// headSeconds is how long before a slur's change point the sound may turn
	// new: if earlier, it was a soft attack under the old note.
	headSeconds = 0.006
	// cleanChange is the power left over just before and just after a slur's
	// change point, as a share of the sound there, when it is open whether the
	// player slurs; a soft attack under an old note that rings leaves more.
	cleanChange = 0.5
	// What is in doubt is taken as the notes before were: slurredTrust moves
	// cleanChange by as much, and about slurMemory notes are remembered.
	slurredTrust = 1.4
	slurMemory   = 8
)

// heads remembers how long before a note was sure its beginnings were found.
// A beginning is found sharply, but now and then at something else: the moment
// the old note was let go, or a click. What is sure of the note itself is
// known only roughly, but never far off; so a beginning too far from where the
// last ones lay is drawn in.
type heads struct {
	last [16]float64
	n    int
}

const (
	trustSeconds = 0.015 // how far a beginning may lie from the usual
	trustAfter   = 4     // beginnings before there is a usual
)

func (h *heads) trust(begin, sure float64) float64 {
	d := sure - begin
	known := min(h.n, len(h.last))
	usual := median(h.last[:known])
	h.last[h.n%len(h.last)] = d
	h.n++
	if known < trustAfter {
		return begin
	}
	return sure - max(usual-trustSeconds, min(usual+trustSeconds, d))
}

// bursts tells whether the sound stands at its full power within 6 ms of a
// place, in seconds: no wind instrument's does.
func (p *placer) bursts(at float64) bool {
	n, w := int(at*p.hz), int(0.006*p.hz)
	most := 0.0
	for k := n; k < n+int(0.06*p.hz); k += w {
		most = max(most, p.power(k, k+w))
	}
	return p.power(n-w/6, n+w-w/6) > 0.3*most
}

// comesUp tells whether the sound goes down and up again around from..to.
func (p *placer) comesUp(from, to int, period float64) bool {
	_, low, loud := p.dip(from, to, period)
	return decibels(loud)-decibels(low) > attackDB
}

// attackDB is how far the sound comes up at a note that has its own attack.
const attackDB = 3.5

// power is the mean square of samples from..to-1.
func (p *placer) power(from, to int) float64 {
	x, _ := p.fine.span(from, to)
	sum := 0.0
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return sum / float64(max(1, len(x)))
}

// dip is the last moment at which the sound is quietest around from..to, its
// power there, and the most power of what follows.
func (p *placer) dip(from, to int, period float64) (at int, low, loud float64) {
	w := int(max(0.008*p.hz, period))
	step := max(1, w/8)
	at, low = from, math.MaxFloat64
	for n := from; n < to+w/2; n += step {
		v := p.power(n-w/2, n+w/2)
		if v <= low*1.2 {
			at = n
			low = min(low, v)
		}
	}
	for n := to; n < to+int(0.05*p.hz); n += step {
		loud = max(loud, p.power(n-w/2, n+w/2))
	}
	return at, low, loud
}

// change finds the sample at which a sound of one period becomes a sound of
// another: the maximum-likelihood change point, where what does not repeat
// backwards by the old period before it and forwards by the new one after it
// is least. rest is that least, as a share of the power.
func (p *placer) change(from, to int, old, now float64) (at, rest float64) {
	old, now = several(old, p.hz), several(now, p.hz)
	x, start := p.fine.span(from-int(old)-4, to+int(now)+4)
	best, sum := 0.0, 0.0
	after, whole := 0.0, 1e-12
	where := from
	for n := max(from, start+int(old)+4); n < min(to, start+len(x)-int(now)-4); n++ {
		i := float64(n - start)
		v := float64(x[n-start])
		a := v - between(x, i-old)
		b := v - between(x, i+now)
		sum += a*a - b*b
		after += b * b
		whole += v * v
		if sum < best {
			best, where = sum, n+1
		}
	}
	return float64(where), (after + best) / whole
}

// mixed is how badly the sound just before a change point repeats by the old
// period, and just after it by the new one, as shares of the power there.
func (p *placer) mixed(where int, old, now float64) float64 {
	old, now = several(old, p.hz), several(now, p.hz)
	w := int(0.008 * p.hz)
	x, start := p.fine.span(where-w-int(old)-4, where+w+int(now)+4)
	share := func(from, to int, lag float64) float64 {
		miss, whole := 0.0, 1e-12
		for n := max(from, start); n < min(to, start+len(x)); n++ {
			v := float64(x[n-start])
			d := v - between(x, float64(n-start)+lag)
			miss += d * d
			whole += v * v
		}
		return miss / whole
	}
	return share(where-w, where, -old) + share(where, where+w, now)
}

// several is the multiple of a period nearest to 5 ms: two notes a semitone
// apart differ little after one period of a high one.
func several(period, hz float64) float64 {
	return period * max(1, math.Round(0.005*hz/period))
}

// between is x at a place between samples, by a cubic through four
// (Catmull & Rom 1974).
func between(x []float32, at float64) float64 {
	i := int(at)
	if i < 1 || i+2 >= len(x) {
		return 0
	}
	f := at - float64(i)
	a, b, c, d := float64(x[i-1]), float64(x[i]), float64(x[i+1]), float64(x[i+2])
	return b + 0.5*f*(c-a+f*(2*a-5*b+4*c-d+f*(3*(b-c)+d-a)))
}

const (
	// lowNoteHz is the pitch under which harmonics lie so close that the
	// model looks at half the band.
	lowNoteHz = 350.0
	// The model learns from fitSeconds of sound that end aheadSeconds before
	// the quietest moment: a soft attack begins up to 40 ms before the new note
	// is louder than the old one ringing.
	fitSeconds   = 0.040
	aheadSeconds = 0.040
	// overFloor is by how much (in power) the unforetold must exceed its own
	// floor to be the new note, and overPeak the share of the attack's peak
	// under which it does not count: attacks differ least where they begin.
	overFloor = 3.0
	overPeak  = 2e-5
	// bump is the power by which the unforetold must come up again, going
	// back in time, to be of something before the attack.
	bump = 20.0
)

// attack finds the sample at which a new attack begins: where what can't be
// foretold from the sound before begins to stand out.
func (p *placer) attack(from, to int, period float64) float64 {
	low, _, _ := p.dip(from, to, period)
	step := 2
	if period > p.hz/lowNoteHz {
		step = 4
	}
	rate := p.hz / float64(step)
	start := p.thinned(low-int((fitSeconds+aheadSeconds)*p.hz), to+int(0.02*p.hz), step)
	x := p.x
	lowAt := (low - start) / step
	b := lowAt - int(aheadSeconds*rate)
	a := max(0, b-int(fitSeconds*rate))
	known := b > a && p.model.fit(x[a:b])
	first := max(b, 0)
	if known {
		first = max(b, modelOrder)
	}
	if first >= len(x) {
		return float64(low)
	}
	p.e = p.e[:0]
	for t := first; t < len(x); t++ {
		v := x[t]
		if known {
			v = p.model.miss(x, t)
		}
		p.e = append(p.e, v*v)
	}
	w := max(1, int(0.003*rate))
	p.mean = runningMean(p.mean[:0], p.e, w)
	return float64(start + (first+foot(p.mean, lowAt-first, w))*step)
}

// foot goes back from where an attack stands clear, at low or after, to where
// it begins to.
func foot(e []float64, low, w int) int {
	peak := 0.0
	for _, v := range e {
		peak = max(peak, v)
	}
	top := 0
	for top < len(e)-1 && (top < low || e[top] < peak/8) {
		top++
	}
	floor := e[top]
	for i := top; i >= min(w, top); i-- {
		floor = min(floor, e[i])
		if e[i] > bump*floor && e[i] < peak/8 {
			break
		}
	}
	limit := max(overFloor*floor, peak*overPeak)
	for top > 0 && e[top] > limit {
		top--
	}
	return top
}

// runningMean appends for each value the mean of the w values up to it.
func runningMean(out, e []float64, w int) []float64 {
	sum := 0.0
	for i, v := range e {
		sum += v
		if i >= w {
			sum -= e[i-w]
		}
		out = append(out, max(sum, 0)/float64(min(i+1, w)))
	}
	return out
}

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
	h := 2 * step
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
