package abc_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ladder/passage/abc"
)

// typed is a file of testdata/typed, whose README says what it holds and how it
// was checked: after the ABC music standard 2.1, with abcjs 6.7.2 and abc2midi
// 4.84.
type typed struct {
	Text   string `json:"notes_text"`
	Key    string
	Meter  string
	Unit   string
	Answer answer
}

type answer struct {
	Unit     string
	Fifths   int
	Bars     []string
	Notes    []note
	Sounding [][3]any
}

type note struct {
	Onset, At, Duration, Pitch, Tie, Tuplet, Grace string
	Bar                                            int
	MIDI                                           float64
	Rest                                           bool
	WholeBar                                       bool `json:"whole_bar"`
	Marks                                          []string
}

func setting(t testing.TB, meter, key, unit string) abc.Setting {
	t.Helper()
	m, err := click.ParseMeter(meter)
	if err != nil {
		t.Fatal(err)
	}
	in := abc.Setting{Meter: passage.FromClick(m)}
	if in.Key, err = abc.ParseKey(key); err != nil {
		t.Fatal(err)
	}
	if unit != "" {
		if in.Unit, err = abc.ParseUnit(unit); err != nil {
			t.Fatal(err)
		}
	}
	return in
}

// answerOf puts a score into the words of the cases.
func answerOf(s *passage.Score, in abc.Setting) answer {
	unit := in.Unit
	if unit.Sign() == 0 {
		unit = abc.DefaultUnit(in.Meter)
	}
	part := &s.Parts[0]
	out := answer{Unit: click.Frac(unit.Num(), 4*unit.Den()).String(), Fifths: part.At(0, passage.Quarters{}, 1).Key.Fifths}
	for _, b := range part.Bars {
		out.Bars = append(out.Bars, b.Length.String())
	}
	for _, n := range part.Notes {
		o := note{Onset: part.Onset(n).String(), At: n.At.String(), Duration: n.Duration.String(), Bar: n.Bar, Rest: n.Kind == passage.Rest, WholeBar: n.WholeBar}
		if !o.Rest {
			o.Pitch, o.MIDI = n.Pitch.String(), n.Pitch.MIDI()
		}
		switch {
		case n.TieTo && n.TieFrom:
			o.Tie = "both"
		case n.TieTo:
			o.Tie = "start"
		case n.TieFrom:
			o.Tie = "stop"
		}
		if n.Tuplet != (passage.Ratio{}) {
			o.Tuplet = fmt.Sprintf("%d:%d", n.Tuplet.Actual, n.Tuplet.Normal)
		}
		o.Grace = [...]string{"", "plain", "slash"}[n.Grace]
		for _, m := range n.Marks {
			word, ok := map[string]string{passage.MarkTrill: "trill", passage.MarkBreath: "breath", passage.MarkFingering: m.Text, passage.MarkSlur: "slur " + m.Edge.String()}[m.Name]
			if !ok {
				word = m.Name
			}
			o.Marks = append(o.Marks, word)
		}
		out.Notes = append(out.Notes, o)
	}
	for _, s := range part.Sounding(part.Notes) {
		out.Sounding = append(out.Sounding, [3]any{s.Onset.String(), s.Duration.String(), s.Pitch.MIDI()})
	}
	return out
}

func cases(t testing.TB) map[string]typed {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("testdata", "typed", "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	out := map[string]typed{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var c typed
		if err := json.Unmarshal(data, &c); err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(file)] = c
	}
	return out
}

func TestTypedPassages(t *testing.T) {
	all := cases(t)
	t.Logf("%d passages", len(all))
	for name, c := range all {
		t.Run(name, func(t *testing.T) {
			in := setting(t, c.Meter, c.Key, c.Unit)
			s, _, err := abc.Read(c.Text, in)
			if err != nil {
				t.Fatal(err)
			}
			checkLaws(t, s, in)
			got := answerOf(s, in)
			if !reflect.DeepEqual(got, c.Answer) {
				a, _ := json.MarshalIndent(got, "", " ")
				b, _ := json.MarshalIndent(c.Answer, "", " ")
				for i, line := range strings.Split(string(a), "\n") {
					if w := strings.Split(string(b), "\n"); i >= len(w) || w[i] != line {
						t.Fatalf("line %d is %s\n%s", i, line, a)
					}
				}
				t.Fatal("something is missing")
			}
		})
	}
}

// checkLaws holds for every text that is read.
func checkLaws(t *testing.T, s *passage.Score, in abc.Setting) {
	t.Helper()
	part := &s.Parts[0]
	full := in.Meter.Length()
	var start passage.Quarters
	for i, b := range part.Bars {
		if b.Index != i || b.Start != start || len(s.Order) != len(part.Bars) || s.Order[i] != i {
			t.Fatalf("bar %d: index %d, start %v, order %v", i, b.Index, b.Start, s.Order)
		}
		if full.Less(b.Length) || b.Length.Less(full) && i > 0 && i < len(part.Bars)-1 {
			t.Fatalf("bar %d is %v long, the meter's %v", i, b.Length, full)
		}
		start = start.Add(b.Length)
	}
	var at, sum passage.Quarters
	bar := 0
	tied := false
	slurs := map[int]bool{}
	for _, n := range part.Notes {
		if n.Bar != bar {
			if n.Bar != bar+1 || at != part.Bars[bar].Length {
				t.Fatalf("bar %d ends at %v of %v", bar, at, part.Bars[bar].Length)
			}
			bar, at = n.Bar, passage.Quarters{}
		}
		if n.At != at || n.Duration.Sign() < 0 || n.Grace == passage.NoGrace && n.Duration.Sign() == 0 {
			t.Fatalf("%+v does not begin at %v", n, at)
		}
		at = n.End()
		sum = sum.Add(n.Duration)
		if want := n.Value.Length(n.Dots); !n.WholeBar && n.Grace == passage.NoGrace && n.Tuplet == (passage.Ratio{}) && want != n.Duration {
			t.Fatalf("%+v is printed as %v", n, want)
		}
		if n.Grace == passage.NoGrace {
			if n.TieFrom != tied {
				t.Fatalf("the tie to %+v", n)
			}
			tied = n.TieTo
		}
		for _, m := range n.Marks {
			if m.Name == passage.MarkSlur {
				if slurs[m.Number] != (m.Edge == passage.Stop) {
					t.Fatalf("slur %d does %s twice", m.Number, m.Edge)
				}
				slurs[m.Number] = m.Edge == passage.Start
			}
		}
	}
	for number, open := range slurs {
		if open {
			t.Fatalf("slur %d does not end", number)
		}
	}
	if tied || bar != len(part.Bars)-1 || sum != start {
		t.Fatalf("%v of notes stand in %v, tied on: %v", sum, start, tied)
	}
	for _, sound := range part.Sounding(part.Notes) {
		for i := sound.First; i < sound.Last; i++ {
			if n := part.Notes[i]; n.Grace == passage.NoGrace && !n.TieTo {
				t.Fatalf("%+v is not tied on", n)
			}
		}
	}
}

// Each is refused with one sentence at its place.
func TestRefused(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"[CEG]8 |]", "1:1: chords are not read; write one note"},
		{"|: c8 :|", "1:1: repeats and endings are not read; write the notes out"},
		{"c8 :|", "1:4: repeats"},
		{"c8 |\nA:|", "2:2: repeats"},
		{"c8 |1 d8 |]", "1:4: repeats"},
		{"c8 ||: d8 |]", "1:4: repeats"},
		{"c8 |[2 d8 |]", "1:5: repeats"},
		{"c8 :: d8 |]", "1:4: repeats"},
		{"c8 |\n[K:G] d8 |]", "2:1: the field K: is not read; write key"},
		{"K:G\nc8 |]", "1:1: the field K: is not read"},
		{"c8 |]\nw:la la", "2:1: lyrics are not read"},
		{"V:1\nc8 |]", "1:1: voices are not read"},
		{"[V:1] c8 |]", "1:1: voices are not read"},
		{"c8 & d8 |]", "1:4: a second voice"},
		{`"Am"c8 |]`, "1:1: chord names and annotations are not read"},
		{"c8 | c4 | c8 |]", "1:6: bar 2 holds 4 of 1/8, a bar of 4/4 holds 8"},
		{"c9 |]", "1:1: a note of 9/8 is not one note in print"},
		{"c8c |]", "1:1: bar 1 holds 9 of 1/8"},
		{"^f2 F2 c4 |]", "1:5: F#5 in another octave stands before this F in the bar"},
		{"c8- | d8 |]", "1:3: the tie from C5 does not reach another"},
		{"^c8- | =c8 |]", "1:4: the tie from C#5"},
		{"c8-", "1:3: the tie from C5"},
		{"-c8 |]", "1:1: the tie begins on no note"},
		{"z4-z4 |]", "1:3: the tie begins on no note"},
		{"c8 |-c8 |]", "1:5: the tie begins on no note"},
		{"(c8 |]", "1:1: the slur does not end"},
		{"c8) |]", "1:3: no slur is open here"},
		{"(c8) |]", "1:4: the slur ends on its first note"},
		{"c4({de}f4) |]", ""},
		{"(c4{de)}f4 |]", "1:1: the slur does not end"},
		{"(c4 z4) |]", "1:7: the slur ends on a rest"},
		{"c4 (3cd | z8 |]", "1:4: (3:2 wants 1 more notes"},
		{"(3cd(3e", "1:5: a tuplet begins within another"},
		{"(1c8 |]", "1:1: there is no such tuplet"},
		{"(11c8 |]", "1:1: there is no such tuplet"},
		{"A> | B8 |]", "1:2: the dotted rhythm has no second note"},
		{">A8 |]", `1:1: ">" stands behind no note`},
		{"A>B>c", "1:4: the note before belongs to another dotted rhythm"},
		{"A>>>>B", "1:2: so many signs"},
		{"{g} | c8 |]", "1:2: a grace note stands before no note"},
		{"{g}z8 |]", "1:2: a grace note stands before a rest"},
		{"{}c8 |]", "1:1: there are no grace notes in the brackets"},
		{"{gc8", "1:1: the grace notes do not end"},
		{"{.g}c8 |]", "1:2: '.' is not read among grace notes"},
		{"c8 | . | c8", "1:6: a mark or slur stands before no note"},
		{"c8 | (. | c8", "1:6: a mark or slur stands before no note"},
		{"c8 | T( | c8", "1:6: a mark or slur stands before no note"},
		{"(65:64c8 |]", "1:1: there is no such tuplet"},
		{"(64:65c8 |]", "1:1: there is no such tuplet"},
		{"(2:3:65c8 |]", "1:1: there is no such tuplet"},
		{"Z2001 |]", "1:1: a rest of so many bars"},
		{"!tenutto!c8 |]", `1:1: the mark "tenutto" is not known; did you mean !tenuto!?`},
		{"!staccato!c8 |]", `1:1: the mark "staccato" is not known; write a dot`},
		{"!mordent!c8 |]", `1:1: the mark "mordent" is not known; write one of !accent!`},
		{"!accent c8 |]", "1:1: the mark does not end"},
		{"^z8 |]", "1:1: an accidental belongs to no note"},
		{"^_c8 |]", "1:1: there is no such accidental"},
		{"^/c8 |]", "1:1: there is no such accidental"},
		{"c0 |]", "1:1: this is not a length"},
		{"c3/0 |]", "1:1: this is not a length"},
		{"c/4/2 |]", "1:4: '/' belongs to no note"},
		{"c99999 |]", "1:1: this is not a length"},
		{"C,,,,,8 |]", "1:1: the note lies outside"},
		{"c8 | | c8 |]", "1:6: there is nothing between two bar lines"},
		{"Z2 c8 |]", "1:4: a note stands in a bar of rest"},
		{"c8 Z |]", "1:4: a rest of whole bars stands among notes"},
		{"Z0 |]", "1:1: a rest of so many bars"},
		{"Z1999 | Z1999 |]", "there are more than 2000 bars"},
		{"Z>c", `1:2: ">" stands behind no note`},
		{"c>Z", "1:2: a whole bar's rest has no dotted rhythm"},
		{"", "1:1: there are no notes"},
		{" % only a comment\n|]", "1:1: there are no notes"},
		{"c8 | h8 |]", "1:6: 'h' means nothing here; write notes as A to G"},
		{"8c |]", "1:1: a number belongs to no note"},
		{"c8\\\n| c8 |]", "1:3: a backslash is not read"},
		{"~c8 |]", "1:1: '~' is not read"},
		{"+accent+c8 |]", "1:1: marks between plus signs"},
		{".|c8", "1:1: dotted bar lines"},
		{"X | c8", "1:1: hidden rests"},
		{"c8 }|]", "1:4: no grace notes begin"},
		{"c8 [| c8", "1:4: there is no such bar line"},
		{"c8 ] c8", "1:4: the bracket belongs to no bar line"},
		{"(61:60:1c (59:58:1c (53:52:1c (47:46:1c |]", "the bar is too finely divided"},
		{strings.Repeat(" ", abc.MaxBytes+1), "1:1: the text has 65537 bytes"},
	} {
		_, _, err := abc.Read(c.text, setting(t, "4/4", "C", "1/8"))
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.HasPrefix(err.Error(), c.want) && (!strings.Contains(err.Error(), c.want) || c.want[1] == ':')) {
			t.Errorf("%.40q: %v, want %s", c.text, err, c.want)
		}
		if c.want != "" {
			wellFormed(t, c.text, err)
		}
	}
}

// wellFormed holds for every error.
func wellFormed(t *testing.T, text string, err error) {
	t.Helper()
	var all abc.Errors
	if !errors.As(err, &all) || len(all) == 0 || len(all) > abc.MaxErrors {
		t.Fatalf("%q: %v", text, err)
	}
	lines := strings.Split(text, "\n")
	before := abc.Place{}
	for _, e := range all {
		if e.Line < 1 || e.Line > len(lines) || e.Col < 1 || e.Col > len([]rune(lines[e.Line-1]))+1 {
			t.Fatalf("%q: there is no %d:%d", text, e.Line, e.Col)
		}
		if e.Line < before.Line || e.Line == before.Line && e.Col < before.Col {
			t.Fatalf("%q: %v comes behind %v", text, e.Place, before)
		}
		before = e.Place
		if e.What == "" || e.Want == "" || strings.ContainsAny(e.Error(), "\n\r\x00\x1b") || len(e.Error()) > 300 {
			t.Fatalf("%q: %q", text, e.Error())
		}
	}
}

// Each of several errors has its place.
func TestEveryErrorIsSaid(t *testing.T) {
	_, _, err := abc.Read("c4 [CE]4 | d4 |\n% é\n \"G\"e8 | c8 |]", setting(t, "4/4", "C", "1/8"))
	var got []string
	for _, line := range strings.Split(err.Error(), "\n") {
		at, _, _ := strings.Cut(line, ": ")
		got = append(got, at)
	}
	if fmt.Sprint(got) != "[1:4 1:12 3:2]" {
		t.Errorf("%s", err)
	}
}

func TestRemarks(t *testing.T) {
	_, remarks, err := abc.Read("z2 (5cdefg (3:2:3efg z2 |]", setting(t, "4/4", "C", "1/8"))
	if err != nil || len(remarks) != 1 || remarks[0].String() != "1:4: (5 is 5 notes in the time of 2; for the time of 4 write (5:4" {
		t.Errorf("%v, %v", remarks, err)
	}
}

func TestLimitsAreReached(t *testing.T) {
	for text, bars := range map[string]int{"Z2000 |]": 2000, "(64:64:64" + strings.Repeat("c/8", 64) + "|]": 1, "c//////////" + "|]": 1} {
		if s, remarks, err := abc.Read(text, setting(t, "4/4", "C", "1/8")); strings.HasPrefix(text, "c") == (err == nil) || err == nil && (len(s.Parts[0].Bars) != bars || len(remarks) > 0) {
			t.Errorf("%.20s: %v, %v", text, remarks, err)
		}
	}
	if _, remarks, err := abc.Read("(4cdef (8cdefgabc |]", setting(t, "4/4", "C", "1/8")); err != nil || len(remarks) > 1 {
		t.Errorf("%v, %v", remarks, err)
	}
	for meter, want := range map[string]string{"1/4": "1/4", "5/8": "1/4", "3/4": "1/2", "4/4": "1/2"} {
		if in := setting(t, meter, "C", ""); abc.DefaultUnit(in.Meter).String() != want {
			t.Errorf("in %s the unit is %v", meter, abc.DefaultUnit(in.Meter))
		}
	}
	if abc.DefaultUnit(passage.Meter{}).String() != "1/2" {
		t.Error("without a meter the unit is no eighth")
	}
}

func TestWhatTheTextDoesNotSay(t *testing.T) {
	in := setting(t, "4/4", "Bb", "1/8")
	in.Transpose = passage.Transposition{Diatonic: -1, Chromatic: -2}
	s, _, err := abc.Read("B, | C,8 |]", in)
	if err != nil {
		t.Fatal(err)
	}
	part := s.Parts[0]
	now := part.At(0, passage.Quarters{}, 1)
	if now.Clef.String() != "F4" || now.Key.Fifths != -2 || now.Meter.String() != "4/4" || now.Transpose != in.Transpose {
		t.Errorf("%+v", now)
	}
	if p := part.Notes[0]; p.Pitch.String() != "Bb3" || p.Sounds.String() != "Ab3" {
		t.Errorf("%v sounds %v", p.Pitch, p.Sounds)
	}
	if a, b := part.Bars[0], part.Bars[1]; !a.Implicit || a.Number != "0" || b.Number != "1" || a.Beat(passage.Quarters{}).String() != "9/2" || b.Right.Style != "light-heavy" {
		t.Errorf("%+v\n%+v", a, b)
	}
	for text, want := range map[string]string{"1/8": "1/2", "1/1": "4", "1/64": "1/16", "1/3": "", "8": "", "1/128": ""} {
		if q, err := abc.ParseUnit(text); (err != nil) != (want == "") || err == nil && q.String() != want {
			t.Errorf("%s is %v, %v", text, q, err)
		}
	}
	if _, err := abc.ParseKey("G# major"); err == nil || !strings.Contains(err.Error(), "write A flat major") {
		t.Error(err)
	}
}

func TestSingleNotes(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"=f4 F4", "F5, F4"},                  // the sign changes nothing in any reading
		{"^f2 =F2 f2 F2", "F#5, F4, F#5, F4"}, // each octave has its own
		{"^f8 | F4 f4", "F#5, F4, F5"},        // to the bar's end
		{"({g}f4 e4)", "G5 grace slur start, F5, E5 slur stop"},
		{"(.{g}f4 e4)", "G5 grace slur start, F5 staccato, E5 slur stop"},
		{"(c2 d2 (e2) f2)", "C5 slur start, D5, E5 slur start slur stop, F5 slur stop"},
		{"C,,2 c''2 x4", "C2, C7, rest"},
		{"A>>>B A<<B z>A z2", "A4, B4, A4, B4, rest, A4, rest"},
	} {
		s, _, err := abc.Read(c.text, setting(t, "4/4", "C", "1/8"))
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		var notes []string
		for _, n := range s.Parts[0].Notes {
			out := n.Pitch.String()
			if n.Kind == passage.Rest {
				out = "rest"
			}
			if n.Grace != passage.NoGrace {
				out += " grace"
			}
			for _, m := range n.Marks {
				out = strings.TrimSpace(out + " " + m.Name + " " + m.Edge.String())
			}
			notes = append(notes, out)
		}
		if got := strings.Join(notes, ", "); got != c.want {
			t.Errorf("%s is read as %s, want %s", c.text, got, c.want)
		}
		if b := s.Parts[0].Bars[0]; b.Implicit || b.Number != "1" {
			t.Errorf("%s begins with %+v", c.text, b)
		}
	}
	if s, _, err := abc.Read("c4", setting(t, "4/4", "C", "1/8")); err != nil || s.Parts[0].Bars[0].Implicit {
		t.Errorf("a short bar alone is a pickup, %v", err)
	}
}

// Each bar has the meter of its number, and what goes by the meter goes by its
// own: a whole bar's rest, a quintuplet that does not say in the time of how many.
func TestChangesOfMeter(t *testing.T) {
	in := setting(t, "2/4", "C", "1/8")
	in.First = 17
	in.Changes = []click.MeterChange{{Bar: 18, Meter: click.MakeMeter(6, 8)}, {Bar: 20, Meter: click.MakeMeter(3, 4)}}
	s, remarks, err := abc.Read("G | (5cdefg c2 | (5cdefg c3 | Z2 | c4 |]", in)
	if err != nil {
		t.Fatal(err)
	}
	part := s.Parts[0]
	var got []string
	for _, b := range part.Bars {
		got = append(got, fmt.Sprintf("%s %v %v", b.Number, b.Meter, b.Length))
	}
	if want := "[16 2/4 1/2 17 2/4 2 18 6/8 3 19 6/8 3 20 3/4 3 21 3/4 2]"; fmt.Sprint(got) != want {
		t.Errorf("%v, want %s", got, want)
	}
	if part.At(1, passage.Quarters{}, 1).Meter.String() != "2/4" || part.At(3, passage.Quarters{}, 1).Meter.String() != "6/8" || part.At(5, passage.Quarters{}, 1).Meter.String() != "3/4" {
		t.Errorf("%+v", part.Changes)
	}
	if part.Notes[1].Tuplet.Normal != 2 || part.Notes[7].Tuplet.Normal != 3 || len(remarks) != 2 {
		t.Errorf("%v, %v, %v", part.Notes[1].Tuplet, part.Notes[7].Tuplet, remarks)
	}
	_, _, err = abc.Read("c4 | c4 | c6 |]", in)
	if err == nil || !strings.HasPrefix(err.Error(), "1:6: bar 18 holds 4 of 1/8, a bar of 6/8 holds 6") {
		t.Error(err)
	}
	if _, _, err := abc.Read("Z |]", abc.Setting{}); err == nil || !strings.Contains(err.Error(), "without a meter") {
		t.Error(err)
	}
}

// Spaces, comments and line ends change nothing, and reading twice the same text
// gives the same score.
func TestSpacesAreFree(t *testing.T) {
	for name, c := range cases(t) {
		in := setting(t, c.Meter, c.Key, c.Unit)
		a, _, err := abc.Read(c.Text, in)
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range []string{c.Text, strings.ReplaceAll(c.Text, " ", " \t% so ([{\r\n "), strings.ReplaceAll(c.Text, " ", "\n\n")} {
			if b, _, err := abc.Read(text, in); err != nil || !reflect.DeepEqual(a, b) {
				t.Errorf("%s: %q is something else, %v", name, text, err)
			}
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, c := range cases(f) {
		f.Add(c.Text, c.Meter, c.Key)
	}
	for _, text := range []string{"[CEG]8", "|: c8 :|", "(c(d)e)", "(3cd(3e", "A>B>c", "{g} |", "Z2 c", "^f F", "!tenutto!c8", "c8- | d8", "(2:3:2c2d2 (61:60:61 c", "\xff\x00", "K:G\nw:", "\"Am", "c/////4"} {
		f.Add(text, "4/4", "Eb")
	}
	f.Fuzz(func(t *testing.T, text, meter, key string) {
		in := abc.Setting{}
		if m, err := click.ParseMeter(meter); err == nil {
			in.Meter = passage.FromClick(m)
		} else {
			in.Meter = passage.FromClick(click.MakeMeter(4, 4))
		}
		if k, err := abc.ParseKey(key); err == nil {
			in.Key = k
		}
		s, remarks, err := abc.Read(text, in)
		if err != nil {
			if s != nil {
				t.Fatal("a score comes with an error")
			}
			wellFormed(t, text, err)
			return
		}
		checkLaws(t, s, in)
		again, more, err := abc.Read(text, in)
		if err != nil || !reflect.DeepEqual(s, again) || !reflect.DeepEqual(remarks, more) {
			t.Fatal("it is read in two ways")
		}
	})
}
