package hear

import "math"

// tracker joins frames of one pitch into stretches and tells where notes
// begin: where a stretch of another pitch follows, or where the sound of the
// same pitch comes up again after it had gone down.
type tracker struct {
	l    *Listener
	run  stretch // the present stretch of one pitch
	note stretch // the last stretch long enough to be a note
	// prior is the note before the present run, which is fresh when it has
	// been told from that.
	prior stretch
	fresh bool
	// The periodic level of the note: its extremes since they were last reset.
	armed   bool
	high    float64
	levels  [keptBlocks]float64
	pending []event
	told    float64 // pitch of the last note told
	before  float64 // and its place in seconds
	lastEnd int     // frame before which no event can begin any more
	under   int     // frames in a row whose octave below is what sounds
	usual   fit     // how the periods of the notes told fitted, the last ones most
	sways   heads   // by how much the pitch of the last notes swayed, in semitones
}

type stretch struct {
	from, to int     // frames, inclusive
	pitch    float64 // running mean of the last frames
	held     float64 // where it last stood still; 0 when it has not
	n        int
}

// event is a beginning that is not yet told.
type event struct {
	from, to int     // frames between which it lies
	old      float64 // pitch before; 0 after silence
	pitch    float64 // pitch after
	rise     float64 // dB by which the note comes up, when its pitch is no other
	again    float64 // the same, when at first its pitch seemed to be another
}

// A run is frames of one pitch in a row; pitches are in semitones.
const (
	// A run of runFrames makes a note.
	runFrames = 5
	// runPitch is how far a frame may lie from the run it belongs to: wider than
	// a vibrato moves in a frame.
	runPitch = 0.45
	// notePitch is how far a run must lie from the one before to be another note.
	notePitch = 0.65
	// runSettles frames a run may take to settle on a note of its own.
	runSettles = glideFrames + 2*runFrames
	// The frames of a held note differ by no more than heldPitch, those of a
	// steady one by no more than steadyPitch.
	heldPitch   = 0.1
	steadyPitch = 0.25
	// restFrames without a pitch are a rest: the note after has none before it.
	restFrames = 40
	// A slide from one note to the next takes no more than glideFrames and goes
	// farther than glidePitch, and so than a vibrato.
	glideFrames = 8
	glidePitch  = 0.85
	// octaveFrames tell a note from its octave.
	octaveFrames = 6
)

// A new attack of the same pitch: the note comes up by againRiseDB within
// againFrames, after having gone down by againFallDB. A vibrato of 6 Hz and 6 dB
// rises by 3.3 dB in 30 ms.
const (
	againRiseDB = 4.0
	againFallDB = 2.5
	againFrames = 7
)

// Two beginnings may be one. All are in frames between the two.
const (
	joinAlways  = 8  // they are one
	joinPerhaps = 12 // they are one if they have one attack
	// joinSpeaking is how long a note may take to speak, sounding an octave or a
	// twelfth low, and joinMixing how long two notes may ring into each other.
	joinSpeaking = 13
	joinMixing   = 24
	// joinBetween is how long a pitch between two that are near each other may be
	// heard as the one rings into the other.
	joinBetween = 15
	// joinSettling is how long a note's level may still go down and up as it
	// settles: a repeated note comes no sooner.
	joinSettling = 15
)

// A note is told tellFrames after its beginning; a soft attack may take
// tellSurely more to be sure of.
const (
	tellFrames = 18
	tellSurely = 14
)

func newTracker(l *Listener) tracker { return tracker{l: l, lastEnd: -1 << 40} }

// step takes frame k, the next one.
func (t *tracker) step(k int) {
	f := t.l.frames.at(k)
	t.follow(k, f)
	t.sink(f)
	if t.note.n > 0 {
		t.reattack(k)
	}
	for len(t.pending) > 0 && k >= t.pending[0].to+tellFrames {
		t.tell(k)
	}
}

// follow extends the present run or begins another.
func (t *tracker) follow(k int, f frame) {
	if f.pitch == 0 {
		t.run = stretch{}
		return
	}
	if t.run.n == 0 || math.Abs(f.pitch-t.run.pitch) > runPitch {
		t.run = stretch{from: k, to: k, pitch: f.pitch, n: 1}
		return
	}
	t.run.n++
	t.run.to = k
	t.run.pitch += (f.pitch - t.run.pitch) / float64(min(t.run.n, 8))
	if t.run.n < runFrames {
		return
	}
	if t.run.n >= runSettles && t.glided(k) {
		return
	}
	if t.run.n == runFrames {
		t.prior, t.fresh = t.note, false
		if t.prior.held > 0 {
			t.prior.pitch = t.prior.held
		}
	}
	if v := t.still(k, heldPitch); v > 0 {
		t.run.held = v
	}
	// While two notes ring into each other the pitch may lie between them: it
	// has some time to settle further from the note before.
	heard := t.run.pitch
	if v := t.steady(k); v > 0 && t.run.n > runFrames {
		heard = v
	}
	if !t.fresh && t.run.n < runSettles && (t.prior.n == 0 || math.Abs(heard-t.prior.pitch) > notePitch) {
		t.fresh = true
		t.run.pitch = heard
		e := event{from: max(t.prior.to, t.run.from-10), to: t.run.from, old: t.prior.pitch, pitch: heard}
		if t.run.from-t.prior.to > restFrames {
			e.old = 0
		}
		t.note = t.run
		t.begin(e)
		t.resetLevels(t.run.from, k)
	}
	t.note = t.run
}

// sink takes the present note down an octave when that is what has sounded for
// a while: at its beginning the octave alone may be clear.
func (t *tracker) sink(f frame) {
	if !f.beneath {
		t.under = 0
		return
	}
	t.under++
	if t.under < octaveFrames || t.run.n < runFrames || math.Abs(f.pitch-t.run.pitch) > runPitch {
		return
	}
	t.under = 0
	was := t.run.pitch
	t.run.pitch -= 12
	t.note.pitch = t.run.pitch
	if n := len(t.pending); n > 0 && math.Abs(t.pending[n-1].pitch-was) < notePitch {
		t.pending[n-1].pitch -= 12
	} else if math.Abs(t.told-was) < notePitch {
		t.told -= 12
	}
}

// glided looks for another note that the run has slid into without a break:
// two notes a semitone apart that ring into each other are heard as one that
// moves from the first to the second.
func (t *tracker) glided(k int) bool {
	now := t.steady(k)
	if now == 0 {
		return false
	}
	was, at := 0.0, 0
	for j := k - glideFrames; j >= max(t.run.from+runFrames, k-3*glideFrames); j-- {
		if v := t.steady(j); v > 0 && math.Abs(v-now) > glidePitch && math.Abs(v-now) > math.Abs(was-now) {
			was, at = v, j
		}
	}
	if at == 0 {
		return false
	}
	// It lies between the last frame near the old pitch and the first near the new one.
	from, to := at, k
	for j := at; j <= k; j++ {
		if d := math.Abs(t.l.frames.at(j).pitch - was); d < 0.3*math.Abs(now-was) {
			from = j
		}
	}
	for j := k; j > from && math.Abs(t.l.frames.at(j).pitch-now) < 0.3*math.Abs(now-was); j-- {
		to = j
	}
	t.run = stretch{from: to, to: k, pitch: now, n: k - to + 1}
	t.begin(event{from: from - runFrames/2, to: to, old: was, pitch: now})
	t.note = t.run
	t.resetLevels(to, k)
	return true
}

// steady is the pitch of the runFrames frames up to k, 0 when they differ.
func (t *tracker) steady(k int) float64 { return t.still(k, steadyPitch) }

// still is the pitch of the runFrames frames up to k, 0 when they differ by more.
func (t *tracker) still(k int, most float64) float64 {
	lo, hi, sum := math.MaxFloat64, 0.0, 0.0
	for j := k - runFrames + 1; j <= k; j++ {
		v := t.l.frames.at(j).pitch
		lo, hi, sum = min(lo, v), max(hi, v), sum+v
	}
	if hi-lo > most {
		return 0
	}
	return sum / runFrames
}

// begin notes an event, joining it with one that is too close before.
func (t *tracker) begin(e event) {
	if n := len(t.pending); n > 0 {
		p := &t.pending[n-1]
		if e.rise > 0 && e.to-p.to < joinSettling {
			p.again = max(p.again, e.rise)
			return
		}
		if e.to-p.to < joinMixing && p.old > 0 && rings(p.pitch, p.old, e.pitch) ||
			e.to-p.to < joinSpeaking && e.rise == 0 && multiple(e.pitch, p.pitch) {
			p.pitch = e.pitch
			return
		}
		if e.rise == 0 && p.old > 0 && e.to-p.to < joinBetween && between3(p.old, p.pitch, e.pitch) {
			p.pitch = e.pitch // they rang into each other
			return
		}
		if e.to-p.to < joinAlways {
			// A new pitch that came up is a new note, whatever was thought first.
			p.again = max(p.again, p.rise)
			p.pitch, p.to, p.rise = e.pitch, e.to, e.rise
			return
		}
	}
	if d := e.to - t.lastEnd; d < joinAlways || e.rise > 0 && d < joinSettling {
		return
	}
	t.pending = append(t.pending, e)
}

// between3 tells whether a pitch lies between two others that are no more than a
// tone apart.
func between3(a, b, c float64) bool {
	return (b-a)*(c-b) > 0 && math.Abs(c-a) < 2.6
}

// resetLevels measures the new note's level from frame a on; it is not armed
// for another attack before it has gone down.
func (t *tracker) resetLevels(a, k int) {
	t.armed = false
	t.high = -math.MaxFloat64
	for j := a - againFrames - 1; j < k; j++ {
		t.levels[(j+keptBlocks)%keptBlocks] = t.level(j)
		if j >= a {
			t.high = max(t.high, t.level(j))
		}
	}
}

// level of the note's pitch around frame j: the periodic part of the energy,
// in dB, which noise and a click's own tones hardly touch.
func (t *tracker) level(j int) float64 {
	c := t.l.coarse
	lag := c.rate / frequency(t.note.pitch)
	// A glide or a vibrato must not look like a fall: the best lag nearby.
	lo, hi := int(lag*0.97), int(math.Ceil(lag*1.03))
	lo, hi = max(1, lo), min(c.lags-2, hi)
	w := max(1, (hi/c.block+2)/2)
	best := 1e-9
	for n := lo; n <= hi; n++ {
		p, _ := c.periodic(n, j-w, j+w)
		best = max(best, p)
	}
	return decibels(best / float64(2*w*c.block))
}

func (t *tracker) reattack(k int) {
	v := t.level(k)
	t.levels[k%keptBlocks] = v
	if v > t.high {
		t.high = v
	}
	if !t.armed {
		if v < t.high-againFallDB {
			t.armed = true
			t.high = v
		}
		return
	}
	low, at := v, k
	for j := k - againFrames; j < k; j++ {
		if u := t.levels[(j+keptBlocks)%keptBlocks]; u < low {
			low, at = u, j
		}
	}
	if v-low < againRiseDB || v < silenceDB {
		return
	}
	t.begin(event{from: at - 2, to: k, old: t.note.pitch, pitch: t.note.pitch, rise: v - low})
	t.armed = false
	t.high = v
}

// tell gives up the first pending event, or drops it.
func (t *tracker) tell(k int) {
	e := t.pending[0]
	t.pending = t.pending[:copy(t.pending, t.pending[1:])]
	if len(t.pending) > 0 && t.pending[0].to-e.to < joinPerhaps && t.l.placer.together(e, t.pending[0]) {
		// One beginning, in which another pitch was heard at first.
		if next := &t.pending[0]; next.rise == 0 {
			next.from, next.old = e.from, e.old
			return
		}
		t.pending = t.pending[:copy(t.pending, t.pending[1:])]
	}
	if e.rise > 0 && !t.stays(e) {
		if len(t.pending) > 0 && t.pending[0].to-e.to < tellFrames {
			t.pending[0].from = min(t.pending[0].from, e.from)
		}
		return
	}
	end := e.to + tellFrames
	if len(t.pending) > 0 {
		end = min(end, t.pending[0].from)
	}
	from := e.to + 2
	for j := e.to; j < end; j++ {
		if math.Abs(t.l.frames.at(j).pitch-e.pitch) < runPitch {
			from = max(from, j)
			break
		}
	}
	for j := from + 2; j < end; j++ {
		if math.Abs(t.l.frames.at(j).pitch-e.pitch) > 2*runPitch {
			end = j
		}
	}
	pitch, clarity, sound := t.l.pitchOf(from, end, e.pitch, e.old)
	if clarity < clearEnough {
		return
	}
	if e.rise == 0 && e.old > 0 && math.Abs(pitch-t.told) < notePitch {
		if e.again == 0 {
			return // a harmonic came and went
		}
		e.rise = e.again
	}
	// Where one pitch becomes another is looked for with what both were in the
	// end, not with an octave that was heard on the way.
	heard := e
	e.pitch = pitch
	if e.old > 0 && (multiple(e.old, t.told) || multiple(t.told, e.old)) {
		e.old = t.told
	}
	at, ok := t.l.placer.place(e)
	if !ok {
		return
	}
	if t.l.placer.bursts(at.seconds) && t.fades(heard) || t.l.placer.leftover(at.seconds) {
		return // a click
	}
	if at.seconds-t.before < oneSeconds && t.l.heard.Notes > 0 {
		t.mend(pitch)
		t.lastEnd = e.to
		return
	}
	loud := t.l.placer.loudness(at.seconds)
	if t.l.placer.dying(at.seconds, loud) {
		return
	}
	t.l.placer.loud.add(loud)
	t.told = pitch
	t.know(sound)
	t.lastEnd = e.to
	m := math.Round(pitch)
	o := Onset{
		Seconds: at.seconds, Midi: int(m), Cents: (pitch - m) * 100,
		Certainty: e.certainty(clarity), Slurred: at.slurred, PlacedMs: at.ms,
	}
	if !at.slurred {
		o.recalled = t.l.recall.place(at.seconds, at.ms, o.Midi)
		t.l.recall.apply(&o)
	}
	o.hardly, o.ahead, o.hidden, o.anchor = at.hardly, at.ahead, at.hidden, at.anchor
	o.turn = at.turn
	if o.turn != (turn{}) {
		o.turn.pair = pair{int(math.Round(e.old)), o.Midi, o.turn.rise > restDB}
	}
	o.alone = max(o.PlacedMs, o.hardly)
	t.sways.add(t.sway(end))
	o.PlacedMs = t.placedMs(o, t.l.placer.tails.live())
	o.Seconds = max(o.Seconds, t.before)
	t.before = o.Seconds
	t.l.out = append(t.l.out, o)
	t.l.heard.Notes++
}

// oneSeconds apart, two beginnings are one: in a room two notes sound as a third
// for a moment.
const oneSeconds = 0.032

// mend gives the note that was told last its pitch once that is known better, as
// long as nobody has taken it. What is lower by a harmonic is the old note and the
// new one together.
func (t *tracker) mend(pitch float64) {
	if multiple(t.told, pitch) || len(t.l.out) == 0 {
		return
	}
	o := &t.l.out[len(t.l.out)-1]
	m := math.Round(pitch)
	o.Midi, o.Cents = int(m), (pitch-m)*100
	t.told = pitch
}

// know takes a note's sound among the usual ones.
func (t *tracker) know(sound fit) {
	const share = 0.3
	if t.usual == (fit{}) {
		t.usual = sound
	}
	t.usual = t.usual.toward(sound, share)
}

// certainty weighs how clear the note's pitch is, and for the same pitch again
// how far it came up.
func (e event) certainty(clarity float64) float64 {
	c := max(0, min(1, (clarity-clearEnough)/(0.97-clearEnough)))
	c = 0.5 + 0.5*c
	if e.rise > 0 {
		c *= 0.6 + 0.4*min(1, (e.rise-againRiseDB)/6)
	}
	return c
}

// fades tells whether the pitch that was heard dies away at once, as a click's
// ringing does: a struck sound is gone within 80 ms.
func (t *tracker) fades(e event) bool {
	c := t.l.coarse
	lag := max(1, min(c.lags-2, int(math.Round(c.rate/frequency(e.pitch)))))
	level := func(from, to int) float64 {
		most := 0.0
		for j := from; j <= to; j++ {
			p, _ := c.periodic(lag, j-1, j+1)
			most = max(most, p)
		}
		return decibels(most)
	}
	return level(e.to+9, e.to+12) < level(e.to-5, e.to+3)-fadeDB
}

// fadeDB is how far a click's ringing falls in about 55 ms.
const fadeDB = 10.0

// stays tells whether the pitch that came up goes on being heard.
func (t *tracker) stays(e event) bool {
	n := 0
	for j := e.to; j < e.to+10; j++ {
		if math.Abs(t.l.frames.at(j).pitch-e.pitch) < runPitch {
			n++
		}
	}
	return n >= 4
}
