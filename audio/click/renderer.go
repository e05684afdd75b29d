package click

import (
	"math"
	"sync/atomic"
)

// DefaultVolume is the volume of a new renderer, and DefaultModelLevel the level
// of its model: both modest.
const (
	DefaultVolume     = 0.5
	DefaultModelLevel = 0.5
)

// MarkKind says what a [Mark] reports.
type MarkKind uint8

// What is reported: a phrase began, a stroke was reached (sounding or silent),
// a phrase ended by its length, the click was stopped, the click stopped by
// itself after a final phrase.
const (
	Began MarkKind = iota
	Struck
	Ended
	Stopped
	RanOut
)

// Mark reports what a renderer did at a frame.
type Mark struct {
	Kind  MarkKind
	Frame int64 // counted from the renderer's first frame
	// Phrase is the phrase concerned; nil for Stopped and RanOut. It is shared:
	// read only.
	Phrase *Phrase
	Stroke int   // index into the phrase's strokes, for Struck
	Tempo  Tempo // the tempo in force
}

// Renderer turns phrases into samples: the strokes of the click, and beside them
// the tones of a model, on a level of their own, and what is spoken. It pulls them from a
// ring, plays each to its end on exact places, and when the ring is empty at a boundary it
// vamps plain beats at the tempo in force until a phrase arrives.
//
// Three goroutines may use a renderer at once: one that calls Render (the
// audio callback: it takes no lock and allocates nothing), one that feeds
// phrases (Queue, Replace, Start, Stop, SetTempo), and one that takes marks
// (NextMark). SetVolume, SetKit, Preview, Try, SetWind, SetModelLevel and Frames are
// safe from any.
type Renderer struct {
	rate  int
	queue *Ring[*Phrase]
	marks *Ring[Mark]

	kit       atomic.Pointer[Kit]
	volume    atomic.Uint32 // float32 bits
	wind      atomic.Pointer[Wind]
	modelled  atomic.Uint32 // float32 bits: the model's level
	transport atomic.Uint64 // starts and stops so far; odd while running
	validFrom atomic.Uint64 // phrases with a lower Seq are passed over
	retempo   atomic.Uint64 // Seq of the last phrase it holds for << 20 | tempo
	frames    atomic.Int64
	lost      atomic.Uint64
	trial     atomic.Pointer[Trial] // asked for, nil once it is taken

	// What follows belongs to Render alone.
	mix     mixer
	model   model
	heard   uint64 // the transport as last seen
	playing bool   // a phrase is under way
	trying  int    // frames for which a drone is still on trial
	now     int64  // the frame that is rendered next
	sounds  *Sounds
	right   []float32 // one channel of a block
	middle  []float32 // what is on both, where the channels differ
	line    Timeline
	phrase  *Phrase
	next    int     // the next stroke of phrase
	tone    int     // the next tone of phrase
	word    int     // the next word of phrase
	led     *Phrase // whose first word has begun already
	what    happening
	due     int64 // the frame of what comes next
	vamp    *Phrase
	kept    keeper
}

// happening is what comes next in a phrase.
type happening uint8

const (
	stroke  happening = iota // or the phrase's end
	onset                    // of a tone
	release                  // of the tone that holds
	word                     // is spoken
	lead                     // into the first word of the phrase that waits
)

// NewRenderer returns a silent renderer at rate frames a second (8 000 to
// 384 000) that strikes with kit.
func NewRenderer(rate int, kit *Kit) *Renderer {
	r := &Renderer{
		rate:   rate,
		queue:  NewRing[*Phrase](64),
		marks:  NewRing[Mark](4096),
		mix:    newMixer(rate, DefaultVolume),
		model:  newModel(rate),
		sounds: usual, right: make([]float32, blockFrames), middle: make([]float32, blockFrames),
		vamp: &Phrase{Kind: Vamp, Length: Whole(1),
			Strokes: []Stroke{{Part: InVamp, Dynamics: MezzoForte, Voice: BeatVoice, Rank: BeatRank}}},
	}
	r.kit.Store(kit)
	r.SetVolume(DefaultVolume)
	r.SetModelLevel(DefaultModelLevel)
	return r
}

// Rate is the number of frames a second.
func (r *Renderer) Rate() int { return r.rate }

// Frames is how many frames have been rendered, silence included.
func (r *Renderer) Frames() int64 { return r.frames.Load() }

// SetVolume sets the level, 0 to 1, reached on a ramp of at most 10 ms.
func (r *Renderer) SetVolume(v float32) {
	r.volume.Store(math.Float32bits(min(max(v, 0), 1)))
}

// SetKit changes the timbre from the next stroke on. The kit's rate must be
// the renderer's.
func (r *Renderer) SetKit(k *Kit) { r.kit.Store(k) }

// Preview strikes a beat once, at mf, so that a timbre is heard; while the click runs
// it does nothing.
func (r *Renderer) Preview() { r.Try(Trial{Rank: BeatRank, Voice: BeatVoice, Dynamics: MezzoForte}) }

// Try sounds a trial once, in place of the one before; while the click runs it does
// nothing.
func (r *Renderer) Try(t Trial) { r.trial.Store(&t) }

// try sounds what is on trial in a block of so many frames.
func (r *Renderer) try(frames int) {
	if r.trying > 0 {
		if r.trying -= frames; r.trying <= 0 && !r.playing {
			r.mix.drone.want(nil)
		}
	}
	if r.trial.Load() == nil {
		return
	}
	t := r.trial.Swap(nil)
	if r.heard%2 == 1 {
		return
	}
	r.mix.cut(false)
	sounds := t.Sounds.or()
	sounds.strike(&r.mix, r.kit.Load(), t.Rank, t.Voice, t.Dynamics)
	r.mix.drone.want(nil)
	if r.trying = 0; t.Drone && sounds.Drone != nil {
		r.mix.drone.want(sounds.Drone)
		r.trying = trialSeconds * r.rate
	}
}

// SetModelLevel sets the level of the model, 0 to 1, reached on a ramp of at most
// 10 ms. The volume of the click has no say in it.
func (r *Renderer) SetModelLevel(v float32) {
	r.modelled.Store(math.Float32bits(min(max(v, 0), 1)))
}

// SetWind changes what the tones of phrases sound with from the next tone on; nil,
// as in a new renderer, is silence. The wind's rate must be the renderer's.
func (r *Renderer) SetWind(w *Wind) { r.wind.Store(w) }

// Queue adds a phrase behind those that wait. Its Seq must be above that of
// every phrase before it. It reports false when the ring is full.
func (r *Renderer) Queue(p Phrase) bool { return r.queue.Push(&p) }

// Replace passes over every waiting phrase that has not begun and queues p in
// their place. The phrase that sounds now goes on to its end. It reports false
// when the ring is full; the waiting phrases are passed over all the same.
func (r *Renderer) Replace(p Phrase) bool {
	// Queued first: at no moment is the ring without a phrase.
	ok := r.Queue(p)
	r.validFrom.Store(p.Seq)
	return ok
}

// Start lets the click run: the first waiting phrase begins with the next
// frame that is rendered. Without one the renderer waits in silence.
func (r *Renderer) Start() {
	if t := r.transport.Load(); t%2 == 0 {
		r.transport.Store(t + 1)
	}
}

// Stop ends the click within 5 ms and passes over every phrase with a Seq
// below from.
func (r *Renderer) Stop(from uint64) {
	r.validFrom.Store(from)
	if t := r.transport.Load(); t%2 == 1 {
		r.transport.Store(t + 1)
	}
}

// SetTempo changes the tempo by hand, heard at the next slot: it holds for the
// phrase that sounds now and for every waiting one up to the Seq through.
func (r *Renderer) SetTempo(t Tempo, through uint64) {
	r.retempo.Store(through<<20 | uint64(t.Clamp()))
}

// NextMark takes the oldest mark. It reports false when there is none.
func (r *Renderer) NextMark() (Mark, bool) { return r.marks.Pop() }

// LostMarks counts the marks that nobody took in time.
func (r *Renderer) LostMarks() uint64 { return r.lost.Load() }

// blockFrames is how much is rendered at once where there are two channels.
const blockFrames = 4096

// Render fills dst with interleaved stereo samples, len(dst)/2 frames: left and right
// the same but for strokes that have a side. It takes no lock, allocates nothing and
// never blocks.
func (r *Renderer) Render(dst []float32) {
	for len(dst) > 1 {
		frames := min(len(dst)/2, blockFrames)
		// The latter half is read before it is written over.
		left, right := dst[frames:2*frames], r.right[:frames]
		r.render(left, right)
		interleave(dst, left, right)
		dst = dst[2*frames:]
	}
}

// RenderMono is Render with one channel, for files. Strokes have no sides in it.
func (r *Renderer) RenderMono(dst []float32) { r.render(dst, nil) }

// render fills dst, and right where that is not nil.
func (r *Renderer) render(dst, right []float32) {
	clear(dst)
	volume, modelled := r.enter(len(dst))
	for len(dst) > 0 {
		n := r.reachable(len(dst))
		beside := min(n, len(right))
		r.mixSpan(dst[:n], right[:beside], volume, modelled)
		r.now += int64(n)
		dst, right = dst[n:], right[beside:]
	}
	r.frames.Store(r.now)
}

// enter sees what was asked for since the last block, and returns the levels that hold
// in this one, of so many frames.
func (r *Renderer) enter(frames int) (volume, modelled float32) {
	r.followTransport()
	r.try(frames)
	volume = math.Float32frombits(r.volume.Load())
	modelled = math.Float32frombits(r.modelled.Load())
	if len(r.model.tones) == 0 {
		r.model.level = modelled
	}
	if r.playing {
		r.schedule() // the phrase that leads on may be another than before
	}
	return volume, modelled
}

// reachable does what is due now, and returns how many frames, most at the most, can be
// mixed before the next is due.
func (r *Renderer) reachable(most int) int {
	if r.heard%2 == 0 {
		return most
	}
	if !r.playing {
		r.begin(NewTimeline(r.now, MinTempo, r.rate), false)
	}
	for r.playing && r.due <= r.now {
		r.reach()
	}
	if !r.playing {
		return most
	}
	return int(min(int64(most), r.due-r.now))
}

// mixSpan mixes all that sounds into dst, and into right where that is not empty.
func (r *Renderer) mixSpan(dst, right []float32, volume, modelled float32) {
	if len(right) == 0 || !r.mix.sided() {
		contain(dst[:max(r.mix.add(dst, nil, volume), r.model.add(dst, modelled))])
		copy(right, dst)
		return
	}
	n, middle := r.mix.add(dst, right, volume), r.middle[:len(dst)]
	clear(middle)
	if sounded := r.model.add(middle, modelled); sounded > 0 {
		n = max(n, sounded)
		for i, s := range middle[:sounded] {
			dst[i] += s
			right[i] += s
		}
	}
	contain(dst[:n])
	contain(right[:n])
}

// followTransport sees starts and stops. A stop and a start in one go still
// cut the phrase that was under way.
func (r *Renderer) followTransport() {
	t := r.transport.Load()
	if t == r.heard {
		r.dropStale()
		return
	}
	if r.playing {
		r.mix.cut(false)
		r.model.cut()
		r.mix.drone.want(nil)
		r.playing, r.phrase, r.led = false, nil, nil
		r.report(Mark{Kind: Stopped, Frame: r.now, Tempo: r.line.Tempo()})
	}
	r.heard = t
	r.dropStale()
}

// dropStale passes over the phrases that have been replaced.
func (r *Renderer) dropStale() {
	for {
		p, ok := r.queue.Peek()
		if !ok || p.Seq >= r.validFrom.Load() {
			return
		}
		r.queue.Pop()
	}
}

// begin takes the next phrase and lays it at the start of line. With vamping
// it plays a beat by itself when nothing waits.
func (r *Renderer) begin(line Timeline, vamping bool) {
	r.dropStale()
	p, ok := r.queue.Pop()
	if !ok {
		if !vamping {
			return
		}
		p = r.vamp
	}
	r.line, r.phrase, r.next, r.tone, r.word, r.playing = line, p, 0, 0, 0, true
	switch r.led {
	case nil:
	case p:
		r.word = 1
	default:
		r.mix.cut(true) // another phrase than the one that it led to
	}
	r.led = nil
	if p != r.vamp {
		r.line.Change(Beats{}, r.tempoOf(p))
		r.sounds = p.Sounds.or()
	}
	r.mix.drone.want(r.sounds.Drone)
	r.report(Mark{Kind: Began, Frame: r.line.At(Beats{}).Round(), Phrase: p, Tempo: r.line.Tempo()})
	r.skipTones(Beats{})
	r.schedule()
}

// tempoOf is the phrase's tempo, or the one set by hand since it was made.
func (r *Renderer) tempoOf(p *Phrase) Tempo {
	const tempoBits = 1<<20 - 1
	if by := r.retempo.Load(); p.Seq <= by>>20 && by != 0 {
		return Tempo(by & tempoBits)
	}
	return p.Tempo.Clamp()
}

// schedule finds what comes next. Of a stroke and a tone in one place the stroke
// is first, since the tempo may change there; a timeline must not be asked for
// places before such a change.
func (r *Renderer) schedule() {
	at := r.phrase.Length
	if r.next < len(r.phrase.Strokes) {
		at = r.phrase.Strokes[r.next].At
	}
	r.what, r.due = stroke, r.line.At(at).Round()
	if r.tone < len(r.phrase.Tones) && r.phrase.Tones[r.tone].At.Less(at) {
		r.what, r.due = onset, r.line.At(r.phrase.Tones[r.tone].At).Round()
	}
	if r.model.held && !r.model.joined {
		if from := r.model.releases(r.toneEnd()); from <= r.due {
			r.what, r.due = release, from
		}
	}
	r.scheduleWord()
}

// scheduleWord lets the next word come first, where it begins before what is due.
// After the last word of a phrase that is the one with which the next phrase begins.
func (r *Renderer) scheduleWord() {
	words, what, offset := r.phrase.Words, word, Beats{}
	i := r.word
	if i == len(words) {
		next, ok := r.queue.Peek()
		if !ok || r.led != nil || r.phrase.Final || len(next.Words) == 0 || next.Words[0].At != (Beats{}) {
			return
		}
		words, what, offset, i = next.Words, lead, r.phrase.Length, 0
	}
	if from := r.spokenFrom(&words[i], offset); from <= r.due {
		r.what, r.due = what, max(from, r.now)
	}
}

// spokenFrom is the frame at which a word of a phrase that begins at a place of this
// one begins.
func (r *Renderer) spokenFrom(w *Word, offset Beats) int64 {
	return r.line.At(offset.Add(w.At)).Round() - int64(w.Lead)
}

// speak begins a word.
func (r *Renderer) speak(w *Word, offset Beats) {
	late := r.now - r.spokenFrom(w, offset)
	r.mix.speak(left(w.Sound, late), late > 0)
}

// skipWords passes over words that should have been spoken before what has been
// reached.
func (r *Renderer) skipWords(reached Beats) {
	for r.word < len(r.phrase.Words) && r.phrase.Words[r.word].At.Less(reached) {
		r.word++
	}
}

// toneEnd is the frame at which the tone that holds ends.
func (r *Renderer) toneEnd() int64 { return r.line.At(r.model.ends).Round() }

// sound begins the tone that is due.
func (r *Renderer) sound() {
	tones := r.phrase.Tones
	t := tones[r.tone]
	r.tone++
	var next *Tone
	if r.tone < len(tones) {
		next = &tones[r.tone]
	}
	ends, joined := t.until(r.line.Tempo(), next)
	if r.phrase.Length.Cmp(ends) <= 0 {
		ends, joined = r.phrase.Length, false
	}
	r.model.sound(r.wind.Load(), t, r.now, ends, joined)
}

// skipTones passes over tones that cannot sound: of no length, or that should have
// begun before what has been reached.
func (r *Renderer) skipTones(reached Beats) {
	for ; r.tone < len(r.phrase.Tones); r.tone++ {
		if t := &r.phrase.Tones[r.tone]; t.Length.Sign() > 0 && !t.At.Less(reached) {
			return
		}
	}
}

// reach does what is due: it strikes a stroke, begins or ends a tone, or goes on to
// the next phrase.
func (r *Renderer) reach() {
	switch r.what {
	case onset:
		reached := r.phrase.Tones[r.tone].At
		r.sound()
		r.skipTones(reached)
		r.schedule()
		return
	case release:
		r.model.release(r.toneEnd())
		r.schedule()
		return
	case word:
		w := &r.phrase.Words[r.word]
		r.speak(w, Beats{})
		r.word++
		r.skipWords(w.At)
		r.schedule()
		return
	case lead:
		r.led, _ = r.queue.Peek()
		r.speak(&r.led.Words[0], r.phrase.Length)
		r.schedule()
		return
	}
	if r.next == len(r.phrase.Strokes) {
		r.report(Mark{Kind: Ended, Frame: r.due, Phrase: r.phrase, Tempo: r.line.Tempo()})
		if r.phrase.Final && r.transport.CompareAndSwap(r.heard, r.heard+1) {
			r.heard++
			r.mix.drone.want(nil)
			r.playing, r.phrase = false, nil
			r.report(Mark{Kind: RanOut, Frame: r.due, Tempo: r.line.Tempo()})
			return
		}
		r.line.Advance(r.phrase.Length)
		r.begin(r.line, true)
		return
	}
	s := &r.phrase.Strokes[r.next]
	r.sounds.strike(&r.mix, r.kit.Load(), s.Rank, s.Voice, s.Dynamics)
	if r.phrase != r.vamp {
		r.line.Change(s.At, r.tempoOf(r.phrase))
	}
	r.skipTones(s.At)
	r.skipWords(s.At)
	r.report(Mark{Kind: Struck, Frame: r.due, Phrase: r.phrase, Stroke: r.next, Tempo: r.line.Tempo()})
	r.next++
	r.schedule()
}

func (r *Renderer) report(m Mark) {
	if !r.marks.Push(m) {
		r.lost.Add(1)
	}
}
