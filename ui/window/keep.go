package window

import (
	"errors"
	"slices"
	"sync"
	"time"

	"footing/ladder/routine"
	"footing/ui/window/document"
)

// keeper saves what is open, each document a little after its last edit. It is
// safe for use by several goroutines, and never waits for the disk itself.
type keeper struct {
	work  func(job func()) // has a job done that may wait for the disk, after those before it
	clock func() time.Time
	told  func() // called when a save is over, by the goroutine that did it

	mu     sync.Mutex
	docs   []*document.Document // open, or not saved yet
	saving map[*document.Document]bool
}

func newKeeper(work func(func()), clock func() time.Time, told func()) *keeper {
	return &keeper{work: work, clock: clock, told: told, saving: map[*document.Document]bool{}}
}

// hold looks after the documents that are open. One that was open before is
// looked after until it is saved.
func (k *keeper) hold(open ...*document.Document) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.docs = slices.DeleteFunc(k.docs, func(d *document.Document) bool { return !d.Unsaved() })
	for _, d := range open {
		if d != nil && !slices.Contains(k.docs, d) {
			k.docs = append(k.docs, d)
		}
	}
}

// look begins to save what was edited a while ago.
func (k *keeper) look() {
	now := k.clock()
	for _, d := range k.all() {
		if d.Due(now) && k.claim(d) {
			k.begin(d, nil)
		}
	}
}

// flush begins to save at once whatever is not saved.
func (k *keeper) flush() {
	for _, d := range k.all() {
		if d.Unsaved() && !errors.Is(d.Trouble(), routine.ErrChanged) && k.claim(d) {
			k.begin(d, nil)
		}
	}
}

// claim reports false when the document is being saved already.
func (k *keeper) claim(d *document.Document) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	before := k.saving[d]
	k.saving[d] = true
	return !before
}

// save saves a document at once; done is called when that is over, by the
// goroutine that did it.
func (k *keeper) save(d *document.Document, done func(error)) {
	k.claim(d)
	k.begin(d, done)
}

func (k *keeper) begin(d *document.Document, done func(error)) {
	k.work(func() {
		k.mu.Lock()
		delete(k.saving, d) // what is edited from here on is another save's
		k.mu.Unlock()
		err := d.Save(k.clock())
		k.told()
		if done != nil {
			done(err)
		}
	})
}

// both keeps the player's version of a document in a file beside the one that
// another program has written.
func (k *keeper) both(d *document.Document) {
	k.work(func() {
		_ = d.KeepBoth(k.clock()) // the document holds the trouble
		k.told()
	})
}

// last saves everything for good. done is called like that of save.
func (k *keeper) last(done func(error)) {
	k.work(func() {
		var all []error
		for _, d := range k.all() {
			all = append(all, d.Last(k.clock()))
		}
		k.told()
		done(errors.Join(all...))
	})
}

// troubled is the document whose last save failed, first one that another
// program has changed; nil when all is well.
func (k *keeper) troubled() (out *document.Document) {
	for _, d := range k.all() {
		switch err := d.Trouble(); {
		case errors.Is(err, routine.ErrChanged):
			return d
		case err != nil && out == nil:
			out = d
		}
	}
	return out
}

func (k *keeper) all() []*document.Document {
	k.mu.Lock()
	defer k.mu.Unlock()
	return slices.Clone(k.docs)
}
