package window

import (
	"runtime/debug"
	"time"

	"fyne.io/fyne/v2/canvas"
)

// tidy gives memory back when the window rests. A busy while leaves some behind
// that nobody needs and nobody lets go of as long as nothing happens: texts on the
// graphics card, which Fyne looks through only when it repaints; garbage, which Go
// collects when more is made; and what the card's driver has freed, which the C
// library keeps.
type tidy struct {
	signs uint64    // of life, when they were last looked at
	since time.Time // when they last changed
	done  int       // of the chores, since then
}

// chore is what is to be done now.
type chore int

const (
	nothing chore = iota
	repaint       // so that Fyne lets go of texts that are not shown any more
	release       // give back to the system what is free
)

// chores are what is done in a rest, and how long after its beginning. The first
// comes in any pause that is worth the name; the others once the minute is over for
// which Fyne keeps a text that is not shown (see ValidDuration in its
// internal/cache), the last when that has been painted.
var chores = [...]struct {
	after time.Duration
	do    chore
}{{15 * time.Second, release}, {70 * time.Second, repaint}, {71 * time.Second, release}}

// see is called about once a second with a count that grows whenever something
// happens. Each chore falls due once a rest, one at a call.
func (t *tidy) see(now time.Time, signs uint64, running bool) chore {
	switch {
	case t.since.IsZero() || signs != t.signs || running:
		t.signs, t.since, t.done = signs, now, 0
		return nothing
	case t.done == len(chores) || now.Sub(t.since) < chores[t.done].after:
		return nothing
	}
	t.done++
	return chores[t.done-1].do
}

// stir counts a sign of life. It belongs to the main goroutine.
func (w *Window) stir() { w.stirred++ }

// tidyUp does what falls due while the window rests.
func (w *Window) tidyUp(now time.Time, running bool) {
	switch w.tidy.see(now, w.stirred+w.session.View().Version, running) {
	case repaint:
		canvas.Refresh(w.at(w.root.view).Object())
	case release:
		w.work(w.release)
	}
}

// giveBack gives all memory that is free back to the system. It may take some
// hundredths of a second.
func giveBack() {
	debug.FreeOSMemory()
	trim()
}
