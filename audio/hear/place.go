package hear

import (
	"math"

	"footing/audio/declick"
	"footing/audio/stat"
)

// placer says where in time a note begins, once it is known that one does.
type placer struct {
	fine    *ring
	cleared *declick.Cleared // what was taken out of fine
	hz      float64          // of fine
	frame   float64          // frames a second
	views   [2]view
	thin    map[int][]float64 // low-pass by step
	scratch scratch
	heads   [4]heads      // by anchor
	loud    heads         // how loud the last notes were, in dB
	slurs   float64       // 0 to 1: how surely the last notes were slurred
	ups     [2]*envelopes // of high notes and of low ones
	bounds  bounds
	tails   tails // what is left of the notes once others have begun
}

// scratch is memory that is used again, for what is worked out on the way.
type scratch struct{ sound, click, residual, envelope []float64 }

func newPlacer(fine *ring, cleared *declick.Cleared, hz, frameHz float64) *placer {
	p := &placer{fine: fine, cleared: cleared, hz: hz, frame: frameHz, slurs: 0.5, thin: map[int][]float64{}}
	// Terms enough for the harmonics of two notes in the band looked at.
	p.views = [2]view{{thin: 1, model: newPredictor(64)}, {thin: 2, model: newPredictor(32)}}
	p.ups = [2]*envelopes{newEnvelopes(fine, hz, envWindow), newEnvelopes(fine, hz, 2*envWindow)}
	p.anywhere()
	for _, step := range []int{2, 4, 8} {
		p.thin[step] = lowPass(step)
	}
	return p
}

// placing is where an event lies.
type placing struct {
	seconds float64
	// ms is the standard deviation that seconds is known to, in milliseconds.
	ms      float64
	slurred bool    // the note has no attack of its own
	hardly  float64 // the least of ms, whatever other notes say
	// ahead is how long before its harmonics come up the note was seen to begin, in
	// seconds, where anchor says of which.
	ahead  float64
	anchor anchor
	turn   turn // where one pitch became another
	// hidden is how little was seen of the beginning: 0 all of it, 1 hardly any.
	hidden float64
}

// around are the samples between which an event lies.
func (p *placer) around(e event) (from, to int) {
	at := func(frame int) int { return int(float64(frame) / p.frame * p.hz) }
	return at(e.from) - int(0.012*p.hz), at(e.to) + int(0.008*p.hz)
}

// togetherSeconds apart, two attacks are one.
const togetherSeconds = 0.020

// together tells whether two events have one attack.
func (p *placer) together(a, b event) bool {
	begin := func(e event) float64 {
		from, to := p.around(e)
		now, old := p.hz/frequency(e.pitch), 0.0
		if e.old > 0 {
			old = p.hz / frequency(e.old)
		}
		return p.attack(from, to, max(old, now), old).begin
	}
	return math.Abs(begin(a)-begin(b)) < togetherSeconds*p.hz
}

// place says where an event lies. It is no note at all when a held one only
// swelled.
func (p *placer) place(e event) (placing, bool) {
	defer p.anywhere()
	from, to := p.around(e)
	now := p.hz / frequency(e.pitch)
	if e.old == 0 {
		s := p.attack(from, to, now, 0)
		return placing{seconds: s.begin / p.hz, ms: s.ms(), hardly: s.hardly()}, true
	}
	old := p.hz / frequency(e.old)
	arrival, arrived := 0.0, false
	if e.rise == 0 {
		if arrival, arrived = p.arrives(to, old, now); arrived {
			to = min(to, max(from-int(0.120*p.hz), int(arrival))+int(0.025*p.hz))
			from = min(from, to-int(0.040*p.hz))
			p.within(arrival)
		}
	}
	s := p.clearest(from, to, e.rise == 0, old, now)
	if db, ok := p.tail(s.begin, old, now); ok {
		p.tails.add(db)
	}
	if e.rise > 0 {
		if e.rise*swellPerDB-max(s.level, -35)*swellPerLevel < swellOdds+swellTrust*p.slurs*p.slurs+swellInRoom*p.tails.live() {
			return placing{}, false
		}
		p.learn(s)
		p.slurs -= p.slurs / slurMemory
		return placing{seconds: p.heads[byFrame].trust(s.begin/p.hz, float64(e.to)/p.frame, s.clicked), ms: s.ms(), hardly: s.hardly()}, true
	}
	where := p.change(from, to, old, now)
	if near := changeNear * p.hz; arrived && p.tails.live() > changeLive && math.Abs(where-arrival) > near {
		where = p.change(max(from, int(arrival-near)), min(to, int(arrival+near)), old, now)
	}
	t := p.turned(s, where, p.rise(from, to, max(old, now)), p.mixed(int(where), old, now))
	t.struck = p.struck(t.where)
	if p.isSlur(s, t) {
		apart := max(0, math.Abs(where-s.begin)/p.hz*1000-slurredApart)
		return placing{seconds: where / p.hz, ms: math.Hypot(slurredMs, slurredPerMs*apart), slurred: true, turn: t}, true
	}
	p.learn(s)
	begin, ahead, by := s.begin/p.hz, 0.0, byNothing
	if arrived {
		ahead, by = (arrival-s.begin)/p.hz, anchorOf(p.hz/old, p.hz/now)
		begin = p.heads[by].within(begin, arrival/p.hz, s)
	} else {
		begin = p.heads[byFrame].trust(begin, float64(e.to)/p.frame, s.clicked)
	}
	return placing{seconds: begin, ms: s.ms(), hardly: s.hardly(), ahead: ahead, hidden: s.hidden(), anchor: by, turn: t}, true
}

// isSlur tells whether a change of period at a sample is a slur, whatever may
// have been seen of an attack.
func (p *placer) isSlur(s sighting, t turn) bool {
	odds := slurOdds - slurPerDB*min(15, t.rise) - slurPerMixed*math.Sqrt(min(2.5, t.mixed))
	if s.clicked {
		odds -= slurClicked
	} else {
		odds -= slurPerMs * (1 + slurInRoom*p.tails.live()) * max(-5, min(25, (t.where-t.begin)*1000))
	}
	slurred := odds+slurTrust*(p.slurs-0.5) > 0
	p.slurs += (1/(1+math.Exp(-odds)) - p.slurs) / slurMemory
	return slurred
}

// A held note that swells, as in a vibrato, comes up little, and its prediction
// residual is small; how small is suspicious depends on whether the player
// slurs. The weights come from a logistic regression over some 680 rises on
// sampled instruments; the two kinds overlap, and swellTrust and swellOdds were
// chosen by hand.
const (
	swellPerDB    = 0.33
	swellPerLevel = 0.14
	swellOdds     = 1.7
	swellTrust    = 3.0
	swellInRoom   = 1.0 // a live room swells by itself
)

// A slur shows in three ways: the sound does not come up at it; just before and
// after its change point it repeats by the old and the new period; and nothing
// begins before that point, unless it is a click. The log odds that a change is
// a slur are linear in these. slurOdds, slurPerDB and slurPerMixed come from a
// logistic regression over some 7 000 changes of both kinds on five sampled
// instruments, with and without noise, a room and clicks. slurPerMs and
// slurClicked came out of it at 0.19 and 1.85, and were then lowered by hand, and
// slurTrust and slurMemory chosen by hand, for the best timing on the same
// takes: slurs gain by it, and attacks without a gap lose. What is in doubt is
// taken as the last notes were, about slurMemory of them, which weigh up to half
// of slurTrust either way.
const (
	slurOdds     = 7.67
	slurPerDB    = 0.33
	slurPerMixed = 5.28
	slurPerMs    = 0.12
	slurClicked  = 1.5
	slurTrust    = 12.0
	slurMemory   = 5
)

// anchor is what a beginning is reckoned from: where the harmonics of a high note
// or of a low one come up, which differ by the windows they are looked at through,
// or the frame from which on the note was sure.
type anchor int

const (
	byNothing anchor = iota
	byHigh
	byLow
	byFrame
)

// anchorOf two notes' frequencies in Hz.
func anchorOf(old, now float64) anchor {
	if min(old, now) < lowHz {
		return byLow
	}
	return byHigh
}

// heads remembers how long before a note was sure its beginnings were found.
// A beginning is found sharply, but now and then at something else: the moment
// the old note was let go, or a click. What is sure of the note itself is
// known only roughly, but never far off; so a beginning too far from where the
// last ones lay is drawn in. Other figures of the last notes are kept in the
// same way, for their median.
type heads struct {
	last [16]float64
	n    int
}

const (
	trustSeconds = 0.025 // how far a beginning may lie from the usual
	trustClicked = 0.010 // the same when a click lies there
	trustAfter   = 4     // beginnings before there is a usual
	clearDB      = -19.5 // from its peak, a beginning is seen clearly
)

func (h *heads) trust(begin, sure float64, clicked bool) float64 {
	trust := trustSeconds
	if clicked {
		trust = trustClicked
	}
	usual, known := h.median()
	d := sure - begin
	h.add(d)
	if !known {
		return begin
	}
	return sure - max(usual-trust, min(usual+trust, d))
}

// within draws a beginning in. Only what was seen clearly tells what is usual.
func (h *heads) within(begin, sure float64, s sighting) float64 {
	trust := trustSeconds
	if s.clicked {
		trust = trustClicked
	}
	usual, known := h.median()
	d := sure - begin
	if s.level < clearDB {
		h.add(d)
	}
	if !known {
		return begin
	}
	return sure - max(usual-trust, min(usual+trust, d))
}

func (h *heads) add(d float64) {
	h.last[h.n%len(h.last)] = d
	h.n++
}

// median of what was added last; not known until trustAfter were.
func (h *heads) median() (usual float64, known bool) {
	n := min(h.n, len(h.last))
	return stat.Median(h.last[:n]), n >= trustAfter
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

// leftover tells whether what begins at a place, in seconds, is no more than
// may be left of a click that was taken out there or shortly before.
func (p *placer) leftover(at float64) bool {
	n := at * p.hz
	click := p.cleared.Power(n-leftSeconds*p.hz, n+0.01*p.hz)
	return click > 0 && p.power(int(n+0.02*p.hz), int(n+0.06*p.hz)) < leftPower*click
}

// struck tells whether a click was taken out up to struckSeconds before a place, in
// seconds, or just after: what is left of it may be taken for the beginning.
func (p *placer) struck(at float64) bool {
	return p.cleared.Power((at-struckSeconds)*p.hz, (at+struckSeconds/4)*p.hz) > 0
}

const struckSeconds = 0.040

// leftPower is the share of a click's power that may be left of it later, and in a
// room for leftSeconds.
const (
	leftPower   = 0.02
	leftSeconds = 0.30
)

// rise is by how much, in dB, the sound comes up after its quietest around
// from..to.
func (p *placer) rise(from, to int, period float64) float64 {
	_, low, loud := p.dip(from, to, period)
	return decibels(loud) - decibels(low)
}

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
