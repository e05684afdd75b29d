package routine

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
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
	return fmt.Sprintf("cannot save %s: %s; what is on the disk is as it was", plainName(e.Path), why)
}

// Unwrap is the cause.
func (e *SaveError) Unwrap() error { return e.Err }

// reason is what the system said, without the path.
func reason(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// Save writes the file where it came from, whole or not at all: into a new file
// beside it, synced, with the old one's permissions, then renamed over it. A
// symbolic link stays one and its target is written. The error is a
// [SaveError]; one that wraps [ErrChanged] when the file is no longer what was
// read. A file that is gone is written again.
//
// Between the last look at the old file and the rename lie some microseconds.
// Two windows of this program cannot meet there, as far as the system can lock
// a folder; another program that writes just then can.
func (f *File) Save() error {
	if !f.onDisk {
		return &SaveError{f.path, errors.New("the routine has no file yet")}
	}
	return f.write(f.path, func(target string) error {
		data, _, err := readFile(target)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil
		case err != nil:
			return reason(err)
		case sha256.Sum256(data) != f.hash:
			return ErrChanged
		}
		return nil
	}, os.Rename)
}

// SaveAs writes the routine to a new file and makes it this File's place. It
// writes over nothing: the error wraps fs.ErrExist when path is taken.
func (f *File) SaveAs(path string) error {
	return f.write(path, func(target string) error {
		if _, err := os.Lstat(target); !errors.Is(err, fs.ErrNotExist) {
			return cmp.Or(err, fs.ErrExist)
		}
		return nil
	}, renameNew)
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

// renameNew renames without writing over a file, where the system can link.
func renameNew(from, to string) error {
	err := os.Link(from, to)
	switch {
	case err == nil:
		return os.Remove(from)
	case errors.Is(err, fs.ErrExist):
		return err
	}
	return os.Rename(from, to)
}

// write puts the text into a new file beside path's target and moves it there
// when allowed still says so.
func (f *File) write(path string, allowed func(target string) error, move func(from, to string) error) error {
	target, err := followed(path)
	if err != nil {
		return &SaveError{path, reason(err)}
	}
	if err := allowed(target); err != nil {
		return &SaveError{path, reason(err)}
	}
	mode := fs.FileMode(0o666)
	if info, err := os.Stat(target); err == nil {
		if !info.Mode().IsRegular() {
			return &SaveError{path, errors.New("it is no plain file")}
		}
		mode = info.Mode().Perm()
	}
	temp, err := f.aside(target, mode)
	if err != nil {
		return &SaveError{path, reason(err)}
	}
	err = locked(filepath.Dir(target), func() error {
		if err := allowed(target); err != nil {
			return err
		}
		return move(temp, target)
	})
	if err != nil {
		os.Remove(temp)
		return &SaveError{path, reason(err)}
	}
	syncFolder(filepath.Dir(target))
	f.path, f.onDisk, f.hash = path, true, sha256.Sum256(f.src.data)
	f.src.name = path
	return nil
}

// aside writes the text into a new file in the folder of target. On failure no
// file is left.
func (f *File) aside(target string, mode fs.FileMode) (name string, err error) {
	base := filepath.Base(target)
	out, err := createAside(filepath.Dir(target), base, mode)
	if err != nil {
		return "", err
	}
	defer func() {
		if cerr := out.Close(); err == nil {
			err = cerr
		}
		if err != nil {
			os.Remove(out.Name())
		}
	}()
	if _, err := out.Write(f.src.data); err != nil {
		return "", err
	}
	if _, err := os.Stat(target); err == nil {
		// The old file's own permissions, whatever the umask.
		if err := out.Chmod(mode); err != nil {
			return "", err
		}
	}
	return out.Name(), out.Sync()
}

// createAside opens a new hidden file; its permissions are mode less the umask.
func createAside(folder, base string, mode fs.FileMode) (*os.File, error) {
	const most = 100
	for n := 0; ; n++ {
		name := filepath.Join(folder, fmt.Sprintf(".%s.%d-%d.part", base, os.Getpid(), n))
		out, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if err == nil || !errors.Is(err, fs.ErrExist) || n >= most {
			return out, err
		}
	}
}

// followed is the file that a path leads to through symbolic links, which need
// not exist.
func followed(path string) (string, error) {
	const most = 40
	for range most {
		info, err := os.Lstat(path)
		if errors.Is(err, fs.ErrNotExist) || err == nil && info.Mode()&fs.ModeSymlink == 0 {
			return path, nil
		}
		if err != nil {
			return "", err
		}
		next, err := os.Readlink(path)
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(next) {
			next = filepath.Join(filepath.Dir(path), next)
		}
		path = next
	}
	return "", errors.New("the links lead in a circle")
}

// syncFolder makes a rename last through a power cut, where folders can be
// synced. The file itself is safe either way, so errors don't matter.
func syncFolder(folder string) {
	if d, err := os.Open(folder); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}
