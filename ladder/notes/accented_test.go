package notes_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/notes"
)

// struck is the dynamics of a rep's strokes, those that stand between slots in
// brackets, the landing behind a bar line.
func struck(p click.Phrase) string {
	var out []string
	for _, s := range p.Strokes {
		mark := s.Dynamics.String()
		if s.Slot < 0 {
			mark = "(" + mark + ")"
		}
		if s.Part == click.InLanding {
			mark = "|" + mark
		}
		out = append(out, mark)
	}
	return strings.Join(out, " ")
}

// Accents are where the notes have them: on the first of each slur, on what is marked, or
// both, and nothing else is f.
func TestAccentsAreThoseOfTheNotes(t *testing.T) {
	for _, tt := range []struct {
		notes    string
		slots    int
		dynamics string
		pulse    click.Pulse
		angle    string
		by       ladder.Accented
		want     string
	}{
		{"C2(D2 E2)(F2 G2 A2 B2 c2) | C16", 2, "", 0, "", ladder.AccentedOff, "f p mf p mf p mf p |f |-"},
		{"C2(D2 E2)(F2 G2 A2 B2 c2) | C16", 2, "", 0, "", ladder.AccentedSlurs, "mf f mf f mf p mf p |mf |-"},
		{"C2(D2 E2)(F2 LG2 A2 B2 c2) | LC16", 2, "", 0, "", ladder.AccentedSlurs, "mf f mf f mf p mf p |mf |-"},
		{"C2(D2 E2)(F2 LG2 A2 B2 c2) | LC16", 2, "", 0, "", ladder.AccentedWritten, "mf p mf p f p mf p |f |-"},
		{"C2(D2 E2)(F2 LG2 A2 B2 c2) | LC16", 2, "", 0, "", ladder.AccentedBoth, "mf f mf f f p mf p |f |-"},
		// A slur that ends where another begins, and one over a tie and a bar line.
		{"(C4 (D4) E4) (F4 | F8) z8", 1, "", 0, "", ladder.AccentedSlurs, "f mf mf f |mf"},
		{"(C4- C4 D4) (F4 | F8) z8", 1, "", 0, "", ladder.AccentedSlurs, "f mf mf f |mf"},
		// Between the slots; not where only the pulse sounds.
		{"C3LD E4 G4 A4 | C16", 1, "", 0, "", ladder.AccentedWritten, "mf (f) mf mf mf |mf"},
		{"C3LD E4 G4 A4 | C16", 1, "", click.Halved, "", ladder.AccentedWritten, "mf - mf - |mf"},
		{"C3LD LE4 G4 A4 | C16", 1, "", click.Offbeat, "", ladder.AccentedWritten, "- (mf) - (mf) - (mf) - (mf) |- |(mf)"},
		// What is silent stays so.
		{"LC2 D2 LE2 F2 G4 A4 | C16", 2, "- p", 0, "", ladder.AccentedWritten, "- p - p - p - p |- |p"},
		// Along an angle; one with accents of its own keeps them.
		{"CLDEF G4 A8 | C16", 4, "", 0, "long short", ladder.AccentedWritten, "mf (f) p (p) mf (p) p (p) mf (p) p (p) mf (p) p (p) |mf |- |- |-"},
		{"CLDEF G4 A8 | C16", 4, "", 0, "accents every 3", ladder.AccentedWritten, "f p p f mf p f p mf f p p f p p f |f |- |- |-"},
		{"CDEF GABc CDEF GABc | C16", 4, "", 0, "slur two tongue two", ladder.AccentedSlurs, "f p p p f p p p f p p p f p p p |mf |- |- |-"},
	} {
		s := ladder.DefaultStep()
		s.Name, s.Slots, s.Pulse, s.Accented = "Run", click.EvenSlots(tt.slots), tt.pulse, tt.by
		s.Passage.To = 2
		s.Notes.Typed = ladder.TypedNotes{Unit: "1/16", Text: tt.notes + " |"}
		s.Chunk = ladder.Chunk{Bar: 1, Length: click.Whole(4), Landing: true}
		if tt.dynamics != "" {
			marks, err := click.ParseMarks(tt.dynamics)
			if err != nil {
				t.Fatal(err)
			}
			s.Accents = click.Accents{marks}
		}
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
		if got := struck(n.Accented(s, rep)); got != tt.want {
			t.Errorf("%s in %d, %s, %s: %s, want %s", tt.notes, tt.slots, tt.angle, tt.by, got, tt.want)
		}
		if fmt.Sprint(rep.Strokes) != before {
			t.Error("the rep was written to")
		}
	}
}

// What is hushed stays silent; the picture shows its accents where it shows anything.
func TestHushedAccentsAreSilent(t *testing.T) {
	s := ladder.DefaultStep()
	s.Name, s.Accented = "Run", ladder.AccentedWritten
	s.Notes.Typed = ladder.TypedNotes{Unit: "1/16", Text: "C3LD LE4 G4 A4 |"}
	n, _, err := notes.Of(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, seen := range []bool{false, true} {
		rep := s.Loop().RepPhrase(click.BPM(60))
		for i := range rep.Strokes {
			stroke := &rep.Strokes[i]
			if stroke.Hushed = true; seen {
				stroke.Meant = stroke.Dynamics
			}
			stroke.Dynamics = click.Silent
		}
		var meant []string
		for _, stroke := range n.Accented(s, rep).Strokes {
			if stroke.Dynamics != click.Silent || !stroke.Hushed {
				t.Errorf("seen %v: %+v sounds", seen, stroke)
			}
			meant = append(meant, stroke.Meant.String())
		}
		want := "- - - - - -"
		if seen {
			want = "mf f f mf mf mf"
		}
		if got := strings.Join(meant, " "); got != want {
			t.Errorf("seen %v: the picture has %s, want %s", seen, got, want)
		}
	}
}

// Whatever the slots, strokes stay in order and in their phrase, those that were there
// keep their place, and f is where a note that is asked for begins.
func TestAccentsLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := ladder.DefaultStep()
		s.Name, s.Accented = "Run", ladder.Accented(rapid.IntRange(1, 3).Draw(t, "by"))
		s.Slots = click.EvenSlots(rapid.IntRange(1, click.MaxSlots).Draw(t, "slots"))
		text := ""
		for i := range 16 {
			note := string("CDEFGAB"[i%7])
			switch rapid.IntRange(0, 3).Draw(t, "note") {
			case 0:
				note = "L" + note
			case 1:
				if i%2 == 0 {
					note = "(" + note
				}
			}
			if i%2 == 1 && strings.Count(text, "(") > strings.Count(text, ")") {
				note += ")"
			}
			text += note
		}
		s.Notes.Typed = ladder.TypedNotes{Unit: "1/16", Text: text + " |"}
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		rep := s.Loop().RepPhrase(click.BPM(60))
		got := n.Accented(s, rep)
		wanted := map[click.Beats]bool{}
		plain := strings.NewReplacer("L", "", "(", "", ")", "")
		for i, at := 0, 0; i < len(text); i++ {
			switch {
			case text[i] == 'L' && s.Accented.Written(), text[i] == '(' && s.Accented.Slurs():
				wanted[click.Frac(int64(at), 4)] = true
			case len(plain.Replace(text[i:i+1])) > 0:
				at++
			}
		}
		last, kept := click.Whole(-1), 0
		for _, stroke := range got.Strokes {
			if !last.Less(stroke.At) || !stroke.At.Less(got.Length) {
				t.Fatalf("a stroke at %v after %v", stroke.At, last)
			}
			if last = stroke.At; stroke.Slot >= 0 {
				kept++
			}
			if f := stroke.Dynamics == click.Forte; stroke.Part == click.InChunk && f != wanted[stroke.At] {
				t.Fatalf("%s: f is %v at %v", text, f, stroke.At)
			}
			delete(wanted, stroke.At)
		}
		if kept != len(rep.Strokes) || len(wanted) > 0 {
			t.Fatalf("%s: %d strokes of %d are kept, %v are missing", text, kept, len(rep.Strokes), wanted)
		}
	})
}
