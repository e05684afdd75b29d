// Package finder looks for the notes of the step that a view shows, where files
// may be waited for.
package finder

import (
	"context"
	"path/filepath"
	"reflect"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
)

// Finder looks for notes. Its methods are for the main goroutine, and wait for
// nothing.
type Finder struct {
	// Path is the file of the routine whose steps are shown.
	Path func() string
	// Read has read done where files may be waited for, one after the other, and
	// then show on the main goroutine.
	Read func(read, show func())

	shelf  *notesfile.Shelf // belongs to what is read
	sought *sought
	giveUp context.CancelFunc // ends the search; nil while there is none
}

// sought is what notes are looked for: a step, but for its chunk, of a routine in
// a file.
type sought struct {
	path string
	step ladder.Step
}

// Find looks for the notes of a step as [ladder.Routine.On] has it, unless those
// of the same were looked for last: it may be called as often as anything changes.
// found is called on the main goroutine once they are there, or with what keeps
// them from being found, unless others are looked for by then; notes are nil for a
// step without any.
func (f *Finder) Find(step ladder.Step, found func(*notes.Notes, error)) {
	want := &sought{path: f.Path(), step: step}
	want.step.Chunk, want.step.Begins = ladder.Chunk{}, nil
	if f.sought != nil && reflect.DeepEqual(*want, *f.sought) {
		return
	}
	if f.giveUp != nil {
		f.giveUp()
	}
	anew := f.sought == nil
	ctx, cancel := context.WithCancel(context.Background())
	f.sought, f.giveUp = want, cancel
	var got notesfile.Found
	var err error
	f.Read(func() {
		if dir := filepath.Dir(want.path); anew || f.shelf == nil || f.shelf.Dir != dir {
			f.shelf = &notesfile.Shelf{Dir: dir}
		}
		got, err = f.shelf.Notes(ctx, step)
	}, func() {
		cancel()
		if f.sought != want {
			return
		}
		f.giveUp = nil
		found(got.Notes, err)
	})
}

// Tell has a session know where the notes of its step begin, which were found for it
// as [ladder.Routine.On] has it, or that none are, nil; and reports whether that was
// news. The notes are those of the step as it is: see [notes.Alike].
func Tell(do func(ladder.Event), step ladder.Step, n *notes.Notes) bool {
	var begins []click.Beats
	if n != nil {
		begins = n.Begins()
	}
	if slices.Equal(step.Begins, begins) {
		return false
	}
	do(ladder.Know{Step: step, Begins: begins})
	return true
}

// Forget has the next search read its score anew.
func (f *Finder) Forget() { f.sought = nil }

// GiveUp ends a search; the next begins anew.
func (f *Finder) GiveUp() {
	if f.giveUp != nil {
		f.giveUp()
		f.giveUp, f.sought = nil, nil
	}
}

// Busy reports whether notes are being looked for.
func (f *Finder) Busy() bool { return f.giveUp != nil }
