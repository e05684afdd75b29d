package routines

import (
	"fmt"
	"path/filepath"
	"slices"

	"footing/ladder"
	"footing/ladder/routine"
	"footing/ui/window/document"
)

// desk is the document that lies open in the view, and what is edited here and
// not taken over by it yet.
type desk struct {
	doc  *document.Document
	base ladder.Routine // the version of the document that the edits began from
	now  ladder.Routine // with the edits
	step int
}

func newDesk(d *document.Document) *desk {
	r := d.Routine()
	return &desk{doc: d, base: r, now: r}
}

// follow brings what the document has become meanwhile together with the edits.
func (d *desk) follow() {
	latest := d.doc.Routine()
	if equal(latest, d.base) {
		return
	}
	name := d.now.Steps[d.step].Name
	d.now, d.base = document.Merge(d.base, d.now, latest), latest
	if i := d.find(name); i >= 0 {
		d.step = i
	}
	d.step = min(d.step, len(d.now.Steps)-1)
}

// find is the step of that name, −1 for none.
func (d *desk) find(name string) int {
	return slices.IndexFunc(d.now.Steps, func(s ladder.Step) bool { return s.Name == name })
}

// take has the document take over the edits, by change. The error is about names
// that it cannot have; those stay here.
func (d *desk) take(change func(*document.Document, ladder.Routine)) error {
	d.follow()
	if !d.edited() {
		return nil
	}
	faults := d.now.Check()
	sound := d.now
	if len(faults) > 0 {
		sound = d.named()
	}
	if len(sound.Check()) == 0 && !equal(sound, d.base) {
		change(d.doc, sound)
		d.base = sound
	}
	if len(faults) > 0 {
		return fmt.Errorf("not saved: %w", faults[0])
	}
	return nil
}

// named is the routine with the names it had in place of those that it cannot
// have. Where steps came or went meanwhile, a name that another step has gets a
// number.
func (d *desk) named() ladder.Routine {
	r := d.now
	r.Steps = slices.Clone(r.Steps)
	had := func(i int) string { // before the edits
		if len(r.Steps) == len(d.base.Steps) {
			return d.base.Steps[i].Name
		}
		return r.Steps[i].Name
	}
	// A name that comes back may be another step's by now, so each is asked again.
	for range len(r.Steps) + 1 {
		for _, f := range r.Check() {
			switch {
			case f.Key != "name":
			case f.Step < 0:
				r.Name = d.base.Name
			case had(f.Step) != r.Steps[f.Step].Name:
				r.Steps[f.Step].Name = had(f.Step)
			default:
				first := slices.IndexFunc(r.Steps, func(s ladder.Step) bool { return s.Name == r.Steps[f.Step].Name })
				if name := had(first); name != r.Steps[first].Name {
					r.Steps[first].Name = name
				} else {
					r.Steps[f.Step].Name = freeOf(r.Steps, r.Steps[f.Step].Name)
				}
			}
		}
	}
	return r
}

// refused is the step whose name the document cannot have, and the name that it has
// there; the step in hand before any other, −1 for none.
func (d *desk) refused() (step int, as string) {
	sound := d.named()
	step = -1
	for i, s := range d.now.Steps {
		if s.Name != sound.Steps[i].Name && (step < 0 || i == d.step) {
			step, as = i, sound.Steps[i].Name
		}
	}
	return step, as
}

// clash is the fault of the step in hand that another one has its name; nil when
// none has.
func (d *desk) clash() *fault {
	name := d.now.Steps[d.step].Name
	for i, s := range d.now.Steps {
		if i != d.step && s.Name == name && name != "" {
			return &fault{"name", fmt.Sprintf("step %d is called %q already; write a different name for each step", i+1, name)}
		}
	}
	return nil
}

// path is the file's, or where it will be.
func (d *desk) path() string { return d.doc.Place() }

// edited reports whether the document has not taken over all that was edited.
func (d *desk) edited() bool { return !equal(d.now, d.base) }

// changed reports whether there is something to save.
func (d *desk) changed() bool { return d.edited() || d.doc.Unsaved() || d.doc.Path() == "" }

// precious reports whether something would be lost with what is not saved: a
// routine that began from nothing and was not touched is no loss.
func (d *desk) precious() bool { return d.edited() || d.doc.Unsaved() }

func equal(a, b ladder.Routine) bool {
	if a.Name != b.Name || a.Instrument != b.Instrument || a.Order != b.Order || len(a.Steps) != len(b.Steps) {
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
func (d *desk) free(name string) string { return freeOf(d.now.Steps, name) }

func freeOf(steps []ladder.Step, name string) string {
	taken := func(n string) bool {
		return slices.ContainsFunc(steps, func(s ladder.Step) bool { return s.Name == n })
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

// duplicate is a new routine like this one, that is to have a file.
func (d *desk) duplicate(dir string) (*desk, error) {
	r := d.now
	r.Name += " copy"
	f, err := routine.New(r)
	if err != nil {
		return nil, err
	}
	doc := document.Begin(f, filepath.Join(dir, document.FileName(r.Name)))
	doc.Want()
	return newDesk(doc), nil
}
