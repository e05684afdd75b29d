package hear

// Clipping looks for the flat tops of a recording that was overloaded. It looks
// at each channel by itself, and at samples as they were recorded: once channels
// are mixed, or the rate is changed, nothing is flat any more. It is not safe
// for concurrent use.
type Clipping struct {
	channels []top
	next     int // channel of the next sample
	coarse   bool
	total    int
}

// top is what is known of one channel.
type top struct {
	peak     float32
	previous float32
	run      int // length of the present run of flat samples
	flat     int // samples in such runs, at about this peak
}

const (
	// atPeak is the share of the peak at which a sample may be of a flat top.
	atPeak = 0.99
	// A flat top is samples in a row that are equal: fullRun of them from
	// fullScale on, which 8 bits reach with 0.992, and there to within fullStep, a
	// step of 16 bits and a little, for the sake of dither. Under it, as where an
	// overloaded recording was turned down later, softRun: the crest of a low note
	// may be three or four equal samples wide.
	fullScale = 0.99
	fullRun   = 3
	fullStep  = 1.5 / 32768
	softRun   = 5
	// leastPeak is the level under which nothing is overloaded.
	leastPeak = 0.1
	// higher than a peak by this, another peak makes the tops before it no tops.
	higher = 1.01
	// From these shares of all samples on onsets may suffer. The crests of 8 bits
	// are flat by themselves.
	clippedShare = 0.001
	coarseShare  = 0.1
	coarseBits   = 8
)

// NewClipping is for interleaved samples of so many channels, at least 1, that
// were recorded with so many bits; 0 stands for samples that were never whole
// numbers.
func NewClipping(channels, bits int) *Clipping {
	return &Clipping{channels: make([]top, max(1, channels)), coarse: bits > 0 && bits <= coarseBits}
}

// Add takes the next samples, full scale ±1.
func (c *Clipping) Add(interleaved []float32) {
	for _, v := range interleaved {
		c.channels[c.next].add(v)
		if c.next++; c.next == len(c.channels) {
			c.next = 0
		}
	}
	c.total += len(interleaved)
}

func (t *top) add(v float32) {
	level := max(v, -v)
	if level > t.peak {
		if level > t.peak*higher && t.peak < fullScale {
			t.flat, t.run = 0, 0
		}
		t.peak = level
	}
	onTop := level >= atPeak*t.peak && level >= leastPeak
	full := level >= fullScale
	goesOn := v == t.previous || full && max(v-t.previous, t.previous-v) < fullStep
	t.previous = v
	switch {
	case !onTop:
		t.run = 0
		return
	case !goesOn:
		t.run = 0
	}
	flat := softRun
	if full {
		flat = fullRun
	}
	switch t.run++; {
	case t.run == flat:
		t.flat += flat
	case t.run > flat:
		t.flat++
	}
}

// Share of the samples so far, 0 to 1, that lie on flat tops.
func (c *Clipping) Share() float64 {
	flat := 0
	for _, t := range c.channels {
		flat += t.flat
	}
	return float64(flat) / float64(max(1, c.total))
}

// Clipped reports whether so much is flat that onsets may suffer.
func (c *Clipping) Clipped() bool {
	if c.coarse {
		return c.Share() > coarseShare
	}
	return c.Share() > clippedShare
}
