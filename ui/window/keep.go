package window

import (
	"errors"
	"sync"
	"time"

	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/routine"
	"footing/ui/window/routines"
)

// keeper saves the routine that is practised, a little after the last edit. It
// is safe for use by several goroutines.
type keeper struct {
	told   func(error) // how a save went
	warned bool        // the player knows that the last save failed; main goroutine only

	mu     sync.Mutex
	file   *routine.File
	place  string    // where a routine that has no file yet will have one; else empty
	edits  uint64    // seen of the session
	dirty  bool      // latest is not saved yet
	due    time.Time // when it shall be
	latest ladder.Routine
	stuck  bool // another has changed the file: the player decides
}

// The routine is saved a while after the last edit; a save that failed is tried
// again.
const (
	saveAfter = time.Second
	tryAgain  = 10 * time.Second
)

func newKeeper(told func(error)) *keeper { return &keeper{told: told} }

// use goes on with another file. place is where one that is new will be kept.
func (k *keeper) use(f *routine.File, place string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.file, k.place, k.dirty, k.stuck = f, place, false, false
}

// seen takes note of the edits so far as saved.
func (k *keeper) seen(edits uint64) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.edits = edits
}

// look takes note of an edit, and saves when the last one is a while ago.
func (k *keeper) look(v conduct.View, now time.Time) {
	k.mu.Lock()
	if v.Edits != k.edits {
		k.edits, k.latest = v.Edits, v.State.Routine
		k.dirty, k.due = true, now.Add(saveAfter)
	}
	save := k.dirty && !k.stuck && !now.Before(k.due)
	var err error
	if save {
		if err = k.save(); err != nil {
			k.due = now.Add(tryAgain)
		}
	}
	k.mu.Unlock()
	if save {
		k.told(err)
	}
}

// flush saves at once what is not saved yet.
func (k *keeper) flush() error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if !k.dirty {
		return nil
	}
	return k.save()
}

// settle saves at once what is edited, for a view that reads the file.
func (k *keeper) settle(v conduct.View, now time.Time) {
	k.look(v, now)
	k.mu.Lock()
	save := k.dirty && !k.stuck
	k.mu.Unlock()
	if save {
		k.told(k.flush())
	}
}

// last saves at once and for good: where another has changed the file, in one
// beside it.
func (k *keeper) last() error {
	err := k.flush()
	if errors.Is(err, routine.ErrChanged) {
		return k.both()
	}
	return err
}

// save writes the latest version. k.mu is held.
func (k *keeper) save() error {
	err := k.file.Set(k.latest)
	if err == nil {
		err = k.write()
	}
	k.dirty = err != nil
	k.stuck = errors.Is(err, routine.ErrChanged)
	return err
}

// write puts the file where it belongs. k.mu is held.
func (k *keeper) write() error {
	if k.place == "" {
		return k.file.Save()
	}
	err := routines.SaveNew(k.file, k.place)
	if err == nil {
		k.place = ""
	}
	return err
}

// both keeps the player's version in a file beside the other.
func (k *keeper) both() error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if err := k.file.Set(k.latest); err != nil {
		return err
	}
	if _, err := k.file.SaveCopy(); err != nil {
		return err
	}
	k.dirty, k.stuck = false, false
	return nil
}

// drop forgets what is not saved, for the version on the disk.
func (k *keeper) drop() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.dirty, k.stuck = false, false
}

// path is where the routine is kept, empty while it has no file.
func (k *keeper) path() string {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.place != "" {
		return ""
	}
	return k.file.Path()
}

// replace saves another version of the routine at once.
func (k *keeper) replace(r ladder.Routine) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.latest = r
	return k.save()
}
