package hear

import "math"

// recall knows the onset envelopes that each pitch has had before, and so places
// a note that comes again by the whole of its envelope: what noise or a ringing
// note hides of one beginning it does not hide of all. The notes of a pitch are aligned
// with their running mean (Woody 1967, "Characterization of an adaptive filter
// for the analysis of variable latency neuroelectric signals", Med. Biol. Eng. 5,
// 539-554). That tells how they lie to each other, and nothing of where they
// begin: which is where they were found to on average.
type recall struct {
	ups     *envelopes
	pitches map[int]*pitchRecall
}

// pitchRecall is what is known of one pitch.
type pitchRecall struct {
	mean  onsetEnvelope
	notes int // in mean
	// late is by how much later, in seconds, its notes were found than they lie
	// by their alignment: a mean, with the sum of the weights it was taken with,
	// in inverse square milliseconds.
	late, weight float64
}

// recalled is what is known of one note, for placing it again later. The zero
// value is of a note that was not aligned.
type recalled struct {
	midi  int
	found float64 // seconds, without it
	shift float64 // seconds from there to its place by alignment
	// The variances of the two, in square milliseconds.
	foundVar, shiftVar float64
}

const (
	// How uncertain a shift is depends on how sharp and how like the alignment is,
	// as in any matched filter; shiftMs is the standard deviation, in
	// milliseconds, where the sharpness is 1 per square millisecond and half of
	// the power is alike. It was chosen on sampled instruments.
	shiftMs = 0.2
	// referenceVar stands for the variance of the shift of a pitch's first note,
	// to which the others are aligned.
	referenceVar = 1.0
	// pitchOwn is the share of the variance of the places found that all notes of
	// a pitch have in common: how late a soft attack is found hangs on its note.
	// So it was on sampled instruments, from 0.3 of dry takes to 0.5 in noise.
	pitchOwn = 0.4
)

func newRecall(fine *ring, hz float64) *recall {
	return &recall{ups: newEnvelopes(fine, hz, envWindow), pitches: map[int]*pitchRecall{}}
}

// place takes in a note found at a place in seconds, to within some milliseconds
// (standard deviation).
func (r *recall) place(found, ms float64, midi int) recalled {
	up := r.ups.hear(found, frequency(float64(midi)))
	a := recalled{midi: midi, found: found, foundVar: ms * ms, shiftVar: referenceVar}
	p := r.pitches[midi]
	if p == nil {
		r.pitches[midi] = &pitchRecall{mean: up, notes: 1, weight: a.weight()}
		return a
	}
	to := up.against(p.mean)
	if to.sharp == 0 {
		a.shiftVar = math.Inf(1) // it stays where it was found
		return a
	}
	step := r.ups.step()
	a.shift = to.steps * step
	a.shiftVar = 2 * shiftMs * shiftMs * (1.0001 - to.like*to.like) * (step * step * 1e6) / to.sharp
	p.notes++
	p.mean.mix(1/float64(p.notes), up, to.steps)
	p.weight += a.weight()
	p.late += a.weight() * (-a.shift - p.late) / p.weight
	return a
}

// weight of a note in how late its pitch is found.
func (a recalled) weight() float64 { return 1 / (a.foundVar + a.shiftVar) }

// apply places an onset by all that is known now: where it was found and where
// its pitch's other notes say it lies, each by its variance.
func (r *recall) apply(o *Onset) {
	a := o.recalled
	p := r.pitches[a.midi]
	if p == nil {
		return
	}
	share := 0.0
	if p.notes > 1 {
		share = a.foundVar / (a.foundVar + a.shiftVar + 1/p.weight)
	}
	o.Seconds = a.found + share*(a.shift+p.late)
	o.PlacedMs = math.Sqrt(a.foundVar * (1 - (1-pitchOwn)*share))
}
