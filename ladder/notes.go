package ladder

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ladder/passage/abc"
	"footing/ladder/passage/instrument"
	"footing/ladder/passage/pattern"
)

// Notes is where a step's notes come from, in the words of the routine file: a
// score, typed notes or a pattern, at most one of the three. The zero value is a
// step without notes, whose passage is bars alone.
//
// The notes themselves are found from it by the room notes, whenever somebody
// wants them: a step stays a small value, and one whose notes cannot be found can
// be practised all the same.
type Notes struct {
	Score      ScoreFile
	Typed      TypedNotes
	Pattern    pattern.Words // the zero value is none
	Instrument Instrument
	Marks      []NoteMark
}

// Bounds of a step's notes.
const (
	MaxTyped = 16000 // characters of typed notes
	MaxMarks = 500   // marks on notes
	MaxMark  = 60    // characters of a mark
)

// ScoreFile is a part of a score in a file.
type ScoreFile struct {
	// File is where it is, from the routine's folder on and within it, with slashes;
	// empty for none.
	File string
	Part string // by name or id; empty for the only one
	// Voice is the part's voice, as the file calls it; empty for the one with most
	// notes.
	Voice string
}

// TypedNotes is notes as they are typed.
type TypedNotes struct {
	Text string // see package abc; empty for none
	Key  string // "E flat major"; empty for no signs
	Unit string // "1/16"; empty for [abc.DefaultUnit]
}

// Instrument is what the step is played on. What is empty is as the instrument of
// that name has it.
type Instrument struct {
	Name   string // "clarinet in B flat"; empty for none
	Range  string // "E3-C6", as written
	Sounds string // what a written C4 sounds: "Bb3"
}

// NoteMark is a player's mark on a note.
type NoteMark struct {
	Bar    int         // the number of the bar
	At     click.Beats // where in it the note begins, from 0
	Text   string      // "flick"; may be empty where there is a fingering
	Finger string      // the name of a fingering, without blanks; may be empty
}

// None reports whether there is nowhere for notes to come from.
func (n Notes) None() bool {
	return n.Score.File == "" && n.Typed.Text == "" && n.Pattern == (pattern.Words{})
}

// clone is a copy that shares nothing, with nil for no marks.
func (n Notes) clone() Notes {
	if n.Marks = slices.Clone(n.Marks); len(n.Marks) == 0 {
		n.Marks = nil
	}
	return n
}

// Fitted is the notes with texts made fit to be kept, as [Name] and [Note] do.
func (n Notes) Fitted() Notes {
	n = n.clone()
	n.Instrument = n.Instrument.Fitted()
	for _, text := range []*string{
		&n.Score.File, &n.Score.Part, &n.Score.Voice, &n.Typed.Key, &n.Typed.Unit,
		&n.Pattern.Key, &n.Pattern.Figure, &n.Pattern.Range, &n.Pattern.From, &n.Pattern.Articulation,
	} {
		*text = Name(*text)
	}
	n.Typed.Text = strings.TrimSpace(TypedLines(n.Typed.Text))
	for i := range n.Marks {
		n.Marks[i].Text, n.Marks[i].Finger = Name(n.Marks[i].Text), Name(n.Marks[i].Finger)
	}
	return n
}

// Fitted is the instrument with texts made fit to be kept.
func (i Instrument) Fitted() Instrument {
	return Instrument{Name(i.Name), Name(i.Range), Name(i.Sounds)}
}

// TypedLines is [Lines] for typed notes, of at most MaxTyped characters.
func TypedLines(text string) string { return fit(text, MaxTyped, true) }

// check says what is wrong with the words; that the notes exist is not known yet.
func (n Notes) check(m click.Measures) []Fault {
	var out []Fault
	add := func(key, want, what string, args ...any) {
		out = append(out, Fault{Key: key, What: fmt.Sprintf(what, args...), Want: want})
	}
	for _, t := range []struct{ key, what, text string }{
		{"score file", "file", n.Score.File}, {"score part", "part", n.Score.Part}, {"score voice", "voice", n.Score.Voice}, {"key", "key", n.Typed.Key}, {"unit", "unit", n.Typed.Unit},
		{"pattern key", "key", n.Pattern.Key}, {"pattern figure", "figure", n.Pattern.Figure}, {"pattern range", "range", n.Pattern.Range},
		{"pattern from", "note", n.Pattern.From}, {"pattern articulation", "articulation", n.Pattern.Articulation},
	} {
		for _, f := range checkText(t.what, t.text, MaxName, false) {
			out = append(out, Fault{t.key, f.What, f.Want})
		}
	}
	for _, f := range checkText("text of the notes", n.Typed.Text, MaxTyped, true) {
		out = append(out, Fault{"notes", f.What, f.Want})
	}
	if len(out) > 0 {
		return out
	}
	const one = "keep one of them (a step has one source of notes)"
	switch score, typed, made := n.Score.File != "", n.Typed.Text != "", n.Pattern != (pattern.Words{}); {
	case score && typed:
		add("notes", one, "score and notes are both there")
	case score && made:
		add("pattern key", one, "score and pattern are both there")
	case typed && made:
		add("pattern key", one, "notes and pattern are both there")
	}
	switch {
	case n.Score.File == "" && n.Score.Part != "":
		add("score part", "write score: {file: weir-street.musicxml}", "the score has a part and no file")
	case n.Score.File == "" && n.Score.Voice != "":
		add("score voice", "write score: {file: weir-street.musicxml}", "the score has a voice and no file")
	case n.Score.File != "" && !within(n.Score.File):
		add("score file", "write its place from the routine's folder on, such as weir-street.musicxml", "%s does not lie in the routine's folder", quoted(n.Score.File))
	}
	if n.Typed.Key != "" {
		_, err := abc.ParseKey(n.Typed.Key)
		out = append(out, worded("key", err)...)
	}
	if n.Typed.Unit != "" {
		_, err := abc.ParseUnit(n.Typed.Unit)
		out = append(out, worded("unit", err)...)
	}
	out = append(out, n.checkPattern()...)
	out = append(out, n.Instrument.check()...)
	return append(out, n.checkMarks(m)...)
}

// within reports whether a path stays in the folder that it begins in, on every
// system.
func within(path string) bool {
	if strings.ContainsAny(path, `\:`) {
		return false
	}
	for _, part := range strings.Split(path, "/") {
		if part == "" || part == "." || part == ".." {
			return false
		}
	}
	return true
}

// worded is an error of the form "what; what would be right" as a fault of a key.
func worded(key string, err error) []Fault {
	if err == nil {
		return nil
	}
	what, want, _ := strings.Cut(err.Error(), "; ")
	return []Fault{{key, what, want}}
}

func (n Notes) checkPattern() []Fault {
	switch {
	case n.Pattern == (pattern.Words{}):
		return nil
	case n.Pattern.Key == "":
		return []Fault{{"pattern key", "the pattern has no key", "write pattern: {key: E flat major}"}}
	case n.Pattern.Octaves < 0 || n.Pattern.Octaves > pattern.MaxOctaves:
		return []Fault{{"pattern octaves", fmt.Sprintf("%d octaves", n.Pattern.Octaves), fmt.Sprintf("write 1 to %d", pattern.MaxOctaves)}}
	}
	_, err := pattern.Parse(n.Pattern)
	if fault, ok := err.(*pattern.Error); ok {
		return []Fault{{"pattern " + fault.Of.String(), fault.What, fault.Want}}
	}
	return worded("pattern key", err)
}

func (i Instrument) check() []Fault {
	var out []Fault
	for _, t := range []struct{ key, what, text string }{
		{"instrument name", "name", i.Name}, {"instrument range", "range", i.Range}, {"instrument sounds", "pitch", i.Sounds},
	} {
		for _, f := range checkText(t.what, t.text, MaxName, false) {
			out = append(out, Fault{t.key, f.What, f.Want})
		}
	}
	if len(out) > 0 {
		return out
	}
	if _, known := instrument.Named(i.Name); i.Name != "" && !known && i.Range == "" {
		want := "write its range, such as {name: ophicleide, range: B1-C5}"
		if near, ok := instrument.Near(i.Name); ok {
			want = fmt.Sprintf("did you mean %s?", near)
		}
		out = append(out, Fault{"instrument name", quoted(i.Name) + " is not an instrument that is known", want})
	}
	if i.Range != "" {
		if _, err := pattern.ParseRange(i.Range); err != nil {
			out = append(out, worded("instrument range", err)...)
		}
	}
	if i.Sounds != "" {
		_, err := passage.ParsePitch(i.Sounds)
		out = append(out, worded("instrument sounds", err)...)
	}
	return out
}

// checkMarks says what is wrong with the first mark that is at fault.
func (n Notes) checkMarks(m click.Measures) []Fault {
	if len(n.Marks) > MaxMarks {
		return []Fault{{"marks", fmt.Sprintf("there are %d marks", len(n.Marks)), fmt.Sprintf("write at most %d", MaxMarks)}}
	}
	if i := n.WrongMark(m); i >= 0 {
		return n.Marks[i].check(m)
	}
	return nil
}

// WrongMark is the index of the first mark that is at fault, below 0 for none.
func (n Notes) WrongMark(m click.Measures) int {
	return slices.IndexFunc(n.Marks, func(k NoteMark) bool { return len(k.check(m)) > 0 })
}

func (k NoteMark) check(m click.Measures) []Fault {
	for _, text := range []string{k.Text, k.Finger} {
		switch {
		case utf8.RuneCountInString(text) > MaxMark:
			return []Fault{{"marks", fmt.Sprintf("a mark is longer than %d characters", MaxMark), "write a shorter one"}}
		case strings.ContainsAny(text, "[];"):
			return []Fault{{"marks", "a mark holds a square bracket or a semicolon", "write it without"}}
		}
		if len(checkText("mark", text, MaxName, false)) > 0 {
			return checkText("marks", text, MaxName, false)
		}
	}
	place := click.FormatPlace(k.Bar, k.At)
	switch {
	case k.Text == "" && k.Finger == "":
		return []Fault{{"marks", "the mark at " + place + " says nothing", "write a text or a finger"}}
	case strings.Contains(k.Finger, " "):
		return []Fault{{"marks", quoted(k.Finger) + " is no name of a fingering", "write it without blanks"}}
	case k.At.Sign() < 0 || k.At.Den() > click.MaxDenominator || k.Bar < m.From()-1 || k.Bar > m.To() ||
		!k.At.Less(click.Whole(m.Bar(k.Bar).Beats)) || m.Place(k.Bar, k.At).Less(m.Start()):
		return []Fault{{"marks", "there is no " + place + " in the passage", "write bar:beat of a note such as " + click.FormatPlace(m.From(), click.Beats{})}}
	}
	return nil
}

func quoted(text string) string {
	if r := []rune(text); len(r) > 40 {
		text = string(r[:39]) + "…"
	}
	return fmt.Sprintf("%q", text)
}
