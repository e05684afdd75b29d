// Package routines is the Routines view: the files of the player's folder, the
// steps of one, and a step in the same words as the file.
package routines

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"footing/ladder"
	"footing/ladder/routine"
)

// Fresh is a new routine with one step, in no file yet.
func Fresh() *routine.File {
	step := ladder.DefaultStep()
	step.Name = "First step"
	f, err := routine.New(ladder.Routine{Name: "New routine", Steps: []ladder.Step{step}})
	if err != nil {
		panic(fmt.Sprintf("the default step can not be written: %v", err)) // a test holds that it can
	}
	return f
}

// desk is the routine that lies open in the view: its file, and the version
// that is being edited.
type desk struct {
	file  *routine.File
	place string // where a new routine will have its file; else empty
	blank bool   // it began from nothing
	owed  bool   // the last save failed
	now   ladder.Routine
	step  int
}

// path is the file's, or where it will be.
func (d *desk) path() string {
	if d.place != "" {
		return d.place
	}
	return d.file.Path()
}

func (d *desk) changed() bool { return d.owed || d.place != "" || !equal(d.now, d.file.Routine()) }

// precious reports whether something would be lost with what is not saved: a
// routine that began from nothing and was not touched is no loss.
func (d *desk) precious() bool {
	return d.changed() && !(d.blank && d.place != "" && equal(d.now, d.file.Routine()))
}

func equal(a, b ladder.Routine) bool {
	if a.Name != b.Name || len(a.Steps) != len(b.Steps) {
		return false
	}
	for i := range a.Steps {
		x, y := routine.Texts(a.Steps[i]), routine.Texts(b.Steps[i])
		for id, v := range x {
			if y[id] != v {
				return false
			}
		}
	}
	return true
}

// free is a name like name that no step has.
func (d *desk) free(name string) string {
	taken := func(n string) bool {
		return slices.ContainsFunc(d.now.Steps, func(s ladder.Step) bool { return s.Name == n })
	}
	if !taken(name) {
		return name
	}
	for n := 2; ; n++ {
		if again := fmt.Sprintf("%s %d", name, n); !taken(again) {
			return again
		}
	}
}

// add puts a step after the one in hand.
func (d *desk) add(s ladder.Step) {
	s.Name = d.free(s.Name)
	d.now.Steps = slices.Insert(slices.Clone(d.now.Steps), d.step+1, s)
	d.step++
}

// move moves the step in hand up (by below 0) or down.
func (d *desk) move(by int) {
	to := d.step + by
	if to < 0 || to >= len(d.now.Steps) {
		return
	}
	d.now.Steps = slices.Clone(d.now.Steps)
	d.now.Steps[d.step], d.now.Steps[to] = d.now.Steps[to], d.now.Steps[d.step]
	d.step = to
}

// remove takes the step in hand out, unless it is the last one.
func (d *desk) remove() {
	if len(d.now.Steps) < 2 {
		return
	}
	d.now.Steps = slices.Delete(slices.Clone(d.now.Steps), d.step, d.step+1)
	d.step = min(d.step, len(d.now.Steps)-1)
}

// set puts another version of the step in hand in its place.
func (d *desk) set(s ladder.Step) {
	d.now.Steps = slices.Clone(d.now.Steps)
	d.now.Steps[d.step] = s
}

// duplicate is a new routine like this one.
func (d *desk) duplicate(dir string) (*desk, error) {
	r := d.now
	r.Name += " copy"
	f, err := routine.New(r)
	if err != nil {
		return nil, err
	}
	return &desk{file: f, place: filepath.Join(dir, FileName(r.Name)), now: f.Routine()}, nil
}

// wrong is one thing wrong with a file, and the text around it.
type wrong struct{ line, excerpt string }

// explain is what is wrong with a file that can not be read.
func explain(path string, err error, data []byte) []wrong {
	var bad routine.Errors
	if !errors.As(err, &bad) {
		return []wrong{{line: err.Error()}}
	}
	const most = 6
	var out []wrong
	for i, e := range bad {
		if i == most {
			return append(out, wrong{line: fmt.Sprintf("and %d more", len(bad)-most)})
		}
		short := *e
		short.File = filepath.Base(path)
		out = append(out, wrong{short.Error(), strings.TrimRight(routine.Excerpt(data, e.Line, e.Col), "\n")})
	}
	return out
}
