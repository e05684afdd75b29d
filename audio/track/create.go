package track

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"

	"footing/files"
)

// Create writes a WAV file whole or not at all: fill writes into it, and only
// when fill returns nil and everything is safely on the disk does the file stand
// at path, in place of what was there before. On any error, or when ctx is
// cancelled, what stood at path stays as it was and nothing is left beside it.
// The error names path. fill must not keep the Writer, nor close it.
func Create(ctx context.Context, path string, f Format, fill func(*Writer) error) error {
	return Replace(ctx, path, func(file io.WriteSeeker) error {
		w, err := NewWriter(file, f)
		if err != nil {
			return err
		}
		if err := fill(w); err != nil {
			return err
		}
		return w.Close()
	})
}

// Replace writes any file whole or not at all, in the way of [Create]: aside in
// the same folder, synced, and renamed over path. A link at path stays a link;
// the file it leads to is replaced. A file that was there keeps its permissions;
// one that is read-only, or no ordinary file, is refused. Once ctx is cancelled,
// the next write of fill returns its error.
func Replace(ctx context.Context, path string, fill func(io.WriteSeeker) error) error {
	if err := replace(ctx, path, fill); err != nil {
		return fmt.Errorf("writing %s: %w", files.Name(path), err)
	}
	return nil
}

func replace(ctx context.Context, path string, fill func(io.WriteSeeker) error) (err error) {
	if err := ctx.Err(); err != nil {
		return err
	}
	target, mode, err := replaceable(path)
	if err != nil {
		return err
	}
	file, err := createAside(target)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			file.Close()
			os.Remove(file.Name())
		}
	}()
	behind := newBehindFile(ctx, file)
	err = fill(behind)
	if late := behind.close(); err == nil {
		err = late
	}
	if err != nil {
		return err
	}
	if mode != 0 {
		if err := file.Chmod(mode); err != nil {
			return bare(err)
		}
	}
	if err := file.Sync(); err != nil {
		return bare(err)
	}
	if err := file.Close(); err != nil {
		return bare(err)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := os.Rename(file.Name(), target); err != nil {
		return bare(err)
	}
	// The new name is on the disk for sure once the folder is synced too. Not
	// every system can do that, and the file is whole either way.
	if dir, err := os.Open(filepath.Dir(target)); err == nil {
		_ = dir.Sync()
		dir.Close()
	}
	return nil
}

// replaceable follows links and returns the file to replace with its
// permissions, which are 0 where there is none yet.
func replaceable(path string) (target string, mode fs.FileMode, err error) {
	target, err = filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		return path, 0, nil
	}
	if err != nil {
		return "", 0, bare(err)
	}
	info, err := os.Stat(target)
	switch {
	case err != nil:
		return "", 0, bare(err)
	case info.IsDir():
		return "", 0, errors.New("it is a folder; give the name of a file in it")
	case !info.Mode().IsRegular():
		return "", 0, errors.New("it is no ordinary file but a device or a pipe; give the name of a file")
	case info.Mode().Perm()&0o200 == 0:
		return "", 0, errors.New("the file there is read-only; make it writable or give another name")
	}
	return target, info.Mode().Perm(), nil
}

// createAside opens a new hidden file beside target, with the permissions that
// the system gives to new files.
func createAside(target string) (*os.File, error) {
	dir, base := filepath.Split(target)
	const tries = 100
	for range tries {
		name := filepath.Join(dir, fmt.Sprintf(".%s.%08x.part", base, rand.Uint32()))
		file, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("there is no folder %s; make it or give another name", files.Name(filepath.Clean(dir)))
		}
		if err != nil {
			return nil, bare(err)
		}
		return file, nil
	}
	return nil, fmt.Errorf("the folder holds too many unfinished copies named %s; remove them", files.Name("."+base+".*.part"))
}

// bare takes the name of the hidden file off an error: the caller names the one
// that the user gave.
func bare(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
	}
	return err
}
