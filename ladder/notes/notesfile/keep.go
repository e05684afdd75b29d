package notesfile

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"footing/files"
	"footing/ladder"
	"footing/ladder/passage"
)

// Keep puts a copy of a score into a routine's folder, which is made where it is
// not there, and answers with its name in it. Nothing is written over: where the
// name is taken by another file the copy has a number behind it, and where the
// same bytes lie there already, or the score itself does, they are used as they
// are. Errors begin with the score's name; that of ctx is passed on as it is.
func Keep(ctx context.Context, path, dir string) (name string, err error) {
	name, err = keep(ctx, path, dir)
	if err != nil && ctx.Err() == nil {
		err = fmt.Errorf("%s: %w", files.Name(path), err)
	}
	return name, err
}

func keep(ctx context.Context, path, dir string) (string, error) {
	most := passage.DefaultLimits.Bytes
	data, size, err := files.Read(ctx, path, most+1)
	switch {
	case err != nil:
		return "", files.Cause(err)
	case size > most:
		return "", fmt.Errorf("the score is too large: %d MiB, and at most %d are read", size>>20, most>>20)
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", files.Cause(err)
	}
	own, known := os.Stat(path)
	stem, ext := copyName(filepath.Base(path))
	for n := 1; n < 1000; n++ {
		name := stem + ext
		if n > 1 {
			name = fmt.Sprintf("%s %d%s", stem, n, ext)
		}
		to := filepath.Join(dir, name)
		if _, err := os.Lstat(to); err == nil { // a link that leads nowhere, too, is none of ours
			there, err := os.Stat(to)
			if err == nil && (known == nil && os.SameFile(own, there) || same(ctx, to, there, data)) {
				return name, nil
			}
			continue
		}
		err := files.Replace(ctx, to, files.Replacement{Fill: files.Bytes(data), New: true})
		switch {
		case errors.Is(err, fs.ErrExist):
		case err != nil:
			return "", fmt.Errorf("it cannot be copied to the routine's folder: %w", err)
		default:
			return name, nil
		}
	}
	return "", errors.New("the routine's folder has too many files of its name; give it another")
}

// same reports whether a file holds exactly this.
func same(ctx context.Context, path string, info fs.FileInfo, data []byte) bool {
	if !info.Mode().IsRegular() || info.Size() != int64(len(data)) {
		return false
	}
	f, err := files.Open(ctx, path)
	if err != nil {
		return false
	}
	defer f.Close()
	there, err := io.ReadAll(io.LimitReader(f, int64(len(data))+1))
	return err == nil && bytes.Equal(there, data)
}

// copyName is a file's name, made fit to stand in a routine on every system, and
// its ending.
func copyName(base string) (stem, ext string) {
	const longest = 80
	fit := ladder.Name(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`\:/*?"<>|`, r) {
			return '-'
		}
		return r
	}, base))
	ext = filepath.Ext(fit)
	stem = strings.Trim(strings.TrimSuffix(fit, ext), " .")
	if r := []rune(stem); len(r) > longest {
		stem = strings.TrimSpace(string(r[:longest]))
	}
	if stem == "" {
		stem = "score"
	}
	return stem, ext
}
