// Package store keeps small values by name in one file, which is written whole
// or not at all, and never where the player waits for it: what is set changes
// memory, and a goroutine of its own writes a little later. It knows no name.
package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"footing/files"
)

// Store holds values: texts, yes or no, finite numbers, and lists of texts. Its
// methods may be called from any goroutine, and only Flush, Run and what opens it
// wait for the disk.
//
// Several programs may have one file open: what the others set since is taken
// over when this one writes.
type Store struct {
	path  string
	check Check
	fresh bool

	mu     sync.Mutex
	values map[string]any    // string, bool, float64, []string
	edits  uint64            // how often something was set
	dirty  map[string]uint64 // the edit that set a name, where the file does not hold it yet
	stale  bool              // the file holds something that is to be left out
	sealed error             // why the file must not be written

	writing sync.Mutex        // held by who writes
	read    [sha256.Size]byte // of the file when it was last read or written; of whoever holds writing
	wake    chan struct{}     // something was set
}

// Fresh reports whether there was no file when the store was opened.
func (s *Store) Fresh() bool { return s.fresh }

// String is the text of that name, empty when there is none.
func (s *Store) String(name string) string { return get(s, name, "") }

// Bool is the yes or no of that name, false when there is none.
func (s *Store) Bool(name string) bool { return get(s, name, false) }

// Int is the number of that name, 0 when there is none.
func (s *Store) Int(name string) int { return s.IntWithFallback(name, 0) }

// IntWithFallback is the number of that name, cut to a whole one, or fallback
// when there is none.
func (s *Store) IntWithFallback(name string, fallback int) int {
	const most = 1 << 31 // beyond, a float64 may not fit an int
	v := get(s, name, float64(fallback))
	return int(min(max(v, -most), most-1))
}

// FloatWithFallback is the number of that name, or fallback when there is none.
func (s *Store) FloatWithFallback(name string, fallback float64) float64 {
	return get(s, name, fallback)
}

// StringList is a copy of the list of that name, nil when there is none.
func (s *Store) StringList(name string) []string { return slices.Clone(get(s, name, []string(nil))) }

// SetString sets a text.
func (s *Store) SetString(name, v string) { s.set(name, v) }

// SetBool sets a yes or no.
func (s *Store) SetBool(name string, v bool) { s.set(name, v) }

// SetInt sets a whole number between −2⁵³ and 2⁵³.
func (s *Store) SetInt(name string, v int) { s.set(name, float64(v)) }

// SetFloat sets a number; one that is not finite changes nothing.
func (s *Store) SetFloat(name string, v float64) {
	if !math.IsNaN(v) && !math.IsInf(v, 0) {
		s.set(name, v)
	}
}

// SetStringList sets a list.
func (s *Store) SetStringList(name string, v []string) { s.set(name, slices.Clone(v)) }

// Adopt sets values that are of the right kind, where there is none of that name.
func (s *Store) Adopt(values map[string]any) {
	for name, v := range values {
		s.mu.Lock()
		_, there := s.values[name]
		s.mu.Unlock()
		if !there {
			s.set(name, v)
		}
	}
}

// get is the value of a name, or fallback where it is of another kind.
func get[T any](s *Store, name string, fallback T) T {
	s.mu.Lock()
	defer s.mu.Unlock()
	if v, ok := s.values[name].(T); ok {
		return v
	}
	return fallback
}

// set changes a value. An empty one says as much as none, and is not kept.
func (s *Store) set(name string, v any) {
	s.mu.Lock()
	defer s.mu.Unlock()
	old, there := s.values[name]
	list, isList := v.([]string)
	switch empty := v == any("") || isList && len(list) == 0; {
	case empty && !there || there && same(old, v):
		return
	case empty:
		delete(s.values, name)
	default:
		s.values[name] = v
	}
	s.edits++
	s.dirty[name] = s.edits
	select {
	case s.wake <- struct{}{}:
	default:
	}
}

func same(a, b any) bool {
	if x, ok := a.([]string); ok {
		y, ok := b.([]string)
		return ok && slices.Equal(x, y)
	}
	if _, ok := b.([]string); ok {
		return false
	}
	return a == b
}

// Flush writes what is not in the file yet, and returns when it is safely there,
// or when ctx ends, whatever the disk does; nothing is put in the file's place
// after that. It may be called while Run runs.
func (s *Store) Flush(ctx context.Context) error {
	done := make(chan error, 1)
	go func() { done <- s.write(ctx) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return s.fault("cannot be written in time", ctx.Err())
	}
}

func (s *Store) write(ctx context.Context) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	if err := s.pending(); err != nil {
		return err
	}
	s.mu.Lock()
	nothing := len(s.dirty) == 0 && !s.stale
	s.mu.Unlock()
	if nothing {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(s.path), 0o700); err != nil {
		return s.fault("cannot be written", err)
	}
	const most = 20
	for try := 1; ; try++ {
		err := s.merge(ctx)
		if err == nil || !errors.Is(err, errChanged) || try == most {
			return s.fault("cannot be written", err)
		}
	}
}

// pending is why nothing can be written.
func (s *Store) pending() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.sealed != nil && len(s.dirty) > 0 {
		return s.sealed
	}
	return nil
}

// errChanged says that another program has written the file meanwhile.
var errChanged = errors.New("another program writes them again and again")

// merge writes what was set into what the file holds now. s.writing is held.
func (s *Store) merge(ctx context.Context) error {
	old, theirs, err := s.theirs(ctx)
	if err != nil {
		return err
	}
	s.mu.Lock()
	if theirs != nil {
		for name := range s.dirty {
			if v, there := s.values[name]; there {
				theirs[name] = v
			} else {
				delete(theirs, name)
			}
		}
		s.values = theirs
	}
	edits, values := s.edits, maps.Clone(s.values)
	s.mu.Unlock()

	data, err := encode(values)
	if err != nil {
		return err
	}
	err = files.Replace(ctx, s.path, files.Replacement{
		Fill: files.Bytes(data), Mode: 0o600,
		Allow: func(target string) error {
			now, _, err := files.Read(ctx, target, MaxBytes+1)
			switch {
			case errors.Is(err, fs.ErrNotExist) && old == nil:
				return nil
			case err == nil && old != nil && bytes.Equal(now, old):
				return nil
			}
			return errChanged
		},
	})
	if err != nil {
		return err
	}
	s.read = sha256.Sum256(data)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.stale = false
	maps.DeleteFunc(s.dirty, func(_ string, edit uint64) bool { return edit <= edits })
	return nil
}

// theirs is the file as it is, nil when it is not there, and what it holds where
// that is not what this store knows of it.
func (s *Store) theirs(ctx context.Context) (data []byte, values map[string]any, err error) {
	data, _, err = files.Read(ctx, s.path, MaxBytes+1)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, nil
	case err != nil:
		return nil, nil, err
	case sha256.Sum256(data) == s.read:
		return data, nil, nil
	}
	values, bad, err := decode(data, s.check)
	if err != nil || bad > 0 {
		if _, err := Aside(ctx, s.path); err != nil {
			return nil, nil, err
		}
	}
	return data, values, nil
}

// Changes are written a while after the first of them; a write that failed is
// tried again.
const (
	Later = time.Second
	Again = 10 * time.Second
)

// Run writes what is set, a while later, until ctx ends; then it returns, and
// what is not written yet is left to Flush. after is time.After, or a test's.
func (s *Store) Run(ctx context.Context, after func(time.Duration) <-chan time.Time) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.wake:
		}
		for wait := Later; wait > 0; {
			select {
			case <-ctx.Done():
				return
			case <-after(wait):
			}
			wait = 0
			if err := s.Flush(ctx); err != nil {
				wait = Again
			}
		}
	}
}
