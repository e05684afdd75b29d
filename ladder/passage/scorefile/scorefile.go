// Package scorefile opens score files: MusicXML, plain or compressed.
package scorefile

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"footing/files"
	"footing/ladder/passage"
)

// Read reads the score in a file, an archive (.mxl) or plain MusicXML as its
// first bytes say, whatever its name ends in. A file larger than the limits is
// refused by its size, unread. Errors begin with the file's name; those of ctx are
// passed on as they are.
func Read(ctx context.Context, path string, limits passage.Limits) (*passage.Score, []passage.Remark, error) {
	s, remarks, err := read(ctx, path, limits)
	if err != nil && ctx.Err() == nil {
		err = fmt.Errorf("%s: %w", files.Name(path), err)
	}
	return s, remarks, err
}

func read(ctx context.Context, path string, limits passage.Limits) (*passage.Score, []passage.Remark, error) {
	f, err := files.Open(ctx, path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, files.ErrNone
	case err != nil:
		return nil, nil, files.Cause(err)
	}
	defer f.Close()
	if IsTune(path) {
		return nil, nil, errTune
	}
	size, archive, err := look(f)
	if err != nil {
		return nil, nil, files.Cause(err)
	}
	if archive {
		return passage.ReadArchive(ctx, f, size, limits)
	}
	if most := limits.Or(passage.DefaultLimits).Bytes; size > most {
		return nil, nil, fmt.Errorf("the score is too large: %d MiB, and at most %d are read", size>>20, most>>20)
	}
	return passage.Read(ctx, f, limits)
}

// errTune says what to do with a tune in ABC: typed notes are its notes alone.
var errTune = errors.New("this is a tune in ABC, which is typed rather than opened; paste the notes below its K: line into the notes field of a step (notes: in a routine), and the key beside them")

// IsTune reports whether a file's name is that of a tune in ABC, which is no score.
func IsTune(path string) bool { return strings.EqualFold(filepath.Ext(path), ".abc") }

// look tells a file's size, and whether it is an archive.
func look(f *os.File) (size int64, archive bool, err error) {
	info, err := f.Stat()
	if err != nil {
		return 0, false, err
	}
	head := make([]byte, 4)
	n, err := f.ReadAt(head, 0)
	if err != nil && err != io.EOF {
		return 0, false, err
	}
	return info.Size(), passage.IsArchive(head[:n]), nil
}
