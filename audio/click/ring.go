package click

import "sync/atomic"

// Ring is a queue between exactly one producer and one consumer, each in a
// goroutine of its own. Neither takes a lock, waits or allocates.
type Ring[T any] struct {
	slots      []T
	head, tail atomic.Uint64 // head: next to take, tail: next to fill
}

// NewRing returns a ring that holds up to size values, rounded up to a power
// of two.
func NewRing[T any](size int) *Ring[T] {
	n := 1
	for n < size {
		n *= 2
	}
	return &Ring[T]{slots: make([]T, n)}
}

// Push adds v. It reports false, and adds nothing, when the ring is full.
// Producer only.
func (r *Ring[T]) Push(v T) bool {
	tail := r.tail.Load()
	if tail-r.head.Load() == uint64(len(r.slots)) {
		return false
	}
	r.slots[tail&uint64(len(r.slots)-1)] = v
	r.tail.Store(tail + 1)
	return true
}

// Pop takes the oldest value. It reports false when there is none. Consumer
// only.
func (r *Ring[T]) Pop() (T, bool) {
	var none T
	head := r.head.Load()
	if head == r.tail.Load() {
		return none, false
	}
	slot := &r.slots[head&uint64(len(r.slots)-1)]
	v := *slot
	*slot = none
	r.head.Store(head + 1)
	return v, true
}

// Peek returns the oldest value and leaves it there. Consumer only.
func (r *Ring[T]) Peek() (T, bool) {
	head := r.head.Load()
	if head == r.tail.Load() {
		var none T
		return none, false
	}
	return r.slots[head&uint64(len(r.slots)-1)], true
}
