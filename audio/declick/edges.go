package declick

// edges finds in a stream the edges that no breath makes: the second difference
// leaps up for a moment and is down again, or leaps up out of silence.
type edges struct {
	ms     int // samples in a millisecond
	next   int // place of the next millisecond to look at
	blocks []steepest
}

// steepest is the greatest squared second difference of a millisecond, and its place.
type steepest struct {
	power float64
	at    int
}

const (
	edgeBeforeMs = 12 // of sound that an edge stands out of
	edgeAfterMs  = 32 // in which it is down again
	edgeRestMs   = 24 // after which it is
	edgeTopMs    = 5  // in which it is strongest, but for a ripple
	edgeRipple   = 2.0
	// By how much, in power, it stands out, and goes down.
	edgeJump = 4.0
	edgeFall = 1.5
	// One out of silence is an edge though a ringing click in a room grows after it.
	edgeLeap = 60.0
	edgeRing = 3.0
	// What is weaker is no edge.
	leastEdge = 1e-9
)

// look takes the next millisecond of x, which holds two samples more, and tells
// whether an edge lay edgeAfterMs before.
func (e *edges) look(x []float32) (at int, ok bool) {
	var b steepest
	for i := range e.ms {
		if d := float64(x[i]) - 2*float64(x[i+1]) + float64(x[i+2]); d*d > b.power {
			b = steepest{d * d, e.next + i + 1}
		}
	}
	e.next += e.ms
	e.blocks = append(e.blocks, b)
	const span = edgeBeforeMs + 1 + edgeAfterMs
	if len(e.blocks) < span {
		return 0, false
	}
	if len(e.blocks) > span {
		e.blocks = e.blocks[:copy(e.blocks, e.blocks[1:])]
	}
	most := func(blocks []steepest) (m float64) {
		for _, b := range blocks {
			m = max(m, b.power)
		}
		return m
	}
	k := edgeBeforeMs
	b = e.blocks[k]
	if b.power < leastEdge || b.power < e.blocks[k-1].power || edgeRipple*b.power < most(e.blocks[k+1:k+edgeTopMs]) {
		return 0, false
	}
	before, after := most(e.blocks[:k-1]), most(e.blocks[k+edgeRestMs:])
	return b.at, b.power > edgeJump*before && b.power > edgeFall*after || b.power > edgeLeap*before && edgeRing*b.power > after
}
