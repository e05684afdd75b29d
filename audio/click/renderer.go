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
