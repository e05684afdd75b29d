package takes

import (
	"math/rand/v2"

	"footing/audio/hear"
)

// Performance is a made-up one on a regular grid whose first slot lies at a
// second: its onsets alone, without a sound.
type Performance struct {
	BPM         float64
	Slots, Reps int // slots a beat, and beats
	// Scatter is the standard deviation of each note's place, and Late by how
	// much a slot (counted from 1) comes late in every beat, in milliseconds.
	Scatter float64
	Late    map[int]float64
	// Offset in seconds, and Drift as a share of the tempo, are of the whole.
	Offset, Drift float64
	Seed          uint64
}

// Onsets are the notes, in order as long as the scatter leaves them so.
func (p Performance) Onsets() []hear.Onset {
	rng := rand.New(rand.NewPCG(p.Seed, 1))
	step := 60 / p.BPM / float64(p.Slots)
	var out []hear.Onset
	for i := range p.Slots * p.Reps {
		s := i%p.Slots + 1
		at := 1 + p.Offset + float64(i)*step*(1+p.Drift) + (rng.NormFloat64()*p.Scatter+p.Late[s])/1000
		out = append(out, hear.Onset{Seconds: at, Midi: 60 + s, Certainty: 1})
	}
	return out
}
