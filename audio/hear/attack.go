package hear

import "math"

// A note under lowNoteHz has harmonics that lie so close that the models look
// at half the band.
const lowNoteHz = 350.0

// A look at an attack: what it learns from, how far it looks, and how its
// onset envelope is smoothed. All are in seconds.
const (
	// The first look's model learns from sound that ends roughAhead before the
	// quietest moment: a soft attack begins up to 40 ms before the new note is
	// louder than the old one ringing.
	roughAhead  = 0.040
	roughFit    = 0.040
	roughAfter  = 0.020
	roughSmooth = 0.003
	// The second look's learns up to closeAhead before where the first has found
	// the beginning.
	closeAhead  = 0.008
	closeFit    = 0.050
	closeAfter  = 0.030
	closeSmooth = 0.004
	// strongSmooth is for where the attack is strong.
	strongSmooth = 0.006
	// heardAfter before a new pitch was heard at the latest, it began.
	heardAfter = 0.015
)

// Where an attack begins in its onset envelope, going back in time from where
// it stands clear. All are ratios of powers.
const (
	// footOver is by how much the envelope must exceed its own floor to be the
	// new note, and footPeak the share of the attack's peak under which it does
	// not count: attacks differ least where they begin.
	footOver = 2.5
	footPeak = 2e-5
	// footOverSilence is footOver where no note was before: nothing but noise then
	// stands out earlier, and may do so by chance.
	footOverSilence = 10.0
	// footBump is by how much the envelope must come up again to be of something
	// before the attack: the moment the old note was let go. The second look
	// knows the old note as it was let go.
	footBump   = 20.0
	footNoBump = math.MaxFloat64
	// footClear is the share of the peak at which an attack stands clear.
	footClear = 1.0 / 8
)

// strongDB from its peak an attack shows even when its beginning is hidden; at
// fullDB and loudDB hardly anything of a room is left in it.
const (
	strongDB = -20.0
	fullDB   = -14.0
	loudDB   = -6.0
)

// attack is what a look at a new note's attack sees; places are samples.
type attack struct {
	begin, strong, full, loud float64
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
	live    float64 // how live the room is
}

// ms is the standard deviation, in milliseconds, that the beginning is known to:
// the further down from its peak an attack was seen, the better.
func (s sighting) ms() float64 {
	ms := knownMs + knownMsPerDB*max(0, s.level-knownDB) + s.hardly()
	if s.clicked {
		ms = max(ms, knownMsClicked)
	}
	return ms
}

// hardly is what that grows by where hardly anything was seen of the beginning: it
// may be something else.
func (s sighting) hardly() float64 {
	return (hardlyDry + (1-hardlyDry)*s.live) * min(mostHardlyMs, hardlyMsPerDB*max(0, s.level-hardlyDB))
}

// hidden is how little was seen of the beginning: 0 all of it, 1 hardly any.
func (s sighting) hidden() float64 { return max(0, min(1, (s.level-seenAllDB)/(hardlyDB-seenAllDB))) }

// seenAllDB from its peak, all of a beginning is seen.
const seenAllDB = -40.0

// A line over 5 600 attacks of sampled instruments, with and without noise, a
// room and clicks: from 0.6 ms at -60 dB to 7 ms at -15 dB.
const (
	knownMs        = 1.0
	knownMsPerDB   = 0.14
	knownDB        = -58.0
	knownMsClicked = 4.0 // beside a click
	hardlyDB       = -19.0
	hardlyMsPerDB  = 1.5
	mostHardlyMs   = 15.0
	hardlyDry      = 0.3 // its share in a dry room
)

// attack looks for the sample at which a new attack begins: where the
// prediction residual, what a model of the sound before does not predict,
// begins to stand out. It looks roughly first, then again with what it has
// learned of where the old note ends, in two ways that err differently. The old
// note's period, in samples, is 0 when there was none.
func (p *placer) attack(from, to int, period, old float64) (s sighting) {
	low, _, _ := p.dip(from, to, period)
	if old > 0 {
		low = min(low, to-int(heardAfter*p.hz))
	}
	step := 2
	if period > p.hz/lowNoteHz {
		step = 4
	}
	s.live = p.tails.live()
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
	ahead, fit := int(roughAhead*rate), int(roughFit*rate)
	x, start := p.thinned(low-(ahead+fit)*step, to+int(roughAfter*p.hz), step)
	lowAt := (low - start) / step
	b := lowAt - ahead
	a := max(0, b-fit)
	model := p.views[0].model
	if b <= a || !model.fit(x[a:b], p.thinClick(step)) {
		model = nil
	}
	r := p.residualOf(x, start, step, model, max(b, 0))
	w := max(1, int(roughSmooth*rate))
	envelope := p.envelope(r.power, w)
	if len(envelope) == 0 {
		return low, attack{begin: float64(low), strong: float64(low), full: float64(low), loud: float64(low)}
	}
	lowAt -= r.first
	at := p.inside(foot(envelope, lowAt, w, footBump, footOver), r)
	if old > 0 {
		at += p.pastRelease(envelope[at:], r.sample(at), step, old, releaseOdds)
	}
	return r.sample(at), p.seen(r, rate, lowAt, 0)
}

// look is the second look, in one way.
func (p *placer) look(v *view, step, rough, low, to int, old float64) (a attack, ok bool) {
	rate := p.hz / float64(step)
	ahead, fit := int(closeAhead*rate), int(closeFit*rate)
	x, start := p.thinned(rough-(ahead+fit)*step, to+int(closeAfter*p.hz), step)
	b := (rough-start)/step - ahead
	if b <= 0 || !v.model.fit(x[max(0, b-fit):b], p.thinClick(step)) {
		return a, false
	}
	r := p.residualOf(x, start, step, v.model, max(0, b-fit))
	if len(r.power) == 0 {
		return a, false
	}
	return p.seen(r, rate, (low-start)/step-r.first, old), true
}

// residual is the power of a prediction residual, value by value, and where it
// lies in the sound.
type residual struct {
	power []float64
	first int // its first value is of this value of the thinned sound
	start int // sample of that value
	step  int // samples a value
}

// inside is a value moved to where a beginning may lie.
func (p *placer) inside(i int, r residual) int {
	if least := p.bounds.first; float64(r.sample(i)) < least {
		i = min(len(r.power)-1, int((least-float64(r.start))/float64(r.step))+1)
	}
	return max(0, i)
}

// sample is the place of a value.
func (r residual) sample(i int) int { return r.start + i*r.step }

// residualOf is the prediction residual of thinned sound, which begins at a
// sample, from its value first on; without a model, the sound itself. Clicks are
// levelled. It holds until the next call.
func (p *placer) residualOf(x []float64, start, step int, model *predictor, first int) residual {
	if model != nil {
		first = max(first, model.order)
	}
	power := p.scratch.residual[:0]
	for t := first; t < len(x); t++ {
		v := x[t]
		if model != nil {
			v = model.residual(x, t)
		}
		power = append(power, v*v)
	}
	p.scratch.residual = power
	r := residual{power: power, first: first, start: start + first*step, step: step}
	p.mask(r)
	return r
}

// envelope is the onset envelope of a residual's power: its running mean over w
// values. It holds until the next call.
func (p *placer) envelope(power []float64, w int) []float64 {
	p.scratch.envelope = runningMean(p.scratch.envelope[:0], power, w)
	return p.scratch.envelope
}

// seen reads the attack out of a residual of so many values a second, low being
// the value at which the sound is quietest; with an old note's period, not out
// of its release.
func (p *placer) seen(r residual, rate float64, low int, old float64) attack {
	w := max(1, int(closeSmooth*rate))
	envelope := p.envelope(r.power, w)
	over := footOver
	if old == 0 {
		over = footOverSilence
	}
	i := p.inside(foot(envelope, max(0, min(len(envelope)-1, low)), w, footNoBump, over), r)
	if old > 0 {
		i += p.pastRelease(envelope[i:], r.sample(i), r.step, old, releaseSurely)
	}
	peak := 0.0
	for _, v := range envelope {
		peak = max(peak, v)
	}
	a := attack{begin: float64(r.sample(i)), level: decibels(envelope[i]) - decibels(peak)}
	envelope = p.envelope(r.power, max(1, int(strongSmooth*rate)))
	peak = 0
	for _, v := range envelope[i:] {
		peak = max(peak, v)
	}
	passes := func(db float64) float64 {
		k := i
		for k < len(envelope)-1 && envelope[k] < peak*math.Pow(10, db/10) {
			k++
		}
		return float64(r.sample(k)) - strongSmooth/2*p.hz
	}
	a.strong, a.full, a.loud = passes(strongDB), passes(fullDB), passes(loudDB)
	return a
}

// rise is how steeply an attack comes up, in seconds per dB, by itself or by
// those before it.
func (v *view) rise(a attack, hz float64) (perDB float64, own bool) {
	if a.level < riseSeenDB {
		return max(0, min(riseSoftest, (a.strong-a.begin)/hz/(strongDB-a.level))), true
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
	return a.begin - rise*hz*hiddenShare*max(0, a.level-hiddenDB)
}

// begin is where an attack begins, with how long before they were strong the
// last ones did.
func (v *view) begin(a attack, hz float64) float64 {
	begin := v.shown(a, hz)
	usual, known := v.usual.median()
	if !known {
		return begin
	}
	drawn := max(0, min(drawnMost, (a.level-drawnDB)/30))
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
	// to 12 ms. riseSoftest is the most that is believed of one.
	risePerDB   = 0.0003
	riseSoftest = 0.0005
	// An attack seen to begin below riseSeenDB from its peak tells how steep it is.
	riseSeenDB = -28.0
	// What lies under hiddenDB begins at once; from there up to where the attack
	// is seen it rises faster than above, in hiddenShare of the time.
	hiddenDB    = -50.0
	hiddenShare = 0.7
	// A beginning that is seen at drawnDB or lower is taken as it is; above, it
	// is drawn in by up to drawnMost towards where the strong part says it is.
	drawnDB   = -45.0
	drawnMost = 0.2
)

// foot goes back in an onset envelope from where an attack stands clear, at low
// or after, to where it begins to; bump is what ends the way back.
func foot(e []float64, low, w int, bump, over float64) int {
	peak := 0.0
	for _, v := range e {
		peak = max(peak, v)
	}
	top := 0
	for top < len(e)-1 && (top < low || e[top] < peak*footClear) {
		top++
	}
	floor := e[top]
	for i := top; i >= min(w, top); i-- {
		floor = min(floor, e[i])
		if e[i] > bump*floor && e[i] < peak*footClear {
			break
		}
	}
	limit := max(over*floor, peak*footPeak)
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
// from maskBefore it to maskAfter it, in seconds, counts for no more than the
// mean of maskLevel before.
const (
	maskBefore = 0.001
	maskAfter  = 0.004
	maskLevel  = 0.002
)

// mask levels a residual where clicks were.
func (p *placer) mask(r residual) {
	rate := p.hz / float64(r.step)
	n := int(maskLevel * rate)
	for _, at := range p.cleared.Places() {
		place := (at - float64(r.start)) / float64(r.step)
		from, to := int(place-maskBefore*rate), int(place+maskAfter*rate)
		if from < n || from >= len(r.power) {
			continue
		}
		level := 0.0
		for _, v := range r.power[from-n : from] {
			level += v / float64(n)
		}
		for k := from; k < min(to, len(r.power)); k++ {
			r.power[k] = min(r.power[k], level)
		}
	}
}
