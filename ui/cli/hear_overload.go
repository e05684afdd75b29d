package cli

import "footing/audio/track"

// overload passes samples on and counts those that stand in flat runs at full
// scale, as where a recording was clipped. It looks at each channel by itself:
// once they are mixed, or the rate is changed, nothing is flat any more.
type overload struct {
	track.Reader
	runs  []plateau
	flat  int64
	total int64
}

// plateau is the present run of full samples in one channel.
type plateau struct {
	length int
	below  bool
}

const (
	full    = 0.99 // of the range: 8 bits reach 0.992
	flatRun = 3    // samples in a row: an unclipped crest of 16 bits is shorter
)

func newOverload(r track.Reader) *overload {
	return &overload{Reader: r, runs: make([]plateau, r.Info().Channels)}
}

// Read implements [track.Reader].
func (o *overload) Read(dst []float32) (int, error) {
	n, err := o.Reader.Read(dst)
	o.total += int64(n)
	for i, v := range dst[:n] {
		r := &o.runs[i%len(o.runs)]
		if max(v, -v) < full {
			r.length = 0
			continue
		}
		if below := v < 0; below != r.below {
			r.length, r.below = 0, below
		}
		switch r.length++; {
		case r.length == flatRun:
			o.flat += flatRun
		case r.length > flatRun:
			o.flat++
		}
	}
	return n, err
}

// clipped reports whether so much is flat that onsets may suffer. The crests of
// 8 bits are flat by themselves.
func (o *overload) clipped() bool {
	share := 0.001
	if o.Info().Bits <= 8 {
		share = 0.1
	}
	return float64(o.flat) > share*float64(o.total)
}
