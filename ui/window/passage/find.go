package passage

import (
	"errors"

	"footing/ladder"
	"footing/ladder/notes"
	"footing/ui/window/finder"
)

// find looks for the step's notes where those that are shown are another's. What
// is shown stays until they are found, unless they are of another step.
func (v *View) find() {
	state := v.o.Desk.View().State
	step := state.Routine.On(state.Step())
	if of := v.noteOf(0); of != v.of {
		v.of, v.cursor, v.chunk = of, 0, ladder.Chunk{}
		v.found, v.fault, v.sheet = nil, nil, nil
		v.p.notes.Refresh()
	}
	v.finder.Find(step, func(found *notes.Notes, err error) {
		v.found, v.fault = found, err
		v.relay()
		v.follow()
		v.show()
	})
	if !v.finder.Busy() {
		finder.Tell(v.o.Desk.Do, step, v.found)
	}
}

// sentence is one sentence on what keeps notes from being found.
func sentence(err error) string {
	var faults notes.Faults
	if errors.As(err, &faults) && len(faults) > 0 {
		return faults[0].Error()
	}
	return err.Error()
}

// follow puts the cursor on the chunk's first note when the chunk is another, or
// the notes are.
func (v *View) follow() {
	if v.found == nil {
		return
	}
	step := v.step()
	if step.Chunk != v.chunk || v.cursor >= len(v.found.All) {
		v.chunk = step.Chunk
		c := v.found.Chunk(step)
		switch {
		case len(c.Begin) == 0 && len(c.Held) == 0:
			v.cursor = min(v.cursor, len(v.found.All)-1)
		case len(c.Begin) == 0:
			v.cursor = c.Held[0]
		case v.cursor < c.Begin[0] || v.cursor > c.Begin[len(c.Begin)-1]:
			v.cursor = c.Begin[0]
		}
		v.toCursor()
	}
}
