package journal

import (
	"testing"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

func step(name string, edit func(*ladder.Step)) ladder.Step {
	s := march.Step(edit)
	s.Name = name
	return s
}

// A step's history is found again when the step is renamed, its routine is moved
// or copied, or somebody else gives a routine of the same passage.
func TestAStepKeepsItsHistory(t *testing.T) {
	start := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	other := func(s *ladder.Step) { s.Passage.From, s.Passage.To, s.Chunk.Bar = 21, 24, 21 }
	none := func(s *ladder.Step) { s.Passage.Piece = "" }
	type steps = []ladder.Step
	for _, tt := range []struct {
		name    string
		before  steps // of a.yaml; the first was played
		then    map[string]steps
		at      Place
		history bool
	}{
		{"as it was", steps{step("Run", nil)}, nil, Place{"a.yaml", "Run"}, true},
		{"renamed", steps{step("Run", nil), step("Turn", other)}, map[string]steps{"a.yaml": {step("Weir Street run", nil), step("Turn", other)}}, Place{"a.yaml", "Weir Street run"}, true},
		{"renamed, of no piece", steps{step("Run", none)}, map[string]steps{"a.yaml": {step("Runs", none)}}, Place{"a.yaml", "Runs"}, true},
		{"another step instead", steps{step("Run", nil)}, map[string]steps{"a.yaml": {step("Turn", other)}}, Place{"a.yaml", "Turn"}, false},
		{"one more", steps{step("Run", nil)}, map[string]steps{"a.yaml": {step("Run", nil), step("Run again", nil)}}, Place{"a.yaml", "Run again"}, false},
		{"moved", steps{step("Run", none)}, map[string]steps{"b.yaml": {step("Run", none)}}, Place{"b.yaml", "Run"}, true},
		{"given by a teacher", steps{step("Run", nil)}, map[string]steps{"b.yaml": {step("Bars 17 to 20", nil)}}, Place{"b.yaml", "Bars 17 to 20"}, true},
		{"of no piece, in another routine", steps{step("Run", none)}, map[string]steps{"b.yaml": {step("Scale", none)}}, Place{"b.yaml", "Scale"}, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			b := NewBook(nil)
			b.Meet("a.yaml", tt.before)
			r := Played(ladder.Played{Number: 1, Name: "Run", Tempo: click.BPM(64), Chunk: tt.before[0].Chunk, Verdict: ladder.Clean, Whole: true},
				tt.before[0], "a.yaml", Session{1, start}, start)
			b.Apply(Entry{Rep: &r})
			for path, s := range tt.then {
				b.Meet(path, s)
				if again := b.Meet(path, s); len(again) != 0 {
					t.Errorf("to meet it again is news: %+v", again)
				}
			}
			if got := len(b.Of(tt.at).Days) > 0; got != tt.history {
				t.Errorf("there is a history: %v, want %v", got, tt.history)
			}
		})
	}
}

// A name that was given up by one step and taken by another stands for the other.
func TestANameThatIsTakenAgain(t *testing.T) {
	b := NewBook(nil)
	b.Meet("a.yaml", []ladder.Step{step("Run", nil)})
	b.Apply(Entry{Left: &Left{Place: Place{"a.yaml", "Run"}, At: time.Unix(1, 0), Stood: ladder.Bookmark{Tempo: click.BPM(72)}}})
	b.Meet("a.yaml", []ladder.Step{step("Slow run", nil)})
	b.Meet("a.yaml", []ladder.Step{step("Slow run", nil), step("Run", nil)})
	if got := b.Of(Place{"a.yaml", "Slow run"}).Stood.Tempo; got != click.BPM(72) {
		t.Errorf("the renamed step stood at %s", got)
	}
	if got := b.Of(Place{"a.yaml", "Run"}).Stood.Tempo; got != 0 {
		t.Errorf("the new step stood at %s", got)
	}
}
