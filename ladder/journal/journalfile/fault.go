package journalfile

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"syscall"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"footing/files"
)

// Kind is what keeps a journal from being read or written.
type Kind int

// The kinds.
const (
	Other    Kind = iota // the disk, or the system; the error says what
	Locked               // another program holds it
	ReadOnly             // it, or its folder, may not be written
	Damaged              // it is no journal, or a part of it is lost
	Newer                // a later version of the program wrote it
	Full                 // the disk has no room
)

// Fault is why a journal can't be read or written. It is left as it is.
type Fault struct {
	Path string
	Kind Kind
	Err  error
}

var (
	errNewer   = errors.New("a later version of the program wrote it")
	errForeign = errors.New("it is another program's")
	errCut     = errors.New("its end is lost")
)

// Error is a sentence.
func (f *Fault) Error() string { return "the journal " + f.what() }

// what goes on where "the journal" was said.
func (f *Fault) what() string {
	name := files.Name(filepath.Base(f.Path))
	switch f.Kind {
	case Locked:
		return fmt.Sprintf("%s is locked by another program", name)
	case ReadOnly:
		return fmt.Sprintf("%s may not be written", name)
	case Damaged:
		return fmt.Sprintf("%s is damaged", name)
	case Newer:
		return fmt.Sprintf("%s was written by a later version of Footing", name)
	case Full:
		return fmt.Sprintf("%s has no room on the disk", name)
	}
	return fmt.Sprintf("%s can't be used: %v", name, f.Err)
}

// Unwrap is what was found.
func (f *Fault) Unwrap() error { return f.Err }

// fault says what an error means for the journal at path.
func fault(path string, err error) error {
	var known *Fault
	if err == nil || errors.As(err, &known) {
		return err
	}
	f := &Fault{Path: path, Err: files.Cause(err)}
	var s *sqlite.Error
	switch {
	case errors.Is(err, errNewer):
		f.Kind = Newer
	case errors.Is(err, errForeign):
		f.Kind = Other
	case errors.Is(err, errCut):
		f.Kind = Damaged
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		f.Kind = ReadOnly
	case errors.Is(err, syscall.ENOSPC):
		f.Kind = Full
	case errors.As(err, &s):
		f.Kind, f.Err = kindOf(s.Code() & 0xff)
	}
	return f
}

// kindOf says what a result code of SQLite's means, and in what words.
func kindOf(code int) (Kind, error) {
	switch code {
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return Locked, errors.New("another program holds it")
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return ReadOnly, errors.New("it may not be written")
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR, sqlite3.SQLITE_SCHEMA:
		return Damaged, errors.New("a part of it is lost")
	case sqlite3.SQLITE_FULL:
		return Full, errors.New("the disk is full")
	case sqlite3.SQLITE_IOERR:
		return Other, errors.New("the disk fails")
	}
	return Other, errors.New("it does not answer as it should")
}
