package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
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

// decode reads an object. A value that makes no sense is left out and counted. A
// name in two parts, parted by NUL, is an object within, by the first part, or
// stands as it is, as older versions wrote it.
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
	take := func(name string, named bool, text json.RawMessage, read func([]byte) (any, bool)) {
		if v, ok := read(text); ok && named && check(name, v) {
			values[name] = v
		} else {
			bad++
		}
	}
	// Those within come last: they are the newer where both are there.
	for name, text := range raw {
		if text[0] != '{' {
			name, ok := unquoted(name)
			take(name, ok, text, value)
		}
	}
	for outer, text := range raw {
		if text[0] != '{' {
			continue
		}
		var within map[string]json.RawMessage
		if json.Unmarshal(text, &within) != nil || len(within) == 0 {
			bad++
			continue
		}
		outer, ok := unquoted(outer)
		for inner, text := range within {
			inner, ok2 := unquoted(inner)
			take(outer+"\x00"+inner, ok && ok2, text, valueOrObject)
		}
	}
	return values, bad, nil
}

// valueOrObject is a value within an object, where one more object is the text of
// it.
func valueOrObject(data []byte) (any, bool) {
	if data[0] != '{' {
		return value(data)
	}
	var text bytes.Buffer
	err := json.Compact(&text, data)
	return text.String(), err == nil
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
	for name, v := range values {
		outer, inner, two := strings.Cut(name, "\x00")
		if _, taken := values[outer]; taken {
			two = false
		}
		switch t := v.(type) {
		case string:
			if v = quoted(t); two && object(t) {
				v = json.RawMessage(t)
			}
		case []string:
			list := slices.Clone(t)
			for i := range list {
				list[i] = quoted(list[i])
			}
			v = list
		}
		if !two {
			out[quoted(name)] = v
			continue
		}
		within, ok := out[quoted(outer)].(map[string]any)
		if !ok {
			within = map[string]any{}
			out[quoted(outer)] = within
		}
		within[quoted(inner)] = v
	}
	var data bytes.Buffer
	e := json.NewEncoder(&data)
	e.SetEscapeHTML(false) // which would change the text of an object
	e.SetIndent("", "\t")
	err := e.Encode(out)
	if err == nil && data.Len() > MaxBytes {
		err = errors.New("there are too many of them")
	}
	return data.Bytes(), err
}

// object reports whether a text is an object as decode gives it back.
func object(text string) bool {
	var same bytes.Buffer
	return strings.HasPrefix(text, "{") && utf8.ValidString(text) && json.Compact(&same, []byte(text)) == nil && same.String() == text
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
