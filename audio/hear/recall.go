package hear

// recall knows how each pitch has come up before, and so places a note that
// comes again by the whole of its coming up: what noise or a ringing note hides
// of one beginning it does not hide of all. The notes of a pitch are aligned
// with their running mean (Woody 1967, "Characterization of an adaptive filter
// for the analysis of variable latency neuroelectric signals", Med. Biol. Eng. 5,
// 539-554). That tells how they lie to each other, and nothing of where they
// begin: which is where they were found to on average.
type recall struct {
	ups     *comeUps
	pitches map[int]*pitchRecall
}

// pitchRecall is what is known of one pitch.
type pitchRecall struct {
	mean  comeUp
	notes int // in mean
	// late is by how much later, in seconds, its notes were found than they lie
	// by their alignment: a mean, weighted by how far each alignment is believed.
	late   float64
	shares float64 // the sum of those weights, without the first note's
}

// recalled is what is known of one note, for placing it again later. The zero
// value is of a note that was not aligned.
type recalled struct {
	midi  int
	found float64 // seconds, without it
	shift float64 // seconds from there to its place by alignment
	// share, 0 to 1, is how far the alignment is believed against found. The
	// first note, which the others are aligned to, has the mean share of theirs.
	share float64
	first bool
}

// alignWeight is how well an alignment of a given sharpness and likeness places a
// note, as an inverse variance in units of that of a place found: uncertainty
// goes by these two as in any matched filter. Its value was chosen on sampled
// instruments, where from 15 to 200 it matters little.
const alignWeight = 60.0

func newRecall(fine *ring, hz float64) *recall {
	return &recall{ups: newComeUps(fine, hz), pitches: map[int]*pitchRecall{}}
}

// place takes in a note found at a place in seconds.
func (r *recall) place(found float64, midi int) recalled {
	up := r.ups.hear(found, frequency(float64(midi)))
	a := recalled{midi: midi, found: found}
	p := r.pitches[midi]
	if p == nil {
		r.pitches[midi] = &pitchRecall{mean: up, notes: 1}
		a.first = true
		return a
	}
	to := up.against(p.mean)
	ms := r.ups.step() * 1000
	a.shift = to.steps * r.ups.step()
	weight := alignWeight * to.sharp / (ms * ms) / (1.0001 - to.like*to.like)
	a.share = weight / (1 + weight)
	if a.share <= 0 {
		return a
	}
	p.notes++
	p.mean.mix(1/float64(p.notes), up, to.steps)
	p.shares += a.share
	p.late += a.share * (-a.shift - p.late) / (p.shares + p.firstShare())
	return a
}

// firstShare is the share of the first note: the mean of the others'.
func (p *pitchRecall) firstShare() float64 { return p.shares / float64(max(1, p.notes-1)) }

// seconds is where a note lies by all that is known now.
func (r *recall) seconds(a recalled) float64 {
	p := r.pitches[a.midi]
	if p == nil {
		return a.found
	}
	if a.first {
		a.share = p.firstShare()
	}
	return a.found + a.share*(a.shift+p.late)
}
