package journalfile

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"sync"
	"time"

	"footing/ladder/journal"
)

// File is the player's journal, behind one writer: entries are queued without
// waiting for anything, and written by whoever runs [File.Run]. A journal that
// can't be opened or written is left as it is; what is to be kept goes to a file
// beside it meanwhile, and into the journal when that can be written. Its methods
// may be called from any goroutine.
type File struct {
	path  string
	aside []string // files beside it, in the order in which they are tried
	clock func() time.Time
	busy  time.Duration // how long is waited for another program

	wake chan struct{} // has room for one

	mu      sync.Mutex
	queue   []journal.Entry
	trouble *Fault
	waiting int // entries that are kept nowhere yet

	writing sync.Mutex      // held by who writes
	db      *sql.DB         // nil while it isn't open; of whoever holds writing
	late    []journal.Entry // not written anywhere yet; of whoever holds writing
	beside  bool            // something waits in a file beside it; of whoever holds writing
}

// New is a journal at path, which is opened when there is something to read or
// write. aside are folders to which entries go while the journal itself can't be
// written, besides its own; the first that can be written is taken.
func New(path string, clock func() time.Time, aside ...string) *File {
	f := &File{path: path, clock: clock, busy: busy, wake: make(chan struct{}, 1), beside: true}
	f.aside = asideOf(path, aside)
	return f
}

// Put has entries kept, after those before.
func (f *File) Put(entries ...journal.Entry) {
	if len(entries) == 0 {
		return
	}
	f.mu.Lock()
	f.queue = append(f.queue, entries...)
	f.mu.Unlock()
	select {
	case f.wake <- struct{}{}:
	default:
	}
}

// Trouble is why the journal can't be written, nil while it can; and how many
// entries are not even in a file beside it.
func (f *File) Trouble() (nowhere int, trouble error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.trouble == nil {
		return 0, nil
	}
	return f.waiting, f.trouble
}

// Known is what the journal knows already, for a [journal.Book]. It opens the
// journal, and makes it where there is none. The journal is read also where it
// can't be written; the error is a [*Fault] where it can't be read either.
func (f *File) Known(ctx context.Context) ([]journal.Found, error) {
	f.writing.Lock()
	defer f.writing.Unlock()
	if err := f.open(ctx); err == nil {
		f.merge(ctx)
		out, err := known(ctx, f.db)
		return out, fault(f.path, err)
	}
	r, err := Read(ctx, f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return r.Known(ctx)
}

// again is how long after a failure the journal is tried again.
const again = 10 * time.Second

// Run writes what is put, until ctx ends; then it returns, and what is not written
// yet is left to [File.Flush]. after is time.After, or a test's.
func (f *File) Run(ctx context.Context, after func(time.Duration) <-chan time.Time) {
	for {
		var retry <-chan time.Time
		if _, err := f.Trouble(); err != nil {
			retry = after(again)
		}
		select {
		case <-ctx.Done():
			return
		case <-f.wake:
		case <-retry:
		}
		f.Write(ctx)
	}
}

// Write writes what was put so far, and waits for the disk.
func (f *File) Write(ctx context.Context) {
	f.writing.Lock()
	defer f.writing.Unlock()
	f.mu.Lock()
	entries := append(f.late, f.queue...)
	f.queue = nil
	f.mu.Unlock()
	f.late = f.write(ctx, entries)
	f.mu.Lock()
	f.waiting = len(f.late)
	f.mu.Unlock()
}

// write writes entries into the journal, or beside it, and returns those for which
// there is no room anywhere. f.writing is held.
func (f *File) write(ctx context.Context, entries []journal.Entry) []journal.Entry {
	err := f.open(ctx)
	if err == nil {
		err = f.merge(ctx) // what is older comes first
	}
	if err == nil && len(entries) > 0 {
		err = fault(f.path, keep(ctx, f.db, entries))
	}
	f.tell(err)
	if err == nil || len(entries) == 0 {
		return nil
	}
	if f.putAside(ctx, entries) == nil {
		return nil
	}
	return entries
}

// open opens the journal, if it isn't. f.writing is held.
func (f *File) open(ctx context.Context) error {
	if f.db != nil {
		// A journal that was moved away under us is another file now.
		if _, err := os.Stat(f.path); err == nil {
			return nil
		}
		_ = f.db.Close()
		f.db = nil
	}
	steps, err := migrations()
	if err != nil {
		return err
	}
	f.db, err = open(ctx, f.path, f.busy, steps, f.clock())
	f.tell(err)
	return err
}

// tell notes whether there is trouble.
func (f *File) tell(err error) {
	var trouble *Fault
	if err != nil && !errors.As(err, &trouble) {
		trouble = &Fault{Path: f.path, Kind: Other, Err: err}
	}
	f.mu.Lock()
	f.trouble = trouble
	f.mu.Unlock()
}

// Flush writes what was put, and returns when it is safely on the disk, in the
// journal or beside it, or when ctx ends, whatever the disk does.
func (f *File) Flush(ctx context.Context) error {
	done := make(chan error, 1)
	go func() {
		f.Write(ctx)
		nowhere, err := f.Trouble()
		if nowhere == 0 {
			err = nil
		}
		done <- err
	}()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return fmt.Errorf("the journal %s cannot be written in time", f.path)
	}
}

// Close closes the file once what is being written is written. It is not to be
// written to any more.
func (f *File) Close() error {
	f.writing.Lock()
	defer f.writing.Unlock()
	if f.db == nil {
		return nil
	}
	err := f.db.Close()
	f.db = nil
	return fault(f.path, err)
}

// Read opens the journal to be read, with all in it that was put before. It waits
// for the disk.
func (f *File) Read(ctx context.Context) (*Reader, error) {
	f.Write(ctx)
	return Read(ctx, f.path)
}

// Waiting is how many entries were put and not written yet.
func (f *File) Waiting() int {
	f.mu.Lock()
	defer f.mu.Unlock()
	return len(f.queue) + f.waiting
}

// asideOf are the names of the files beside a journal.
func asideOf(path string, folders []string) []string {
	out := []string{besideName(path)}
	for _, folder := range folders {
		if name := besideIn(path, folder); !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}
