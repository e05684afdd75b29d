package notes_test

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/notes"
)

// A number is one goal; a word, of which tables disagree, three. They are of the passage:
// what is in force at its first full bar, and what comes later.
func TestGoalsOfAPassage(t *testing.T) {
	for _, tt := range []struct {
		text  string
		to    int
		meter click.Meter
		want  string
	}{
		{"c8 |]", 17, click.MakeMeter(4, 4), ""},
		{"Q:1/4=104\nc8 |]", 17, click.MakeMeter(4, 4), "quarter = 104 in bar 17: 104"},
		{"Q:\"Andante\"\nc8 |]", 17, click.MakeMeter(4, 4), "Andante in bar 17: tables go from 60 to 108: 60 84 108"},
		{"Q:1/4=90\nc6 |]", 17, click.MakeMeter(6, 8), "quarter = 90 in bar 17: 60"},
		{"Q:\"Allegro\"\nc6 |]", 17, click.MakeMeter(6, 8), "Allegro in bar 17: tables go from 116 to 168: 116 144 168"},
		{"Q:1/4=104\nc8 |\nQ:\"Largo\"\nc8 |]", 18, click.MakeMeter(4, 4), "quarter = 104 in bar 17: 104; Largo in bar 18: tables go from 40 to 60: 40 50 60"},
		{"Q:1/32=40\nc8 |]", 17, click.MakeMeter(4, 4), ""}, // slower than the click goes
		{"c8 |" + strings.Repeat("\n[Q:1/4=90]c8 |", 6), 23, click.MakeMeter(4, 4), "quarter = 90 in bar 18: 90; quarter = 90 in bar 19: 90; quarter = 90 in bar 20: 90; quarter = 90 in bar 21: 90"},
	} {
		s := ladder.DefaultStep()
		s.Name, s.Passage, s.Meter, s.Unit = "Run", ladder.Passage{From: 17, To: tt.to}, tt.meter, tt.meter.Unit()
		s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(1)}
		s.Notes.Typed = ladder.TypedNotes{Unit: "1/8", Text: tt.text}
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Fatalf("%s: %v", tt.text, err)
		}
		var got []string
		for _, g := range n.Goals(s) {
			line := g.Says + ":"
			for _, t := range g.Tempos {
				line += fmt.Sprintf(" %v", t)
			}
			got = append(got, line)
		}
		if g := strings.Join(got, "; "); g != tt.want {
			t.Errorf("%q: %s, want %s", tt.text, g, tt.want)
		}
	}
}
