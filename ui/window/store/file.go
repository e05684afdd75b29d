package store

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"footing/files"
)

// MaxBytes is the largest file that is read: 16 MiB. One that would become
// larger is not written.
const MaxBytes = 16 << 20

// Check reports whether a value of that name is one that the program can go on
// with. The value is a string, a bool, a finite float64 or a []string.
type Check func(name string, value any) bool

// Open reads the file at path, which need not be there. The store can be used
// whatever the error, which is one sentence: a value that makes no sense, or that
// check refuses, is left out; of a file that cannot be read at all nothing is
// taken. The file as it was is then kept beside, under the name in the sentence;
// where that cannot be, the store holds what it is given and never writes, so
// that no file is lost.
func Open(ctx context.Context, path string, check Check) (*Store, error) {
	s := &Store{path: path, check: check, values: map[string]any{}, dirty: map[string]uint64{}, wake: make(chan struct{}, 1)}
	data, _, err := files.Read(ctx, path, MaxBytes+1)
	if s.fresh = errors.Is(err, fs.ErrNotExist); s.fresh {
		return s, nil
	}
	bad := 0
	if err == nil {
		s.read = sha256.Sum256(data)
		var values map[string]any
		if values, bad, err = decode(data, check); values != nil {
			s.values = values
		}
	}
	if err == nil && bad == 0 {
		return s, nil
	}
	aside, late := Aside(ctx, path)
	if late != nil {
		s.sealed = s.fault("cannot be read, nor kept under another name, and are left alone", errors.Join(err, late))
		return s, s.sealed
	}
	s.stale = true
	if err != nil {
		return s, fmt.Errorf("the settings could not be read and are as they came; the old file is kept as %s (%w)", files.Name(aside), files.Cause(err))
	}
	return s, fmt.Errorf("%d of the settings could not be read and are as they came; the old file is kept as %s", bad, files.Name(aside))
}

// Read is what a file holds, for one that is taken over: as [Open] reads it, but
// the file is left alone. bad counts the values that were left out.
func Read(ctx context.Context, path string, check Check) (values map[string]any, bad int, err error) {
	data, _, err := files.Read(ctx, path, MaxBytes+1)
	if err != nil {
		return nil, 0, err
	}
	return decode(data, check)
}

// decode reads an object. A value that makes no sense is left out and counted.
func decode(data []byte, check Check) (values map[string]any, bad int, err error) {
	if len(data) > MaxBytes {
		return nil, 0, errors.New("it is far too large")
	}
	var raw map[string]json.RawMessage
	if json.Unmarshal(data, &raw) != nil {
		return nil, 0, errors.New("it is cut off, or something else")
	}
	if raw == nil {
		return nil, 0, errors.New("it holds no settings")
	}
	values = map[string]any{}
	for name, text := range raw {
		v, ok := value(text)
		name, ok2 := unquoted(name)
		if !ok || !ok2 || !check(name, v) {
			bad++
			continue
		}
		values[name] = v
	}
	return values, bad, nil
}

// value is one value of the file.
func value(data []byte) (any, bool) {
	var v any
	if err := json.Unmarshal(data, &v); err != nil {
		return nil, false // such as a number beyond all bounds
	}
	switch v := v.(type) {
	case bool:
		return v, true
	case float64:
		return v, !math.IsInf(v, 0) && !math.IsNaN(v)
	case string:
		return unquotedValue(v)
	case []any:
		list := make([]string, len(v))
		for i, item := range v {
			text, ok := item.(string)
			if !ok {
				return nil, false
			}
			if list[i], ok = unquoted(text); !ok {
				return nil, false
			}
		}
		return list, true
	}
	return nil, false
}

func unquotedValue(text string) (any, bool) {
	text, ok := unquoted(text)
	return text, ok
}

// encode is the file.
func encode(values map[string]any) ([]byte, error) {
	out := make(map[string]any, len(values))
	for name, v := range maps.All(values) {
		switch t := v.(type) {
		case string:
			v = quoted(t)
		case []string:
			list := slices.Clone(t)
			for i := range list {
				list[i] = quoted(list[i])
			}
			v = list
		}
		out[quoted(name)] = v
	}
	data, err := json.MarshalIndent(out, "", "\t")
	if err == nil && len(data) >= MaxBytes {
		err = errors.New("there are too many of them")
	}
	return append(data, '\n'), err
}

// quoted is a text as JSON can hold it: one that is no UTF-8, such as the name of
// some files, is put in Go's quotes, and so is one that begins like that.
func quoted(text string) string {
	if utf8.ValidString(text) && !strings.HasPrefix(text, `"`) {
		return text
	}
	return strconv.Quote(text)
}

func unquoted(text string) (string, bool) {
	if !strings.HasPrefix(text, `"`) {
		return text, true
	}
	out, err := strconv.Unquote(text)
	return out, err == nil
}

// Aside keeps what stands at path under another name beside it, which it returns
// without the folder. A plain file has both names afterwards, so that it is there
// until another takes its place; what is no plain file has the new name alone.
func Aside(ctx context.Context, path string) (string, error) {
	if err := ctx.Err(); err != nil {
		return "", err
	}
	info, err := os.Lstat(path)
	if err != nil {
		return "", files.Cause(err)
	}
	ext := filepath.Ext(path)
	stem := strings.TrimSuffix(path, ext) + ".bad"
	const most = 100
	for n := 1; ; n++ {
		aside := stem + ext
		if n > 1 {
			aside = fmt.Sprintf("%s %d%s", stem, n, ext)
		}
		there, err := os.Lstat(aside)
		switch {
		case err == nil && os.SameFile(info, there):
			return filepath.Base(aside), nil // kept already
		case err == nil && n < most:
			continue
		case info.Mode().IsRegular() && os.Link(path, aside) == nil:
			return filepath.Base(aside), nil
		}
		return filepath.Base(aside), files.Cause(os.Rename(path, aside))
	}
}

func (s *Store) fault(what string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("the settings in %s %s: %w", files.Name(s.path), what, files.Cause(err))
}
