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

// Of names that the document cannot have, only those that were edited are held back.
func TestANameThatAnotherStepHasIsHeldBack(t *testing.T) {
	step := func(names ...string) (r ladder.Routine) {
		r.Name = "Runs"
		for _, n := range names {
			s := ladder.DefaultStep()
			s.Name = n
			r.Steps = append(r.Steps, s)
		}
		return r
	}
	for _, tt := range []struct {
		name        string
		was, typed  []string
		sound       []string
		refused, at int
		as          string
	}{
		{"none", []string{"A", "B"}, []string{"A", "C"}, []string{"A", "C"}, -1, 0, ""},
		{"an earlier step's", []string{"A", "B"}, []string{"A", "A"}, []string{"A", "B"}, 1, 1, "B"},
		{"a later step's", []string{"A", "B"}, []string{"B", "B"}, []string{"A", "B"}, 0, 0, "A"},
		{"they change places", []string{"A", "B"}, []string{"B", "A"}, []string{"B", "A"}, -1, 0, ""},
		{"one after the other", []string{"A", "B", "C"}, []string{"B", "C", "C"}, []string{"A", "B", "C"}, 1, 1, "B"},
		{"an empty one", []string{"A", "B"}, []string{"", "B"}, []string{"A", "B"}, 0, 0, "A"},
		{"with a step more", []string{"A", "B"}, []string{"A", "B", "B"}, []string{"A", "B", "B 2"}, 2, 2, "B 2"},
		{"not the one in hand", []string{"A", "B", "C"}, []string{"A", "A", "C"}, []string{"A", "B", "C"}, 1, 2, "B"},
	} {
		d := &desk{base: step(tt.was...), now: step(tt.typed...), step: tt.at}
		if got := d.named(); !equal(got, step(tt.sound...)) {
			t.Errorf("%s: the document takes %+v", tt.name, got)
		}
		if i, as := d.refused(); i != tt.refused || as != tt.as {
			t.Errorf("%s: refused is %d as %q, want %d as %q", tt.name, i, as, tt.refused, tt.as)
		}
		if bad := d.clash(); (bad != nil) != (tt.refused == tt.at && tt.typed[tt.at] != "") {
			t.Errorf("%s: the step in hand is said to be at fault: %v", tt.name, bad)
		}
	}
}
