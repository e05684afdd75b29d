package pattern_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
)

// The figures that the lists do not have (common practice, no source).
func TestFigures(t *testing.T) {
	for _, c := range []struct {
		words pattern.Words
		want  string
	}{
		{pattern.Words{Key: "C", Figure: "broken chord up"}, "C4 E4 G4 E4 G4 C5 G4 C5 E5 C5"},
		{pattern.Words{Key: "A minor", Figure: "broken chords down"}, "A5 E5 C5 E5 C5 A4 C5 A4 E4 A4"},
		{pattern.Words{Key: "Bb", Figure: "sixths up"}, "Bb4 G5 C5 A5 D5 Bb5 Eb5 C6 F5 D6 G5 Eb6 A5 F6 Bb5"},
		{pattern.Words{Key: "G", Figure: "broken sevenths up"}, "G4 B4 D5 F#5 A4 C5 E5 G5 B4 D5 F#5 A5 C5 E5 G5 B5 D5 F#5 A5 C6 E5 G5 B5 D6 F#5 A5 C6 E6 G5"},
		{pattern.Words{Key: "C", Figure: "thirds"}, "C4 E4 D4 F4 E4 G4 F4 A4 G4 B4 A4 C5 B4 D5 C5 A4 B4 G4 A4 F4 G4 E4 F4 D4 E4 C4 D4 B3 C4"},
		{pattern.Words{Key: "E flat major", Figure: "thirds up", Octaves: 1, From: "E4", Range: "E3-C6"}, "Eb4 G4 F4 Ab4 G4 Bb4 Ab4 C5 Bb4 D5 C5 Eb5 D5 F5 Eb5"},
		{pattern.Words{Key: "C", Figure: "thirds up", Range: "C4-D5"}, "C4 E4 D4 F4 E4 G4 F4 A4 G4 B4 A4 C5 B4 D5"},
		{pattern.Words{Key: "C", Figure: "thirds", Range: "B3-A4"}, "C4 E4 D4 F4 E4 G4 F4 A4 F4 G4 E4 F4 D4 E4 C4 D4 B3 D4 C4"},
		{pattern.Words{Key: "C", Figure: "thirds", Range: "F3-C4"}, "C4 A3 B3 G3 A3 F3 A3 G3 B3 A3 C4"},
		{pattern.Words{Key: "C", Figure: "scale down", Range: "B3-E5"}, "C5 B4 A4 G4 F4 E4 D4 C4 B3"},
		{pattern.Words{Key: "C", Figure: "scale down", Octaves: 1}, "C5 B4 A4 G4 F4 E4 D4 C4"},
		{pattern.Words{Key: "C", Figure: "arpeggio", From: "E4"}, "E4 G4 C5 E5 C5 G4 E4"},
		{pattern.Words{Key: "C", Figure: "dominant seventh up", From: "B3"}, "B3 D4 F4 G4 B4"},
		{pattern.Words{Key: "D dominant seventh", Range: "C4-G5"}, "D4 F#4 A4 C5 D5 F#5 D5 C5 A4 F#4 D4 C4 D4"},
		{pattern.Words{Key: "C", Figure: "scale", From: "E4"}, "E4 F4 G4 A4 B4 C5 D5 E5 D5 C5 B4 A4 G4 F4 E4"},
		{pattern.Words{Key: "C", Figure: "chromatic", Range: "B3-F#4"}, "C4 C#4 D4 D#4 E4 F4 F#4 F4 E4 Eb4 D4 Db4 C4 B3 C4"},
		{pattern.Words{Key: "C", Figure: "whole tone"}, "C4 D4 E4 F#4 G#4 A#4 C5 Bb4 Ab4 Gb4 E4 D4 C4"},
		{pattern.Words{Key: "Eb chromatic", Figure: "scale up"}, "Eb4 E4 F4 F#4 G4 Ab4 A4 Bb4 B4 C5 C#5 D5 Eb5"},
		{pattern.Words{Key: "C minor", Figure: "half-diminished seventh up"}, "D4 F4 Ab4 C5 D5"},
		{pattern.Words{Key: "B half-diminished seventh (in A minor)", Figure: "arpeggio up"}, "B4 D5 F5 A5 B5"},
		// Keys of seven signs and of more.
		{pattern.Words{Key: "C# major", Figure: "scale up"}, "C#4 D#4 E#4 F#4 G#4 A#4 B#4 C#5"},
		{pattern.Words{Key: "Cb major", Figure: "scale up"}, "Cb4 Db4 Eb4 Fb4 Gb4 Ab4 Bb4 Cb5"},
		{pattern.Words{Key: "A flat melodic minor"}, "Ab4 Bb4 Cb5 Db5 Eb5 F5 G5 Ab5 Gb5 Fb5 Eb5 Db5 Cb5 Bb4 Ab4"},
		{pattern.Words{Key: "A# harmonic minor", Figure: "scale up"}, "A#4 B#4 C#5 D#5 E#5 F#5 G##5 A#5"},
		{pattern.Words{Key: "G# major", Figure: "scale up"}, "G#4 A#4 B#4 C#5 D#5 E#5 F##5 G#5"},
		{pattern.Words{Key: "Fb major", Figure: "scale up"}, "Fb4 Gb4 Ab4 Bbb4 Cb5 Db5 Eb5 Fb5"},
	} {
		a, err := pattern.Answer(c.words)
		if got := strings.Join(a.Pitches, " "); err != nil || got != c.want {
			t.Errorf("%+v: %v\n got %s\nwant %s", c.words, err, got, c.want)
		}
	}
}

func TestWords(t *testing.T) {
	for i := pattern.Scale; i <= pattern.WholeToneFlattened; i++ {
		for _, way := range []pattern.Way{pattern.UpAndDown, pattern.Up, pattern.Down} {
			f := pattern.Figure{Shape: i, Way: way}
			for _, s := range []string{f.String(), "in " + strings.ToUpper(f.String()), strings.ReplaceAll(f.String(), " ", "_")} {
				if got, err := pattern.ParseFigure(s); err != nil || got != f {
					t.Errorf("%q is read as %v, %v", s, got, err)
				}
			}
		}
	}
	for i, name := range pattern.ArticulationNames() {
		if got, err := pattern.ParseArticulation(strings.ToUpper(name)); err != nil || got != pattern.Articulation(i) || got.String() != name {
			t.Errorf("%q is read as %v, %v", name, got, err)
		}
	}
	for _, s := range []string{"E3-C6", " E3 - C6 ", "E3 to C6", "E3–C6"} {
		if r, err := pattern.ParseRange(s); err != nil || r.String() != "E3-C6" {
			t.Errorf("%q is read as %v, %v", s, r, err)
		}
	}
	if f, err := pattern.ParseFigure("thirds up and down"); err != nil || f != (pattern.Figure{Shape: pattern.Thirds}) {
		t.Errorf("%v, %v", f, err)
	}
}

func TestRefusedWords(t *testing.T) {
	for _, c := range []struct {
		words pattern.Words
		of    string
		want  string
	}{
		{pattern.Words{}, "key", "write one such as C"},
		{pattern.Words{Key: "E flat mayor"}, "key", `did you mean "major"?`},
		{pattern.Words{Key: "E dominant sevenht"}, "key", `did you mean "dominant seventh"?`},
		{pattern.Words{Key: "C (in F)"}, "key", "write the key alone"},
		{pattern.Words{Key: "G dominant seventh (in F)"}, "key", "write it on C"},
		{pattern.Words{Key: "G dominant seventh (in X)"}, "key", "does not begin with a note"},
		{pattern.Words{Key: "E## major"}, "key", "write F sharp major, which sounds the same"},
		{pattern.Words{Key: "C", Figure: "thrids up"}, "figure", `did you mean "thirds"?`},
		{pattern.Words{Key: "C", Figure: "tango"}, "figure", "write one of scale, thirds"},
		{pattern.Words{Key: "G dominant seventh", Figure: "thirds"}, "figure", "cannot be made of a chord alone"},
		{pattern.Words{Key: "C", Range: "E3"}, "range", "such as E3-C6"},
		{pattern.Words{Key: "C", Range: "E3-H6"}, "range", "is not a pitch"},
		{pattern.Words{Key: "C", Range: "C6-E3"}, "range", "write the lowest note first"},
		{pattern.Words{Key: "C", Range: "D4-F4"}, "range", "there is no C in the range D4-F4"},
		{pattern.Words{Key: "C", Range: "C4-C4"}, "range", "too narrow"},
		{pattern.Words{Key: "C", Figure: "fourths", Range: "C4-E4"}, "range", "too narrow for C major, fourths"},
		{pattern.Words{Key: "D", Figure: "broken sevenths", Range: "E3-C5"}, "range", "too narrow"}, // for the one on D4
		{pattern.Words{Key: "C", From: "H4"}, "from", "is not a pitch"},
		{pattern.Words{Key: "C", From: "Eb4"}, "from", "Eb4 is not a note of C major, scale"},
		{pattern.Words{Key: "C", From: "C3", Range: "C4-C6"}, "from", "outside the range C4-C6"},
		{pattern.Words{Key: "A melodic minor", From: "G#4"}, "from", "cannot turn on G#4"},
		{pattern.Words{Key: "C", From: "C0"}, "from", "write a higher note"},
		{pattern.Words{Key: "C", Range: "C0-C0"}, "range", "write a wider range"},
		{pattern.Words{Key: "C", Octaves: 9}, "octaves", "write 1 to 8"},
		{pattern.Words{Key: "C", Octaves: -1}, "octaves", "write 1 to 8"},
		{pattern.Words{Key: "C", Octaves: 8}, "octaves", "leaves the octaves 0 to 9"},
		{pattern.Words{Key: "C", Octaves: 3, Range: "C4-C6"}, "octaves", "3 octaves from C4 leaves the range C4-C6"},
		{pattern.Words{Key: "C", Group: 5}, "group", "write 2, 3, 4 or 6"},
		{pattern.Words{Key: "C", Articulation: "stacatto"}, "articulation", `did you mean "staccato"?`},
	} {
		_, err := pattern.Answer(c.words)
		e, ok := err.(*pattern.Error)
		if !ok || e.Of.String() != c.of || !strings.Contains(err.Error(), c.want) || e.What == "" || e.Want == "" {
			t.Errorf("%+v: %v (%v), want %s of the %s", c.words, err, e, c.want, c.of)
		}
	}
}

func TestAnswerAsJSON(t *testing.T) {
	a, err := pattern.Answer(pattern.Words{Key: "E flat major", Figure: "arpeggio up", Range: "E3-C6", Octaves: 1})
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(a)
	if want := `{"pattern":"E flat major","figure":"arpeggio up","range":"E3-C6","pitches":["Eb4","G4","Bb4","Eb5"],"midi":[63,67,70,75]}`; err != nil || string(data) != want {
		t.Errorf("%s, %v\nwant %s", data, err, want)
	}
}

// show writes notes as value, dots, tuplet and tie.
func show(notes []passage.Note) string {
	var out []string
	for _, n := range notes {
		s := n.Value.String() + strings.Repeat(".", n.Dots)
		if n.Tuplet.Actual > 0 {
			s += fmt.Sprintf("(%d:%d)", n.Tuplet.Actual, n.Tuplet.Normal)
		}
		if n.TieTo {
			s += "-"
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

// How the notes of a beat and the last note are written.
func TestRhythms(t *testing.T) {
	for _, c := range []struct {
		meter string
		group int
		last  int // notes from the end to show
		want  string
	}{
		{"4/4", 4, 3, "16th 16th eighth"},
		{"4/4", 2, 2, "eighth quarter"},
		{"4/4", 3, 5, "eighth(3:2) eighth(3:2) eighth(3:2)- quarter- half"},
		{"3/4", 4, 3, "16th eighth- half"},
		{"2/2", 6, 4, "eighth(6:4) eighth(6:4) half(6:4)- half"},
		{"6/8", 0, 3, "16th quarter- quarter."},
		{"9/8", 3, 3, "eighth eighth- quarter."},
		{"9/8", 6, 3, "16th 16th quarter"},
		{"6/8", 2, 2, "eighth(2:3) quarter."},
		{"6/8", 4, 2, "eighth(4:3) quarter(4:3)"},
		{"3+2/8", 2, 3, "16th eighth- quarter"},
		{"2+2+3/8", 4, 3, "32nd 16th- quarter."},
	} {
		m, err := click.ParseMeter(c.meter)
		if err != nil {
			t.Fatal(err)
		}
		s, err := pattern.Pattern{Group: c.group}.Score(pattern.Setting{Meter: m})
		if err != nil {
			t.Fatal(err)
		}
		notes := s.Parts[0].Notes
		if got := show(notes[len(notes)-c.last:]); got != c.want {
			t.Errorf("%s in groups of %d ends with %s, want %s", c.meter, c.group, got, c.want)
		}
	}
	s, err := pattern.Pattern{Group: 3, Octaves: 2}.Score(pattern.Setting{Meter: click.MakeMeter(9, 8)})
	if err != nil {
		t.Fatal(err)
	}
	notes := s.Parts[0].Notes
	if got := show(notes[len(notes)-3:]); got != "eighth quarter- half." {
		t.Errorf("29 notes in 9/8 end with %s", got)
	}
}

// What stands on the fifteen notes of a scale in fours: ( and ) for a slur's
// ends, a mark's first letter, a dot for nothing.
func TestArticulations(t *testing.T) {
	for name, want := range map[string]string{
		"tongued":             ". . . . . . . . . . . . . . .",
		"slurred":             "( . . . . . . . . . . . . . )",
		"slurred by beat":     "( . . ) ( . . ) ( . . ) ( . )",
		"slurred in twos":     "( ) ( ) ( ) ( ) ( ) ( ) ( ) .",
		"slur two tongue two": "( ) . . ( ) . . ( ) . . ( ) .",
		"tongue two slur two": ". . ( ) . . ( ) . . ( ) . . .",
		"staccato":            "s s s s s s s s s s s s s s .",
		"tenuto":              "t t t t t t t t t t t t t t t",
		"accented":            "a . . . a . . . a . . . a . .",
	} {
		p, err := pattern.Parse(pattern.Words{Key: "C", Group: 4, Articulation: name})
		if err != nil {
			t.Fatal(err)
		}
		s, err := p.Score(pattern.Setting{Meter: click.MakeMeter(4, 4)})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range s.Parts[0].Notes {
			out := ""
			for _, m := range n.Marks {
				if out += map[passage.Edge]string{passage.Start: "(", passage.Stop: ")"}[m.Edge]; m.Edge == passage.NoEdge {
					out += m.Name[:1]
				}
			}
			if out == "" {
				out = "."
			}
			got = append(got, out)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// A warm-up through all keys has a score in each.
func TestScoreOfEveryKey(t *testing.T) {
	for _, tonic := range []string{"C", "G", "D", "A", "E", "B", "F#", "C#", "F", "Bb", "Eb", "Ab", "Db", "Gb", "Cb"} {
		p, err := pattern.Parse(pattern.Words{Key: tonic, Figure: "thirds", Range: "Bb1-C5", Articulation: "slurred in twos"})
		if err != nil {
			t.Fatal(err)
		}
		s, err := p.Score(pattern.Setting{Meter: click.MakeMeter(4, 4), First: 17})
		if err != nil {
			t.Fatal(err)
		}
		part := s.Parts[0]
		if part.Bars[1].Number != "18" {
			t.Errorf("bar %s follows bar %s", part.Bars[1].Number, part.Bars[0].Number)
		}
		if now := part.At(0, passage.Quarters{}, 1); now.Clef.String() != "F4" || now.Key.Fifths != p.Key.Fifths() {
			t.Errorf("%s stands in %v with %d signs", tonic, now.Clef, now.Key.Fifths)
		}
		for _, n := range part.Notes {
			if n.Accidental != "" {
				t.Errorf("%s prints a sign before %v", tonic, n.Pitch)
			}
		}
		if s.Title != p.Key.String()+", thirds" {
			t.Error(s.Title)
		}
	}
	if _, err := (pattern.Pattern{}).Score(pattern.Setting{Meter: click.MakeMeter(3, 8), Beat: click.Unit{Num: 1, Den: 4}}); err == nil {
		t.Error("a bar of one and a half beats is filled")
	}
}
