package ladder

import (
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage/pattern"
)

// What a step's notes say is looked at word by word, and each fault names its key
// and what would be right. The step is bars 17 to 20 of 4/4, with a pickup of a
// beat.
func TestNotesAreChecked(t *testing.T) {
	long := func(n int) string { return strings.Repeat("x", n) }
	marks := func(n int) (out []NoteMark) {
		for range n {
			out = append(out, NoteMark{Bar: 17, Text: "flick"})
		}
		return out
	}
	mark := func(bar int, at click.Beats) []NoteMark { return []NoteMark{{Bar: bar, At: at, Text: "flick"}} }
	thirds := pattern.Words{Key: "E flat major", Figure: "thirds"}
	for _, tt := range []struct {
		name  string
		notes Notes
		key   string // of the fault; empty for none
		says  string
	}{
		{"nothing", Notes{}, "", ""},
		{"a score", Notes{Score: ScoreFile{File: "weir-street.musicxml", Part: "Bassoon"}}, "", ""},
		{"a score in a folder", Notes{Score: ScoreFile{File: "scores/weir-street.musicxml"}}, "", ""},
		{"a score elsewhere", Notes{Score: ScoreFile{File: "../weir-street.musicxml"}}, "score file", "does not lie in"},
		{"a part of nothing", Notes{Score: ScoreFile{Part: "Bassoon"}}, "score part", "no file"},
		{"a file with a tab", Notes{Score: ScoreFile{File: "a\tb"}}, "score file", "cannot be shown"},
		{"typed notes", Notes{Typed: TypedNotes{Text: "CDEF", Key: "E flat major", Unit: "1/16"}}, "", ""},
		{"typed notes as long as may be", Notes{Typed: TypedNotes{Text: long(MaxTyped)}}, "", ""},
		{"typed notes too long", Notes{Typed: TypedNotes{Text: long(MaxTyped + 1)}}, "notes", "longer than"},
		{"no such key", Notes{Typed: TypedNotes{Text: "C", Key: "H major"}}, "key", ""},
		{"no such unit", Notes{Typed: TypedNotes{Text: "C", Unit: "1/7"}}, "unit", ""},
		{"a pattern", Notes{Pattern: thirds}, "", ""},
		{"no such figure", Notes{Pattern: pattern.Words{Key: "E flat major", Figure: "thrids"}}, "pattern figure", ""},
		{"score and typed", Notes{Score: ScoreFile{File: "a.xml"}, Typed: TypedNotes{Text: "C"}}, "notes", "score and notes"},
		{"score and pattern", Notes{Score: ScoreFile{File: "a.xml"}, Pattern: thirds}, "pattern key", "score and pattern"},
		{"typed and pattern", Notes{Typed: TypedNotes{Text: "C"}, Pattern: thirds}, "pattern key", "notes and pattern"},
		{"an instrument", Notes{Instrument: Instrument{Name: "bassoon"}}, "", ""},
		{"one nearly known", Notes{Instrument: Instrument{Name: "basson"}}, "instrument name", "bassoon"},
		{"one that nobody knows", Notes{Instrument: Instrument{Name: "glass armonica of ours"}}, "instrument name", "write its range"},
		{"one of the player's own", Notes{Instrument: Instrument{Name: "ophicleide of ours", Range: "B1-C5", Sounds: "Bb3"}}, "", ""},
		{"a range of nothing", Notes{Instrument: Instrument{Range: "high"}}, "instrument range", ""},
		{"a pitch of nothing", Notes{Instrument: Instrument{Name: "bassoon", Sounds: "high"}}, "instrument sounds", ""},
		{"an instrument with a tab", Notes{Instrument: Instrument{Name: "bas\tsoon"}}, "instrument name", "cannot be shown"},
		{"as many marks as may be", Notes{Marks: marks(MaxMarks)}, "", ""},
		{"too many marks", Notes{Marks: marks(MaxMarks + 1)}, "marks", "there are 501"},
		{"a mark as long as may be", Notes{Marks: []NoteMark{{Bar: 17, Text: long(MaxMark)}}}, "", ""},
		{"a mark too long", Notes{Marks: []NoteMark{{Bar: 17, Text: long(MaxMark + 1)}}}, "marks", "longer than"},
		{"a mark in brackets", Notes{Marks: []NoteMark{{Bar: 17, Text: "[flick]"}}}, "marks", "bracket"},
		{"a mark with a tab", Notes{Marks: []NoteMark{{Bar: 17, Text: "a\tb"}}}, "marks", "cannot be shown"},
		{"a mark that says nothing", Notes{Marks: []NoteMark{{Bar: 17}}}, "marks", "says nothing"},
		{"a fingering alone", Notes{Marks: []NoteMark{{Bar: 17, Finger: "fA"}}}, "", ""},
		{"a fingering of two words", Notes{Marks: []NoteMark{{Bar: 17, Finger: "f A"}}}, "marks", "without blanks"},
		{"the second of two", Notes{Marks: []NoteMark{{Bar: 17, Text: "a"}, {Bar: 17}}}, "marks", "says nothing"},
		{"on the last beat", Notes{Marks: mark(20, click.Whole(3))}, "", ""},
		{"behind the last beat", Notes{Marks: mark(20, click.Whole(4))}, "marks", "there is no 20:5"},
		{"behind the passage", Notes{Marks: mark(21, click.Beats{})}, "marks", "there is no 21:1"},
		{"in the pickup", Notes{Marks: mark(16, click.Whole(3))}, "", ""},
		{"before the pickup", Notes{Marks: mark(16, click.Whole(2))}, "marks", "there is no 16:3"},
		{"before its bar", Notes{Marks: mark(18, click.Whole(-1))}, "marks", "there is no"},
		{"on the line", Notes{Marks: mark(18, click.Beats{})}, "", ""},
		{"two bars before", Notes{Marks: mark(15, click.Whole(3))}, "marks", "there is no 15:4"},
		{"as fine as may be", Notes{Marks: mark(18, click.Frac(1, click.MaxDenominator))}, "", ""},
		{"too fine", Notes{Marks: mark(18, click.Frac(1, click.MaxDenominator+1))}, "marks", "there is no"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := practice(func(s *Step) { s.Pickup = click.Whole(1) }).Steps[0]
			s.Notes = tt.notes
			faults := s.Check()
			switch {
			case tt.key == "" && len(faults) > 0:
				t.Errorf("it says %v", faults)
			case tt.key != "" && (len(faults) != 1 || faults[0].Key != tt.key || !strings.Contains(faults[0].Error(), tt.says)):
				t.Errorf("it says %+v, want one fault of %q that says %q", faults, tt.key, tt.says)
			}
		})
	}
}

// A chunk may be as fine and as long as its bounds say, and no more.
func TestBoundsOfAChunk(t *testing.T) {
	for _, tt := range []struct {
		at, length click.Beats
		good       bool
	}{
		{click.Beats{}, click.Frac(1, click.MaxDenominator), true},
		{click.Frac(1, click.MaxDenominator), click.Whole(1), true},
		{click.Frac(1, click.MaxDenominator+1), click.Whole(1), false},
		{click.Beats{}, click.Frac(1, click.MaxDenominator+1), false},
		{click.Beats{}, click.Beats{}, false},
		{click.Beats{}, click.Whole(MaxChunkBeats), true},
		{click.Beats{}, click.Whole(MaxChunkBeats + 1), false},
	} {
		s := practice(func(s *Step) {
			s.Passage.To = s.Passage.From + 99
			s.Chunk = click.Chunk{Bar: 17, Length: click.Whole(1)}
		}).Steps[0]
		s.Chunk.At, s.Chunk.Length = tt.at, tt.length
		if faults := s.Check(); (len(faults) == 0) != tt.good {
			t.Errorf("at %v for %v: %v", tt.at, tt.length, faults)
		}
	}
}
