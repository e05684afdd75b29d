package notes_test

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/notes"
)

// A dotted eighth and a sixteenth count "1 – – a" (common practice, no source), and so
// on, whatever the click's slots and on an angle too.
func TestTheRhythmOfTheNotesIsCounted(t *testing.T) {
	for _, tt := range []struct {
		notes string
		slots int
		angle string
		count click.Counting
		want  string
	}{
		{"C3D E2F2 G4 A4", 4, "", click.CountNumber, "1 – – a 2 – & – 3 – – – 4 – – – |1"},
		{"C3D E2F2 G4 A4", 1, "", click.CountNumber, "1 a 2 & 3 4 |1"},
		{"C3D E2F2 G4 A4", 2, "", click.CountTakadimi, "ta – mi ta di ta – ta – |ta"},
		{"C8 z4 A4", 2, "", click.CountNumber, "1 – – – – – 4 – |1"},
		{"(3C2D2E2 z4 F8", 2, "", click.CountNumber, "1 la – li – – 3 – – – |1"},
		{"(3C2D2E2 z4 F8", 3, "", click.CountNumber, "1 la li – – – 3 – – – – – |1"},
		{"CDEF GABc z8", 4, "long short", click.CountNumber, "1 & 2 & – – – – |1"},
		{"CDEF GABc z8", 4, "", click.CountNumber, "1 e & a 2 e & a – – – – – – – – |1"},
		{"C3D E2F2 G4 A4", 1, "", click.CountNone, ""},
		{"C3D E2F2 G4 A4", 1, "", click.CountKodaly, "ta ta ta ta |ta"},
	} {
		s := ladder.DefaultStep()
		s.Name, s.Slots, s.Count, s.Say = "Run", click.EvenSlots(tt.slots), tt.count, ladder.SayNotes
		s.Passage.To = 2
		s.Notes.Typed = ladder.TypedNotes{Unit: "1/16", Text: tt.notes + " | c16 |"}
		s.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(4), Landing: true}
		var err error
		if s.Angle, err = angle.Parse(orPlain(tt.angle)); err != nil {
			t.Fatal(err)
		}
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Fatal(err)
		}
		rep := s.Loop().RepPhrase(click.BPM(60))
		before := fmt.Sprint(rep.Strokes)
		var words []string
		last := click.Whole(-1)
		for _, stroke := range n.Rhythm(s, rep).Strokes {
			if !last.Less(stroke.At) {
				t.Fatalf("%s: a stroke at %v after %v", tt.notes, stroke.At, last)
			}
			last = stroke.At
			switch {
			case stroke.Syllable == "":
			case stroke.Part == click.InLanding:
				words = append(words, "|"+stroke.Syllable)
			default:
				words = append(words, stroke.Syllable)
			}
			if stroke.Slot < 0 && stroke.Cell == 0 && stroke.Dynamics != click.Silent {
				t.Errorf("%s: the count sounds a click at %v", tt.notes, stroke.At)
			}
		}
		if got := strings.Join(words, " "); got != tt.want {
			t.Errorf("%s in %d, %s: %s, want %s", tt.notes, tt.slots, tt.angle, got, tt.want)
		}
		if fmt.Sprint(rep.Strokes) != before {
			t.Error("the rep was written to")
		}
	}
}

func orPlain(angle string) string {
	if angle == "" {
		return "as written"
	}
	return angle
}

// What is hushed from the picture is not counted either.
func TestAHushedRhythmIsSilent(t *testing.T) {
	s := ladder.DefaultStep()
	s.Name, s.Count = "Run", click.CountNumber
	s.Notes.Typed = ladder.TypedNotes{Unit: "1/16", Text: "C3D E2F2 G4 A4 |"}
	n, _, err := notes.Of(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	rep := s.Loop().RepPhrase(click.BPM(60))
	for i := range rep.Strokes {
		rep.Strokes[i].Hushed, rep.Strokes[i].Syllable, rep.Strokes[i].Dynamics = true, "", click.Silent
	}
	if got := len(n.Rhythm(s, rep).Strokes); got != len(rep.Strokes) {
		t.Errorf("%d strokes, want %d", got, len(rep.Strokes))
	}
	rep.Strokes[0].Meant = click.Forte
	got := n.Rhythm(s, rep).Strokes
	if len(got) != len(rep.Strokes)+1 || got[1].Syllable != "a" || !got[1].Hushed || got[1].Dynamics != click.Silent {
		t.Errorf("what the picture keeps is %+v", got[1])
	}
}
