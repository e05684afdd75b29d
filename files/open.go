package files

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
)

// ErrFolder and ErrDevice say what was found where a plain file was wanted.
// They stand in a [fs.PathError], as what the system says does; see [Cause].
var (
	ErrFolder = errors.New("it is a folder")
	ErrDevice = errors.New("it is a device or a pipe")
)

// ErrNone is [fs.ErrNotExist] as it is told of a file that is to be read.
var ErrNone error = none{}

type none struct{}

func (none) Error() string        { return "there is no such file" }
func (none) Is(target error) bool { return target == fs.ErrNotExist }

// Open opens a plain file for reading, through links. It never waits for the
// other end of a pipe, and what is no plain file it does not touch: the error
// then is ErrFolder or ErrDevice. It looks again at what it has opened, so that
// a file that is exchanged meanwhile deceives nobody.
//
// A disk can be slow without end, such as one that lies across a network: when
// ctx ends first, its error is returned at once and the file, should it open
// later, is closed. The error is a [fs.PathError] or that of ctx.
func Open(ctx context.Context, path string) (*os.File, error) {
	return within(ctx, func() (*os.File, error) { return open(os.Stat, path) }, func(f *os.File) { _ = f.Close() })
}

// Read reads a plain file, at most most bytes of it, and its size as the system
// states it. It refuses and gives up as Open does.
func Read(ctx context.Context, path string, most int64) (data []byte, size int64, err error) {
	type content struct {
		data []byte
		size int64
	}
	got, err := within(ctx, func() (content, error) {
		f, err := open(os.Stat, path)
		if err != nil {
			return content{}, err
		}
		defer f.Close()
		info, err := f.Stat()
		if err != nil {
			return content{}, err
		}
		data, err := io.ReadAll(io.LimitReader(f, most))
		return content{data, info.Size()}, err
	}, func(content) {})
	return got.data, got.size, err
}

// within is what work answers, or the error of ctx when that ends first; what
// comes too late is given to late.
func within[T any](ctx context.Context, work func() (T, error), late func(T)) (T, error) {
	var none T
	if err := ctx.Err(); err != nil {
		return none, err
	}
	if ctx.Done() == nil {
		return work() // nothing can end it
	}
	type answer struct {
		got T
		err error
	}
	answers := make(chan answer)
	go func() {
		got, err := work()
		select {
		case answers <- answer{got, err}:
		case <-ctx.Done():
			if err == nil {
				late(got)
			}
		}
	}()
	select {
	case a := <-answers:
		return a.got, a.err
	case <-ctx.Done():
		return none, ctx.Err()
	}
}

// open looks before it opens, since to open some devices is to use them, and
// again at the descriptor.
func open(look func(string) (fs.FileInfo, error), path string) (*os.File, error) {
	info, err := look(path)
	if err != nil {
		return nil, err
	}
	if err := plain(path, info); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_RDONLY|withoutWaiting, 0)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil {
		err = plain(path, info)
	}
	if err != nil {
		_ = f.Close()
		return nil, err
	}
	return f, nil
}

// plain says what is wrong with something that is no plain file.
func plain(path string, info fs.FileInfo) error {
	switch {
	case info.Mode().IsRegular():
		return nil
	case info.IsDir():
		return &fs.PathError{Op: "open", Path: path, Err: ErrFolder}
	}
	return &fs.PathError{Op: "open", Path: path, Err: ErrDevice}
}

// Cause is what the system said, without the path that it said it of: the caller
// names the one that the user gave.
func Cause(err error) error {
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
