package finder

import (
	"path/filepath"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/notes"
)

// typed is a step of one bar with notes.
func typed(text string) ladder.Step {
	return march.Step(func(s *ladder.Step) {
		s.Passage.From, s.Passage.To = 17, 17
		s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(1)}
		s.Notes.Typed = ladder.TypedNotes{Unit: "1/4", Text: text}
	})
}

// Notes are looked for once, whatever becomes of the chunk, and again when the
// step, or what has been forgotten, asks for it; of two searches the later counts.
func TestFind(t *testing.T) {
	var waiting []func()
	path, read := filepath.Join("a", "runs.yaml"), 0
	f := Finder{Path: func() string { return path }, Read: func(do, show func()) {
		read++
		waiting = append(waiting, func() { do(); show() })
	}}
	finish := func() {
		for _, job := range waiting {
			job()
		}
		waiting = nil
	}
	var found []int
	var faults []error
	find := func(s ladder.Step) {
		f.Find(s, func(n *notes.Notes, err error) {
			faults = append(faults, err)
			if n != nil {
				found = append(found, len(n.All))
			}
		})
	}
	step := typed("CDEF |")
	find(step)
	if !f.Busy() || read != 1 || found != nil {
		t.Fatalf("busy %v, read %d, found %v", f.Busy(), read, found)
	}
	finish()
	step.Chunk.Length = click.Whole(2)
	find(step)
	if f.Busy() || read != 1 || len(found) != 1 || found[0] != 4 || faults[0] != nil {
		t.Fatalf("busy %v, read %d, found %v, %v", f.Busy(), read, found, faults)
	}
	find(typed("CD E2 |"))
	find(typed("C4 |"))
	finish()
	if read != 3 || len(found) != 2 || found[1] != 1 {
		t.Errorf("of two steps read %d, found %v", read, found)
	}
	find(typed("Q |"))
	finish()
	if len(faults) != 3 || faults[2] == nil || len(found) != 2 {
		t.Errorf("of what is no note: %v, %v", found, faults)
	}
	find(step)
	f.GiveUp()
	finish()
	if f.Busy() || len(found) != 2 {
		t.Errorf("what was given up is found: %v", found)
	}
	find(step)
	finish()
	f.Forget()
	find(step)
	finish()
	path = filepath.Join("b", "runs.yaml")
	find(step)
	finish()
	if read != 8 || len(found) != 5 {
		t.Errorf("read %d, found %v", read, found)
	}
}
