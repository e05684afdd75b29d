package files

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Replacement says how a file is replaced.
type Replacement struct {
	// Fill writes the new file, which is synced and closed afterwards. See
	// [Bytes].
	Fill func(*os.File) error
	// Allow may refuse to replace target, which is the file that the links lead
	// to and need not exist. It is asked at first, and again right before the new
	// file takes its place, with the folder locked. Nil refuses nothing.
	Allow func(target string) error
	// New refuses to write over anything: the error wraps fs.ErrExist.
	New bool
	// Mode is the permissions of a file that was not there before, of which the
	// system may take some away (umask); 0 stands for 0o666.
	Mode fs.FileMode
}

// Bytes writes what is given, for [Replacement].
func Bytes(data []byte) func(*os.File) error {
	return func(f *os.File) error {
		_, err := f.Write(data)
		return err
	}
}

// Replace writes a file whole or not at all: into a new file beside it, synced,
// then renamed over it. On any error, or when ctx ends before the renaming, what
// stood at path stays as it was and nothing is left beside it. A link at path
// stays one and the file it leads to is replaced; a file that was there keeps
// its permissions; what is no plain file is refused with [ErrFolder] or
// [ErrDevice]. The error does not name path.
//
// Between the last look at the old file and the renaming lie some microseconds.
// Two programs that use this package cannot meet there, as far as the system can
// lock a folder; another program that writes just then can.
func Replace(ctx context.Context, path string, r Replacement) error {
	return Cause(r.at(ctx, path))
}

func (r Replacement) at(ctx context.Context, path string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	target, err := followed(path)
	if err != nil {
		return err
	}
	if err := r.allowed(target); err != nil {
		return err
	}
	aside, err := r.aside(target)
	if err != nil {
		return err
	}
	folder, _ := split(target)
	err = locked(ctx, folder, func() error {
		if err := r.allowed(target); err != nil {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if r.New {
			return renameNew(aside, target)
		}
		return os.Rename(aside, target)
	})
	if err != nil {
		_ = os.Remove(aside)
		return err
	}
	syncFolder(folder)
	return nil
}

// allowed says why target may not be replaced.
func (r Replacement) allowed(target string) error {
	info, err := os.Stat(target)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case r.New:
		return fs.ErrExist
	default:
		if err := plain(target, info); err != nil {
			return err
		}
	}
	if r.Allow != nil {
		return r.Allow(target)
	}
	return nil
}

// aside writes the new file beside target and returns its path. On failure none
// is left.
func (r Replacement) aside(target string) (name string, err error) {
	mode := r.Mode
	if mode == 0 {
		mode = 0o666
	}
	old, none := os.Stat(target)
	if none == nil {
		mode = old.Mode().Perm()
	}
	out, err := createAside(target, mode)
	if err != nil {
		return "", err
	}
	defer func() {
		if late := out.Close(); err == nil {
			err = late
		}
		if err != nil {
			_ = os.Remove(out.Name())
		}
	}()
	if err := r.Fill(out); err != nil {
		return "", err
	}
	if none == nil {
		// The old file's own permissions, whatever the umask.
		if err := out.Chmod(mode); err != nil {
			return "", err
		}
	}
	return out.Name(), out.Sync()
}

// createAside opens a new hidden file beside target; its permissions are mode
// less the umask, and always such that it can be written.
func createAside(target string, mode fs.FileMode) (*os.File, error) {
	const (
		most    = 100
		longest = 200 // bytes of the name, which may fill what the system allows
	)
	folder, base := split(target)
	base = base[:min(len(base), longest)]
	for n := 0; ; n++ {
		name := folder + fmt.Sprintf(".%s.%d-%d.part", base, os.Getpid(), n)
		out, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, mode|0o200)
		switch {
		case err == nil || !errors.Is(err, fs.ErrExist):
			return out, err
		case n >= most:
			return nil, fmt.Errorf("the folder holds too many unfinished copies named %s; remove them", Name("."+base+".*.part"))
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

// followed is the file that a path leads to through links, which need not
// exist. Paths are put together without being tidied: behind a link to a folder
// ".." leads elsewhere than it looks.
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
			folder, _ := split(path)
			next = folder + next
		}
		path = next
	}
	return "", errors.New("the links lead in a circle")
}

// split is the folder of a path, with the sign that parts it from a name, and
// the name in it.
func split(path string) (folder, name string) {
	folder, name = filepath.Split(path)
	if folder == "" {
		folder = "." + string(filepath.Separator)
	}
	return folder, name
}

// syncFolder makes a renaming last through a power cut, where folders can be
// synced. The file itself is whole either way, so errors don't matter.
func syncFolder(folder string) {
	if d, err := os.Open(folder); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}
