package track

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
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

// Replace writes any file whole or not at all, in the way of [Create], which is
// that of [files.Replace]. A file that was there and is read-only, or no plain
// file, is refused. Once ctx is cancelled, the next write of fill returns its
// error.
func Replace(ctx context.Context, path string, fill func(io.WriteSeeker) error) error {
	if err := replace(ctx, path, fill); err != nil {
		return fmt.Errorf("writing %s: %w", files.Name(path), err)
	}
	return nil
}

func replace(ctx context.Context, path string, fill func(io.WriteSeeker) error) error {
	folder := filepath.Dir(path)
	if _, err := os.Stat(folder); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no folder %s; make it or give another name", files.Name(folder))
	}
	err := files.Replace(ctx, path, files.Replacement{
		Allow: writable,
		Fill: func(file *os.File) error {
			behind := newBehindFile(ctx, file)
			err := fill(behind)
			if late := behind.close(); err == nil {
				err = late
			}
			return err
		},
	})
	switch {
	case errors.Is(err, files.ErrFolder):
		return fmt.Errorf("%w; give the name of a file in it", err)
	case errors.Is(err, files.ErrDevice):
		return fmt.Errorf("%w; give the name of a file", err)
	}
	return err
}

// writable refuses to replace a file that is protected from being written.
func writable(target string) error {
	if info, err := os.Stat(target); err == nil && info.Mode().Perm()&0o200 == 0 {
		return errors.New("the file there is read-only; make it writable or give another name")
	}
	return nil
}
