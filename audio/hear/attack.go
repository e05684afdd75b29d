package hear

import "math"

const (
	// lowNoteHz is the pitch under which harmonics lie so close that the
	// models look at half the band.
	lowNoteHz = 350.0
	// fitSeconds of sound teach a model what goes on.
	fitSeconds = 0.050
	// The first look's model learns from sound that ends aheadSeconds before
	// the quietest moment: a soft attack begins up to 40 ms before the new note
	// is louder than the old one ringing. The second look's learns up to
	// nearSeconds before where the first has found the beginning.
	aheadSeconds = 0.040
	nearSeconds  = 0.008
	// overFloor is by how much (in power) the unforetold must exceed its own
	// floor to be the new note, and overPeak the share of the attack's peak
	// under which it does not count: attacks differ least where they begin.
	overFloor = 2.5
	// overSilence is the same where no note was before: nothing but noise then
	// stands out earlier, and may do so by chance.
	overSilence = 10.0
	overPeak    = 2e-5
	// bump is the power by which the unforetold must come up again, going
	// back in time, to be of something before the attack: the moment the old
	// note was let go. The second look knows the old note as it was let go.
	bump   = 20.0
	noBump = math.MaxFloat64
	// heardAfter seconds before a new pitch was heard at the latest, it began.
	heardAfter = 0.015
	// strongDB from its peak an attack shows even when its beginning is hidden.
	strongDB = -20.0
)

// attack is what a look at a new note's attack sees; places are samples.
type attack struct {
	begin, strong float64
	// level at which it was seen to begin, in dB from its peak: the higher,
	// the less is known of the beginning.
	level float64
}

// view is one way of looking at attacks: a share of the band and a model of
// what went on before.
type view struct {
	thin  int // how many times fewer samples than the first look's
	model *predictor
	usual heads // how long before they were strong the last attacks began, in seconds
	rises heads // how steeply they came up, in seconds per dB
}

// sighting is what all looks see, and what they make of it.
type sighting struct {
	looks   [2]attack
	begin   float64 // sample at which the attack begins
	level   float64 // the mean of theirs
	clicked bool    // a click lies where it was seen to begin
}

// ms is the standard deviation, in milliseconds, that the beginning is known to:
// the further down from its peak an attack was seen, the better.
func (s sighting) ms() float64 {
	ms := deepMs + msPerDB*max(0, s.level-deepestDB)
	if s.clicked {
		ms = max(ms, clickedMs)
	}
	return ms
}

// A line over 5 600 attacks of sampled instruments, with and without noise, a
// room and clicks: from 0.6 ms at -60 dB to 7 ms at -15 dB.
const (
	deepMs    = 1.0
	msPerDB   = 0.14
	deepestDB = -58.0
	clickedMs = 4.0 // beside a click
)

// attack looks for the sample at which a new attack begins: where what can't
// be foretold from the sound before begins to stand out. It looks roughly
// first, then again with what it has learned of where the old note ends, in
// two ways that err differently. The old note's period, in samples, is 0 when
// there was none.
func (p *placer) attack(from, to int, period, old float64) (s sighting) {
	low, _, _ := p.dip(from, to, period)
	if old > 0 {
		low = min(low, to-int(heardAfter*p.hz))
	}
	step := 2
	if period > p.hz/lowNoteHz {
		step = 4
	}
	rough, seen := p.roughly(low, to, step, old)
	for i := range p.views {
		v := &p.views[i]
		a, ok := p.look(v, step*v.thin, rough, low, to, old)
		if !ok {
			a = seen
		}
		s.looks[i] = a
		s.begin += v.begin(a, p.hz) / float64(len(p.views))
		s.level += a.level / float64(len(p.views))
		s.clicked = s.clicked || p.clicks(int(a.begin))
	}
	return s
}

// learn remembers an attack that was one.
func (p *placer) learn(s sighting) {
	for i := range p.views {
		p.views[i].learn(s.looks[i], p.hz)
	}
}

// roughly is the first look.
func (p *placer) roughly(low, to, step int, old float64) (begin int, seen attack) {
	rate := p.hz / float64(step)
	ahead, fit := int(aheadSeconds*rate), int(0.040*rate)
	start := p.thinned(low-(ahead+fit)*step, to+int(0.02*p.hz), step)
	lowAt := (low - start) / step
	b := lowAt - ahead
	a := max(0, b-fit)
	model := p.views[0].model
	if b <= a || !model.fit(p.x[a:b], p.thinClick(step)) {
		model = nil
	}
	first := p.unforetold(model, max(b, 0))
	p.mask(start+first*step, step)
	w := max(1, int(0.003*rate))
	p.mean = runningMean(p.mean[:0], p.e, w)
	if len(p.mean) == 0 {
		return low, attack{float64(low), float64(low), 0}
	}
	at := foot(p.mean, lowAt-first, w, bump, overFloor)
	if old > 0 {
		at += p.pastRelease(p.mean[at:], start+(first+at)*step, step, old, releaseOdds)
	}
	return start + (first+at)*step, p.seen(rate, lowAt-first, start+first*step, step, 0)
}

// look is the second look, in one way.
func (p *placer) look(v *view, step, rough, low, to int, old float64) (a attack, ok bool) {
	rate := p.hz / float64(step)
	near, fit := int(nearSeconds*rate), int(fitSeconds*rate)
	start := p.thinned(rough-(near+fit)*step, to+int(0.03*p.hz), step)
	b := (rough-start)/step - near
	if b <= 0 || !v.model.fit(p.x[max(0, b-fit):b], p.thinClick(step)) {
		return a, false
	}
	first := p.unforetold(v.model, max(0, b-fit))
	if len(p.e) == 0 {
		return a, false
	}
	p.mask(start+first*step, step)
	return p.seen(rate, (low-start)/step-first, start+first*step, step, old), true
}

// unforetold fills p.e with the power, sample by sample of p.x from first on,
// of what the model does not foretell; without a model, of everything. It
// returns where it begins.
func (p *placer) unforetold(model *predictor, first int) int {
	p.e = p.e[:0]
	if model != nil {
		first = max(first, model.order)
	}
	for t := first; t < len(p.x); t++ {
		v := p.x[t]
		if model != nil {
			v = model.miss(p.x, t)
		}
		p.e = append(p.e, v*v)
	}
	return first
}

// seen reads the attack out of p.e, whose first value is of sample start; with an
// old note's period, not out of its release.
func (p *placer) seen(rate float64, low, start, step int, old float64) attack {
	w := max(1, int(0.004*rate))
	p.mean = runningMean(p.mean[:0], p.e, w)
	over := overFloor
	if old == 0 {
		over = overSilence
	}
	i := foot(p.mean, max(0, min(len(p.mean)-1, low)), w, noBump, over)
	if old > 0 {
		i += p.pastRelease(p.mean[i:], start+i*step, step, old, surelyReleased)
	}
	peak := 0.0
	for _, v := range p.mean {
		peak = max(peak, v)
	}
	a := attack{begin: float64(start + i*step), level: decibels(p.mean[i]) - decibels(peak)}
	w = max(1, int(0.006*rate))
	p.mean = runningMean(p.mean[:0], p.e, w)
	peak = 0
	for _, v := range p.mean[i:] {
		peak = max(peak, v)
	}
	k := i
	for k < len(p.mean)-1 && p.mean[k] < peak*math.Pow(10, strongDB/10) {
		k++
	}
	a.strong = float64(start+k*step) - 0.003*p.hz
	return a
}

// rise is how steeply an attack comes up, in seconds per dB, by itself or by
// those before it.
func (v *view) rise(a attack, hz float64) (perDB float64, own bool) {
	if a.level < seenDB {
		return max(0, min(softest, (a.strong-a.begin)/hz/(strongDB-a.level))), true
	}
	if m, known := v.rises.median(); known {
		return m, false
	}
	return risePerDB, false
}

// shown is where an attack begins once what hides its beginning is reckoned
// with: how far down it was still seen, and how steeply it comes up.
func (v *view) shown(a attack, hz float64) float64 {
	rise, _ := v.rise(a, hz)
	return a.begin - rise*hz*hiddenShare*max(0, a.level-deepDB)
}

// begin is where an attack begins, with how long before they were strong the
// last ones did.
func (v *view) begin(a attack, hz float64) float64 {
	begin := v.shown(a, hz)
	usual, known := v.usual.median()
	if !known {
		return begin
	}
	drawn := max(0, min(mostDrawn, (a.level-clearDB)/30))
	return begin + drawn*(a.strong-usual*hz-begin)
}

func (v *view) learn(a attack, hz float64) {
	v.usual.add((a.strong - v.shown(a, hz)) / hz)
	if rise, own := v.rise(a, hz); own {
		v.rises.add(rise)
	}
}

const (
	// risePerDB is how long an attack takes to come up by a decibel, in
	// seconds, when no attack has told yet: those of winds come up 20 dB in 4
	// to 12 ms. softest is the most that is believed of one.
	risePerDB = 0.0003
	softest   = 0.0005
	// An attack seen to begin below seenDB from its peak tells how steep it is.
	seenDB = -28.0
	// What lies under deepDB begins at once; from there up to where the attack
	// is seen it rises faster than above, in hiddenShare of the time.
	deepDB      = -50.0
	hiddenShare = 0.7
	// A beginning that is seen at clearDB or lower is taken as it is; above, it
	// is drawn in by up to mostDrawn towards where the strong part says it is.
	clearDB   = -45.0
	mostDrawn = 0.2
)

// foot goes back from where an attack stands clear, at low or after, to where
// it begins to; bump is what ends the way back.
func foot(e []float64, low, w int, bump, over float64) int {
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
	limit := max(over*floor, peak*overPeak)
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

// Something of a click's edge may be left where it was taken out: what is new
// from maskBefore it to maskAfter it, in seconds, does not count.
const (
	maskBefore = 0.001
	maskAfter  = 0.004
	maskLevel  = 0.002 // before them the level is as without it
)

// mask levels p.e, whose first value is of sample start, where clicks were.
func (p *placer) mask(start, step int) {
	rate := p.hz / float64(step)
	n := int(maskLevel * rate)
	for _, at := range p.cleared.Places() {
		place := (at - float64(start)) / float64(step)
		from, to := int(place-maskBefore*rate), int(place+maskAfter*rate)
		if from < n || from >= len(p.e) {
			continue
		}
		level := 0.0
		for _, v := range p.e[from-n : from] {
			level += v / float64(n)
		}
		for k := from; k < min(to, len(p.e)); k++ {
			p.e[k] = min(p.e[k], level)
		}
	}
}
