package hear

// ring holds the last samples of a stream, addressed by their place in it, in
// a buffer twice as long so that any stretch is one slice.
type ring struct {
	buf   []float32
	size  int
	total int // samples written so far
}

func newRing(size int) *ring { return &ring{buf: make([]float32, 2*size), size: size} }

func (r *ring) write(x []float32) {
	for _, v := range x {
		i := r.total % r.size
		r.buf[i] = v
		r.buf[i+r.size] = v
		r.total++
	}
}

// first is the oldest place still held.
func (r *ring) first() int { return max(0, r.total-r.size) }

// span returns the samples from..to-1, both clipped to what is held, and the
// place of the first one.
func (r *ring) span(from, to int) ([]float32, int) {
	from = max(from, r.first())
	to = min(to, r.total)
	if to <= from {
		return nil, from
	}
	i := from % r.size
	return r.buf[i : i+to-from], from
}
