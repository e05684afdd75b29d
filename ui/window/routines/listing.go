package routines

import (
	"context"
	"path/filepath"
	"slices"

	"footing/files"
	"footing/ladder/routine"
	"footing/ui/window/document"
)

// trouble is a file that cannot be read.
type trouble struct {
	path string
	err  error
	data []byte
}

// list reads the player's folder, and adds what is open from elsewhere.
func (v *View) list() {
	var also []string
	add := func(path string) {
		if path != "" {
			also = append(also, path)
		}
	}
	if doc, _ := v.o.AtStand(); doc != nil {
		add(doc.Path())
	}
	if v.desk != nil {
		add(v.desk.doc.Path())
	}
	if v.bad != nil {
		add(v.bad.path)
	}
	var entries []routine.Entry
	v.o.Read(func() { entries = listed(v.o.Dir, also) }, func() {
		v.entries = entries
		v.show()
	})
}

// listed is the routines of a folder, with some more before them. It waits for
// the disk.
func listed(dir string, also []string) []routine.Entry {
	entries, _ := routine.List(dir)
	for _, path := range also {
		if slices.ContainsFunc(entries, func(e routine.Entry) bool { return e.Path == path }) {
			continue
		}
		e := routine.Entry{Path: path, Name: filepath.Base(path)}
		f, err := routine.Load(path)
		if e.Err = err; err == nil {
			e.Name = f.Routine().Name
		}
		entries = append([]routine.Entry{e}, entries...)
	}
	return entries
}

// Trouble shows what is wrong with a file, which is left alone.
func (v *View) Trouble(path string, err error) {
	var data []byte
	v.o.Read(func() { data, _ = readSome(path) }, func() { v.faulty(&trouble{path, err, data}) })
}

func (v *View) faulty(bad *trouble) {
	v.use(nil, 0)
	v.bad = bad
	v.show()
	v.list()
}

// readSome is the beginning of a file, as much as a routine may be long.
func readSome(path string) ([]byte, error) {
	data, _, err := files.Read(context.Background(), path, routine.MaxBytes)
	return data, err
}

// open opens a file of the list, or from elsewhere.
func (v *View) open(path string) {
	if v.opening != nil || v.recipe != nil || v.ordering != nil || v.exporting != nil {
		v.giveUp()
		v.endExport()
		v.recipe, v.ordering = nil, nil
		v.show()
	}
	if v.desk != nil && v.desk.path() == path || v.bad != nil && v.bad.path == path || v.wanted == path {
		return
	}
	v.leave(func() { v.read(path) })
}

// read opens a file, the one at the Stand as it stands there.
func (v *View) read(path string) {
	if doc, step := v.o.AtStand(); doc != nil && doc.Path() == path {
		v.use(newDesk(doc), step)
		v.show()
		v.list()
		return
	}
	v.wanted = path
	var f *routine.File
	var err error
	var data []byte
	v.o.Read(func() {
		if f, err = routine.Load(path); err != nil {
			data, _ = readSome(path)
		}
	}, func() {
		switch {
		case v.wanted != path: // another is wanted meanwhile
		case err != nil:
			v.faulty(&trouble{path, err, data})
		default:
			v.use(newDesk(document.Open(f)), 0)
			v.show()
			v.list()
		}
	})
}
