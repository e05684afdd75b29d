package routines

import (
	"slices"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/routine"
)

func TestAFieldAtFaultKeepsNoOtherBack(t *testing.T) {
	s := ladder.DefaultStep()
	s.Name, s.Passage = "Run", ladder.Passage{From: 17, To: 20}
	s.Chunk.Bar = 18
	good := routine.Texts(s)
	for _, tt := range []struct {
		name  string
		typed map[string]string
		left  []string
		holds func(ladder.Step) bool
	}{
		{"nothing at fault", map[string]string{"reps": "9"}, nil, func(s ladder.Step) bool { return s.Reps == 9 }},
		{"one of two", map[string]string{"reps": "9", "passage bars": "17-20x"}, []string{"passage bars"},
			func(s ladder.Step) bool { return s.Reps == 9 && s.Passage.To == 20 }},
		{"all", map[string]string{"reps": "many", "passage bars": "17-20x"}, []string{"passage bars", "reps"},
			func(s ladder.Step) bool { return s.Reps == 5 && s.Passage.To == 20 }},
		// A chunk in bar 22 can only be taken once the passage goes so far.
		{"two that go together", map[string]string{"passage bars": "21-24", "chunk start": "22:1"}, nil,
			func(s ladder.Step) bool { return s.Passage.From == 21 && s.Chunk.Bar == 22 }},
		{"one that asks for another", map[string]string{"passage bars": "17-24", "chunk start": "22:1", "reps": "many"}, []string{"reps"},
			func(s ladder.Step) bool { return s.Passage.To == 24 && s.Chunk.Bar == 22 }},
		{"one that asks for what is at fault", map[string]string{"passage bars": "21-24x", "chunk start": "22:1", "chunk beats": "3"},
			[]string{"chunk start", "passage bars"}, func(s ladder.Step) bool { return s.Chunk.Length == click.Whole(3) && s.Chunk.Bar == 18 }},
	} {
		texts := routine.Texts(s)
		for id, text := range tt.typed {
			texts[id] = text
		}
		got, left, bad := take(good, texts)
		if !slices.Equal(left, tt.left) || (bad != nil) != (len(tt.left) > 0) || !tt.holds(got) {
			t.Errorf("%s: left are %v, want %v; the fault is %v, the step\n%+v", tt.name, left, tt.left, bad, got)
		}
	}
}
