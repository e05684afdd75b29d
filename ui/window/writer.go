package window

import (
	"context"
	"sync"
)

// writer does what waits for the disk, one job after the other, on a goroutine of
// its own: no other goroutine of the window ever waits for a file.
type writer struct {
	mu   sync.Mutex
	jobs []func()
	wake chan struct{} // has room for one
}

func newWriter() *writer { return &writer{wake: make(chan struct{}, 1)} }

// add has a job done after those before it. It may be called by any goroutine,
// and waits for nothing.
func (w *writer) add(job func()) {
	w.mu.Lock()
	w.jobs = append(w.jobs, job)
	w.mu.Unlock()
	select {
	case w.wake <- struct{}{}:
	default:
	}
}

// run does the jobs until ctx ends.
func (w *writer) run(ctx context.Context) {
	for ctx.Err() == nil {
		w.drain()
		select {
		case <-ctx.Done():
		case <-w.wake:
		}
	}
}

// drain does the jobs that are waiting.
func (w *writer) drain() {
	for {
		w.mu.Lock()
		jobs := w.jobs
		w.jobs = nil
		w.mu.Unlock()
		if len(jobs) == 0 {
			return
		}
		for _, job := range jobs {
			job()
		}
	}
}
