// Package document is a routine that lies open in the window: its latest
// version, its file, and whether the one is in the other. The Stand and the
// Routines view work on the same document, so neither can write over what the
// other did. It knows no clock, no goroutine and no widget.
package document

import (
	"errors"
	"reflect"
	"sync"
	"time"

	"footing/ladder"
	"footing/ladder/routine"
)

// File is the file of a document, as [routine.File] is one. Save, SaveAs and
// SaveCopy wait for the disk.
type File interface {
	Path() string
	Routine() ladder.Routine
	// Set takes another version into the text, without writing it.
	Set(ladder.Routine) error
	// Changed reports whether the text is another than on the disk.
	Changed() bool
	Save() error
	SaveAs(path string) error
	SaveCopy() (string, error)
}

// An edit is saved a while after the last one; a save that failed is tried
// again.
const (
	saveAfter = time.Second
	tryAgain  = 10 * time.Second
)

// Document is safe for use by several goroutines. Only [Document.Save],
// [Document.KeepBoth] and [Document.Last] wait for the disk; all else answers at
// once, also while they wait.
type Document struct {
	disk sync.Mutex // held while the file is used
	file File

	mu      sync.Mutex
	now     ladder.Routine
	edits   uint64         // versions since it was opened
	kept    uint64         // the version that the file holds
	held    ladder.Routine // the same
	saves   uint64         // that are over, well or not
	due     time.Time
	path    string // of the file; empty while there is none
	place   string // where a new routine will have its file; empty once it has one
	trouble error  // of the last save
}

// Open is the document of a file that was read.
func Open(f File) *Document {
	return &Document{file: f, now: f.Routine(), held: f.Routine(), path: f.Path()}
}

// Begin is a document that has no file yet; place is where it will have one. It
// is no loss until it is edited or wanted.
func Begin(f File, place string) *Document {
	return &Document{file: f, now: f.Routine(), held: f.Routine(), place: place}
}

// Want says that a document without a file shall have one, edited or not.
func (d *Document) Want() {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.path == "" && d.edits == d.kept {
		d.edits++
	}
}

// Routine is the latest version.
func (d *Document) Routine() ladder.Routine {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now
}

// Held is the version that the file holds, as far as the document knows.
func (d *Document) Held() ladder.Routine {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.held
}

// Path is where the document is kept, empty while it has no file.
func (d *Document) Path() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.path
}

// Place is where the document is kept, or will be.
func (d *Document) Place() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.path != "" {
		return d.path
	}
	return d.place
}

// Name gives a document that has no file yet another place.
func (d *Document) Name(place string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.path == "" {
		d.place = place
	}
}

// Change takes another version. A version that says the same as the latest is no
// edit.
func (d *Document) Change(r ladder.Routine, now time.Time) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if reflect.DeepEqual(d.now, r) {
		return
	}
	d.now = r
	d.edits++
	d.due = now.Add(saveAfter)
}

// State tells one moment of a document from another; states are compared.
type State struct{ edits, saves uint64 }

// State is what the document is in now.
func (d *Document) State() State {
	d.mu.Lock()
	defer d.mu.Unlock()
	return State{d.edits, d.saves}
}

// Unsaved reports whether something would be lost with the document.
func (d *Document) Unsaved() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.edits != d.kept
}

// Due reports whether an edit is to be saved now. Once another program has
// changed the file it is the player who decides.
func (d *Document) Due(now time.Time) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.edits != d.kept && !d.due.IsZero() && !now.Before(d.due) && !errors.Is(d.trouble, routine.ErrChanged)
}

// Trouble is what the last save met, nil when it went well. It wraps
// [routine.ErrChanged] when another program has changed the file: then
// [Document.KeepBoth] goes on, or a document opened anew.
func (d *Document) Trouble() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.trouble
}

// Save writes what is not saved yet, and nothing when nothing is. now is when it
// was begun.
func (d *Document) Save(now time.Time) error { return d.write(now, d.put) }

// KeepBoth saves the document in a file beside its own, and goes on there.
func (d *Document) KeepBoth(now time.Time) error {
	return d.write(now, func() error {
		_, err := d.file.SaveCopy()
		return err
	})
}

// Last saves for good: where another program has changed the file, in one
// beside it.
func (d *Document) Last(now time.Time) error {
	err := d.Save(now)
	if errors.Is(err, routine.ErrChanged) {
		return d.KeepBoth(now)
	}
	return err
}

// Drop forgets what is not saved, for the version on the disk.
func (d *Document) Drop() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.kept, d.trouble = d.edits, nil
	d.saves++
}

// write brings the latest version into the file. What is edited meanwhile is
// saved the next time.
func (d *Document) write(now time.Time, put func() error) error {
	d.disk.Lock()
	defer d.disk.Unlock()
	d.mu.Lock()
	version, edits, unsaved := d.now, d.edits, d.edits != d.kept
	d.mu.Unlock()
	if !unsaved {
		return nil
	}
	err := d.file.Set(version)
	if err == nil {
		err = put()
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.trouble = err
	d.saves++
	if err != nil {
		d.due = now.Add(tryAgain)
		return err
	}
	d.kept, d.held = max(d.kept, edits), version
	d.path, d.place = d.file.Path(), ""
	return nil
}

// put writes the text of the file where it belongs. d.disk is held.
func (d *Document) put() error {
	d.mu.Lock()
	path, place := d.path, d.place
	d.mu.Unlock()
	switch {
	case path == "":
		return saveNew(d.file, place)
	case d.file.Changed():
		return d.file.Save()
	}
	return nil
}
