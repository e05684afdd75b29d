package document

import (
	"reflect"
	"testing"

	"footing/audio/click"
	"footing/ladder"
)

func routineOf(names ...string) ladder.Routine {
	r := ladder.Routine{Name: "Morning runs"}
	for _, name := range names {
		s := ladder.DefaultStep()
		s.Name, s.Passage = name, ladder.Passage{From: 17, To: 20}
		s.Chunk.Bar = 17
		r.Steps = append(r.Steps, s)
	}
	return r
}

// with is the routine with a step changed.
func with(r ladder.Routine, i int, edit func(*ladder.Step)) ladder.Routine {
	r.Steps = append([]ladder.Step(nil), r.Steps...)
	edit(&r.Steps[i])
	return r
}

func TestMergeKeepsBothSidesValueByValue(t *testing.T) {
	base := routineOf("Run", "Settling")
	mine := with(base, 0, func(s *ladder.Step) { s.Passage.To = 22 })
	theirs := with(base, 0, func(s *ladder.Step) { s.Chunk.Length, s.Reps = click.Whole(4), 9 })
	want := with(theirs, 0, func(s *ladder.Step) { s.Passage.To = 22 })
	if got := Merge(base, mine, theirs); !reflect.DeepEqual(got, want) {
		t.Errorf("merged to\n%+v\nwant\n%+v", got, want)
	}
	if got := Merge(base, base, theirs); !reflect.DeepEqual(got, theirs) {
		t.Errorf("without an edit of mine:\n%+v", got)
	}
	if got := Merge(base, mine, base); !reflect.DeepEqual(got, mine) {
		t.Errorf("without an edit of theirs:\n%+v", got)
	}
	both := with(base, 0, func(s *ladder.Step) { s.Reps = 3 })
	if got := Merge(base, both, theirs).Steps[0].Reps; got != 3 {
		t.Errorf("where both edit the same value it is %d, want mine, 3", got)
	}
}

func TestMergeFollowsStepsThatWereMovedRenamedAddedAndRemoved(t *testing.T) {
	base := routineOf("A", "B", "C")
	theirs := with(base, 1, func(s *ladder.Step) { s.Reps = 9 })
	renamed := with(base, 1, func(s *ladder.Step) { s.Name = "B, slowly" })
	moved := ladder.Routine{Name: base.Name, Steps: []ladder.Step{base.Steps[1], base.Steps[0], base.Steps[2]}}
	removed := ladder.Routine{Name: base.Name, Steps: []ladder.Step{base.Steps[0], base.Steps[1]}}
	added := ladder.Routine{Name: "Evening runs", Steps: append(append([]ladder.Step(nil), base.Steps...), routineOf("D").Steps...)}
	for _, tt := range []struct {
		name  string
		mine  ladder.Routine
		names []string
		reps  int // index of the step that theirs edited
	}{
		{"renamed", renamed, []string{"A", "B, slowly", "C"}, 1},
		{"moved", moved, []string{"B", "A", "C"}, 0},
		{"removed", removed, []string{"A", "B"}, 1},
		{"added", added, []string{"A", "B", "C", "D"}, 1},
	} {
		got := Merge(base, tt.mine, theirs)
		var names []string
		for _, s := range got.Steps {
			names = append(names, s.Name)
		}
		if !reflect.DeepEqual(names, tt.names) || got.Steps[tt.reps].Reps != 9 || got.Name != tt.mine.Name {
			t.Errorf("%s: %q with steps %v, of which %d has %d reps", tt.name, got.Name, names, tt.reps, got.Steps[tt.reps].Reps)
		}
	}
	if got := Merge(base, base, added); !reflect.DeepEqual(got, added) {
		t.Errorf("a step that theirs added: %+v", got)
	}
}

func TestMergeMakesNoStepThatCanNotBePractised(t *testing.T) {
	base := routineOf("Run")
	mine := with(base, 0, func(s *ladder.Step) { s.Passage.To = 17 })
	theirs := with(base, 0, func(s *ladder.Step) { s.Chunk.Bar = 20 })
	if got := Merge(base, mine, theirs); !reflect.DeepEqual(got, mine) {
		t.Errorf("a chunk outside of its passage: %+v", got)
	}
}

func TestMergeKeepsEachSidesInstrument(t *testing.T) {
	base := routineOf("A")
	mine, theirs := base, base
	mine.Instrument.Name = "bassoon"
	if got := Merge(base, mine, theirs); got.Instrument.Name != "bassoon" {
		t.Errorf("mine is lost: %+v", got.Instrument)
	}
	if got := Merge(base, base, mine); got.Instrument.Name != "bassoon" {
		t.Errorf("theirs is lost: %+v", got.Instrument)
	}
}
