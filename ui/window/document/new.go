package document

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"unicode"

	"footing/ladder/routine"
)

// saveNew gives a new routine a file: at path, or beside it when that is taken.
// The folder is made when it is not there.
func saveNew(f File, path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return &routine.SaveError{Path: path, Err: err}
	}
	err := f.SaveAs(path)
	ext := filepath.Ext(path)
	for n := 2; errors.Is(err, fs.ErrExist) && n < 1000; n++ {
		err = f.SaveAs(strings.TrimSuffix(path, ext) + " " + strconv.Itoa(n) + ext)
	}
	return err
}

// FileName is a name for the file of a routine: its own, in letters and digits
// that every system can store.
func FileName(name string) string {
	var b strings.Builder
	dash := false
	for _, r := range strings.ToLower(name) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
			dash = false
		case b.Len() > 0 && !dash:
			b.WriteByte('-')
			dash = true
		}
		if b.Len() > 60 {
			break
		}
	}
	base := strings.Trim(b.String(), "-")
	if base == "" {
		base = "routine"
	}
	return base + ".yaml"
}
