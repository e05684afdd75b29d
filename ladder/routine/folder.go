package routine

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/adrg/xdg"

	"footing/assets"
	"footing/files"
	"footing/ladder/fingers"
)

// Folder is where the user's routines are kept: footing/routines in the user's
// data folder (XDG Base Directory Specification; the platform's own
// elsewhere). It need not exist.
func Folder() string { return filepath.Join(xdg.DataHome, "footing", "routines") }

// Entry is a routine file in a folder.
type Entry struct {
	Path string
	// Name is the routine's own name; the file's where it cannot be read.
	Name string
	// Err is what Load says, nil when the routine is sound.
	Err error
}

// List is the routines of a folder, the files that end in .yaml or .yml, by
// name. A folder that is not there holds none. The player's fingerings, which lie
// beside them, are none.
func List(folder string) ([]Entry, error) {
	found, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("list the routines in %s: %w", files.Name(folder), files.Cause(err))
	}
	var out []Entry
	for _, file := range found {
		ext := strings.ToLower(filepath.Ext(file.Name()))
		if file.IsDir() || strings.HasPrefix(file.Name(), ".") || ext != ".yaml" && ext != ".yml" || file.Name() == fingers.OwnFile {
			continue
		}
		e := Entry{Path: filepath.Join(folder, file.Name()), Name: strings.TrimSuffix(file.Name(), filepath.Ext(file.Name()))}
		f, err := Load(e.Path)
		if err == nil {
			e.Name = f.routine.Name
		}
		e.Err = err
		out = append(out, e)
	}
	slices.SortStableFunc(out, func(a, b Entry) int {
		return cmp.Or(strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), strings.Compare(a.Path, b.Path))
	})
	return out, nil
}

// CopyStarters makes the folder with the starter routines in it when there is
// no such folder yet, and returns their paths. A folder that is there, even an
// empty one, is left alone: what the user has deleted does not come back. The
// folder appears whole or not at all.
func CopyStarters(folder string) ([]string, error) {
	fail := func(err error) ([]string, error) {
		return nil, fmt.Errorf("copy the starter routines to %s: %w", files.Name(folder), files.Cause(err))
	}
	if _, err := os.Lstat(folder); !errors.Is(err, fs.ErrNotExist) {
		if err != nil {
			return fail(err)
		}
		return nil, nil
	}
	parent := filepath.Dir(folder)
	if err := os.MkdirAll(parent, 0o700); err != nil {
		return fail(err)
	}
	temp, err := os.MkdirTemp(parent, ".routines-*")
	if err != nil {
		return fail(err)
	}
	defer os.RemoveAll(temp)
	starters, err := fs.Glob(assets.Routines, "routines/*.yaml")
	if err != nil {
		return fail(err)
	}
	var paths []string
	for _, name := range starters {
		data, err := assets.Routines.ReadFile(name)
		if err != nil {
			return fail(err)
		}
		base := filepath.Base(name)
		if err := os.WriteFile(filepath.Join(temp, base), data, 0o666); err != nil {
			return fail(err)
		}
		paths = append(paths, filepath.Join(folder, base))
	}
	if err := os.Rename(temp, folder); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return nil, nil // another window was first
		}
		return fail(err)
	}
	return paths, nil
}
