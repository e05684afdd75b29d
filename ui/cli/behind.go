package cli

// behind does work in order in a goroutine of its own, a little behind the one
// that hands it out, so that a file is written while the next samples are
// rendered. After an error it does no more.
type behind struct {
	work   chan func() error
	failed chan error
}

func newBehind() *behind {
	b := &behind{work: make(chan func() error, 64), failed: make(chan error, 1)}
	go func() {
		var first error
		for work := range b.work {
			if first == nil {
				first = work()
			}
		}
		b.failed <- first
	}()
	return b
}

// do hands out work.
func (b *behind) do(work func() error) { b.work <- work }

// wait ends the goroutine and returns the first error of the work.
func (b *behind) wait() error {
	close(b.work)
	return <-b.failed
}
