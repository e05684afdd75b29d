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
	since  time.Time // when the last edit was seen; zero when all is saved
	latest ladder.Routine
	stuck  bool // another has changed the file: the player decides
}

// saveAfter is how long after the last edit the routine is saved.
const saveAfter = time.Second

func newKeeper(told func(error)) *keeper { return &keeper{told: told} }

// use goes on with another file. place is where one that is new will be kept.
func (k *keeper) use(f *routine.File, place string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.file, k.place, k.since, k.stuck = f, place, time.Time{}, false
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
		k.edits, k.since, k.latest = v.Edits, now, v.State.Routine
	}
	due := !k.stuck && !k.since.IsZero() && now.Sub(k.since) >= saveAfter
	var err error
	if due {
		err = k.save()
	}
	k.mu.Unlock()
	if due {
		k.told(err)
	}
}

// flush saves at once what is not saved yet.
func (k *keeper) flush() error {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.since.IsZero() {
		return nil
	}
	return k.save()
}

// save writes the latest version. k.mu is held.
func (k *keeper) save() error {
	err := k.file.Set(k.latest)
	if err == nil {
		err = k.write()
	}
	switch {
	case err == nil:
		k.since = time.Time{}
	case errors.Is(err, routine.ErrChanged):
		k.stuck = true
	default:
		k.since = k.since.Add(10 * time.Second) // try again, not too often
	}
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
	k.since, k.stuck = time.Time{}, false
	return nil
}

// drop forgets what is not saved, for the version on the disk.
func (k *keeper) drop() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.since, k.stuck = time.Time{}, false
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
	k.latest, k.since = r, time.Unix(1, 0)
	return k.save()
}
