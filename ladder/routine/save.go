package routine

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"syscall"

	"footing/files"
)

// ErrChanged says that the file on the disk is no longer what was read: another
// window or another program has written it. Nothing was written. Save the
// work beside it with SaveCopy, or Load the file anew.
var ErrChanged = errors.New("the file was changed by another program meanwhile")

// SaveError says that a routine could not be written, in one sentence. The
// file on the disk is as it was.
type SaveError struct {
	Path string
	Err  error // ErrChanged, fs.ErrExist, or what the system said
}

// Error is the sentence.
func (e *SaveError) Error() string {
	why := e.Err.Error()
	switch err := e.Err; {
	case errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT):
		why = "the disk is full"
	case errors.Is(err, syscall.EFBIG):
		why = "the system allows no file of this size"
	case errors.Is(err, syscall.EROFS):
		why = "the disk can only be read"
	case errors.Is(err, fs.ErrPermission):
		why = "the folder does not allow it"
	case errors.Is(err, fs.ErrExist):
		why = "there is a file of that name"
	case errors.Is(err, fs.ErrNotExist):
		why = "the folder is not there"
	}
	return fmt.Sprintf("cannot save %s: %s; what is on the disk is as it was", files.Name(e.Path), why)
}

// Unwrap is the cause.
func (e *SaveError) Unwrap() error { return e.Err }

// Save writes the file where it came from, whole or not at all, as
// [files.Replace] does: with the old one's permissions, and to where a link
// leads. The error is a [SaveError]; one that wraps [ErrChanged] when the file is
// no longer what was read. A file that is gone is written again.
func (f *File) Save() error {
	if !f.onDisk {
		return &SaveError{f.path, errors.New("the routine has no file yet")}
	}
	return f.write(f.path, files.Replacement{Allow: func(target string) error {
		data, _, err := files.Read(context.Background(), target, MaxBytes+1)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil
		case err != nil:
			return err
		case sha256.Sum256(data) != f.hash:
			return ErrChanged
		}
		return nil
	}})
}

// SaveAs writes the routine to a new file and makes it this File's place. It
// writes over nothing: the error wraps fs.ErrExist when path is taken.
func (f *File) SaveAs(path string) error {
	return f.write(path, files.Replacement{New: true})
}

// SaveCopy writes the routine under a free name beside its file ("runs.yaml"
// gives "runs 2.yaml"), makes that its place, and returns it.
func (f *File) SaveCopy() (string, error) {
	ext := filepath.Ext(f.path)
	stem := strings.TrimSuffix(f.path, ext)
	const most = 1000
	for n := 2; ; n++ {
		path := fmt.Sprintf("%s %d%s", stem, n, ext)
		err := f.SaveAs(path)
		if err == nil {
			return path, nil
		}
		if !errors.Is(err, fs.ErrExist) || n >= most {
			return "", err
		}
	}
}

// write puts the text into a file at path.
func (f *File) write(path string, r files.Replacement) error {
	data := f.src.data
	r.Fill = files.Bytes(data)
	if err := files.Replace(context.Background(), path, r); err != nil {
		return &SaveError{path, err}
	}
	f.path, f.onDisk, f.hash = path, true, sha256.Sum256(data)
	f.src.name = path
	return nil
}
