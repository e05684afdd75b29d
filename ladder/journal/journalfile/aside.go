package journalfile

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"footing/ladder/journal"
)

// besideName is the file beside a journal: a line of JSON an entry.
func besideName(path string) string {
	return strings.TrimSuffix(path, filepath.Ext(path)) + ".waiting.jsonl"
}

// besideIn is the same in another folder, which several journals may share.
func besideIn(path, folder string) string {
	abs, err := filepath.Abs(path)
	if err != nil {
		abs = path
	}
	h := fnv.New64a()
	h.Write([]byte(abs))
	return filepath.Join(folder, fmt.Sprintf("journal-%016x.waiting.jsonl", h.Sum64()))
}

// putAside appends entries to the first file beside the journal that can be
// written, whole or not at all, and syncs it. f.writing is held.
func (f *File) putAside(ctx context.Context, entries []journal.Entry) error {
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	for _, e := range entries {
		if err := enc.Encode(e); err != nil {
			return err
		}
	}
	var all []error
	for _, name := range f.aside {
		err := ctx.Err()
		if err == nil {
			err = appendTo(name, text.Bytes())
		}
		if err == nil {
			f.beside = true
			return nil
		}
		all = append(all, err)
	}
	return errors.Join(all...)
}

func appendTo(name string, text []byte) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o700); err != nil {
		return err
	}
	return owned(name, true, func(file *os.File) error {
		end, err := file.Seek(0, io.SeekEnd)
		if err != nil {
			return err
		}
		if err := endLine(file, end); err != nil {
			return err
		}
		if _, err = file.Write(text); err == nil {
			err = file.Sync()
		}
		if err != nil {
			_ = file.Truncate(end)
		}
		return err
	})
}

// endLine ends a last line that a crash has cut short: the entry in it is lost,
// the next one is not.
func endLine(file *os.File, end int64) error {
	if end == 0 {
		return nil
	}
	last := make([]byte, 1)
	if _, err := file.ReadAt(last, end-1); err != nil || last[0] == '\n' {
		return err
	}
	_, err := file.Write([]byte("\n"))
	return err
}

// owned runs do with the file opened, and locked where the system can. make makes
// the file where there is none.
func owned(name string, make bool, do func(*os.File) error) error {
	mode := os.O_RDWR
	if make {
		mode |= os.O_CREATE
	}
	for {
		file, err := os.OpenFile(name, mode, 0o600)
		if err != nil {
			return err
		}
		lock(file)
		mine, err := file.Stat()
		if err != nil {
			_ = file.Close()
			return err
		}
		// Whoever held it before may have taken it away.
		if there, err := os.Stat(name); err != nil || !os.SameFile(mine, there) {
			_ = file.Close()
			continue
		}
		err = do(file)
		if late := file.Close(); err == nil {
			err = late
		}
		return err
	}
}

// merge writes what waits beside the journal into it. f.writing is held, and f.db
// open.
func (f *File) merge(ctx context.Context) error {
	if !f.beside {
		return nil
	}
	for _, name := range f.aside {
		err := owned(name, false, func(file *os.File) error {
			entries, bad, err := entriesIn(file)
			if err != nil {
				return nil // it is left for another time
			}
			if len(entries) > 0 {
				if err := keep(ctx, f.db, entries); err != nil {
					return fault(f.path, err)
				}
			}
			if bad > 0 {
				// What this version cannot read is for somebody to look at.
				return os.Rename(name, strings.TrimSuffix(name, ".jsonl")+f.clock().Format("-20060102-150405")+".bad.jsonl")
			}
			return os.Remove(name)
		})
		var fault *Fault
		switch {
		case errors.As(err, &fault):
			return err
		case err != nil && !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, fs.ErrPermission):
			return nil // tried again
		}
	}
	f.beside = false
	return nil
}

// entriesIn reads the entries of a file; bad counts the lines that are none, but
// for a last one that was cut short.
func entriesIn(r io.Reader) (out []journal.Entry, bad int, err error) {
	lines := bufio.NewReader(r)
	for {
		line, err := lines.ReadBytes('\n')
		switch {
		case err != nil && err != io.EOF:
			return nil, 0, err
		case err == io.EOF:
			return out, bad, nil
		}
		var e journal.Entry
		switch {
		case len(bytes.TrimSpace(line)) == 0:
		case json.Unmarshal(line, &e) != nil || e == (journal.Entry{}):
			bad++
		default:
			out = append(out, e)
		}
	}
}
