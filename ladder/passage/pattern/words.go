package pattern

import (
	"fmt"
	"strings"

	"footing/ladder/nearest"
	"footing/ladder/passage"
	"footing/ladder/passage/tonality"
)

// Words are a recipe as it is written in a routine or on the command line. Empty
// ones, and a zero, have the defaults of [Pattern].
type Words struct {
	// Key is a key, "E flat major", or a chord by its root, "Bb dominant seventh" or
	// "C minor triad", with its key where that is in doubt: "B half-diminished
	// seventh (in A minor)". "Eb chromatic" and "Eb whole tone" are known, too.
	Key          string
	Figure       string // "scale" where it is empty, "arpeggio" the chord itself where Key is one
	Range        string // "E3-C6"
	From         string // "E4"
	Octaves      int
	Group        int
	Articulation string
}

// Parse reads a recipe. The error is an [*Error]; that the notes exist is known
// only once [Pattern.Pitches] has made them.
func Parse(w Words) (Pattern, error) {
	p := Pattern{Octaves: w.Octaves, Group: w.Group}
	err := p.name(w.Key, w.Figure)
	if err != nil {
		return Pattern{}, err
	}
	if w.Range != "" {
		if p.Range, err = ParseRange(w.Range); err != nil {
			return Pattern{}, err
		}
	}
	if w.From != "" {
		if p.From, err = passage.ParsePitch(strings.TrimSpace(w.From)); err != nil {
			return Pattern{}, wordError(InFrom, err)
		}
		if p.From == (passage.Pitch{}) { // which stands for none
			return Pattern{}, &Error{InFrom, "C0 is too low to begin on", "write a higher note"}
		}
	}
	if w.Articulation != "" {
		if p.Articulation, err = ParseArticulation(w.Articulation); err != nil {
			return Pattern{}, err
		}
	}
	if err := p.checkGroup(); err != nil {
		return Pattern{}, err
	}
	return p, nil
}

// name reads key and figure, of which either may name a chord.
func (p *Pattern) name(key, figure string) error {
	var err error
	if figure != "" {
		if p.Figure, err = ParseFigure(figure); err != nil {
			return err
		}
	}
	key, home, inKey := strings.Cut(strings.TrimSuffix(strings.TrimSpace(key), ")"), "(in ")
	key = strings.TrimPrefix(key, "from ")
	root, words, err := tonality.Split(key)
	if err != nil {
		return wordError(InKey, err)
	}
	shape, mode, known := chordWords(words)
	if !known {
		if p.Key, err = tonality.Parse(key); err != nil || inKey {
			if near, ok := nearest.Word(words, chordNames()); ok && err != nil {
				return &Error{InKey, fmt.Sprintf("%q is neither a mode nor a chord", words), fmt.Sprintf("did you mean %q?", near)}
			}
			if err == nil {
				err = fmt.Errorf("%q is no chord, so it is in no other key; write the key alone", strings.TrimSpace(key))
			}
			return wordError(InKey, err)
		}
		return nil
	}
	if figure != "" && p.Figure.Shape != Scale && p.Figure.Shape != Arpeggio && p.Figure.Shape != shape {
		return &Error{InFigure, fmt.Sprintf("%s cannot be made of a chord alone", p.Figure), "write arpeggio, or a key in place of the chord"}
	}
	p.Figure.Shape = shape
	if root.Mode = mode; shapes[shape].home == nil {
		p.Key = root
	} else {
		p.Key = shapes[shape].home(root)
	}
	if !inKey {
		return nil
	}
	if p.Key, err = tonality.Parse(home); err != nil {
		return wordError(InKey, err)
	}
	if at := shapes[shape].notes(p.Key).root; at != root.Tonic(4) {
		return &Error{InKey, fmt.Sprintf("the %s of %s is not on %s", shapes[shape].words, p.Key, root.Tonic(4).Name()), "write it on " + at.Name()}
	}
	return nil
}

// chordWords reads the words for a chord behind its root: its shape and, where it
// is a triad, its mode. They are in lower case with spaces for hyphens.
func chordWords(s string) (Shape, tonality.Mode, bool) {
	switch s {
	case "major triad", "triad":
		return Arpeggio, tonality.Major, true
	case "minor triad":
		return Arpeggio, tonality.NaturalMinor, true
	}
	for i := DominantSeventh; i <= WholeToneFlattened; i++ {
		if s == plain(shapes[i].words) {
			return i, tonality.Major, true
		}
	}
	return 0, 0, false
}

// chordNames are the words that [chordWords] knows.
func chordNames() []string {
	names := []string{"major triad", "minor triad"}
	for i := DominantSeventh; i <= WholeToneFlattened; i++ {
		names = append(names, plain(shapes[i].words))
	}
	return names
}

// plain is words in lower case, with single spaces for what parts them.
func plain(s string) string {
	return strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" -_\t", r) }), " "))
}

// others are further words for shapes.
var others = map[string]Shape{
	"scales": Scale, "whole range": Scale, "third": Thirds, "fourth": Fourths, "triads": BrokenTriads, "sevenths": BrokenSevenths,
	"seventh chords": BrokenSevenths, "arpeggios": Arpeggio, "triad": Arpeggio, "broken chords": BrokenChord,
	"half diminished": HalfDiminished, "augmented": AugmentedTriad,
	"chromatic scale": Chromatic, "whole tones": WholeTone, "whole tone scale": WholeTone,
}

// FigureNames are the words for figures, without their ways.
func FigureNames() []string {
	names := make([]string, len(shapes))
	for i, s := range shapes {
		names[i] = s.words
	}
	return names
}

// ways are the words behind a shape.
var ways = []struct {
	words string
	way   Way
}{{" up and down", UpAndDown}, {" up", Up}, {" down", Down}}

// ParseFigure reads "scale", "thirds up", "broken triads down". Without up or
// down it is both. The error is an [*Error] that names the nearest known word.
func ParseFigure(s string) (Figure, error) {
	words := strings.TrimPrefix(plain(s), "in ")
	f := Figure{}
	for _, w := range ways {
		if cut, found := strings.CutSuffix(words, w.words); found {
			words, f.Way = cut, w.way
			break
		}
	}
	for i, known := range shapes {
		if words == plain(known.words) {
			f.Shape = Shape(i)
			return f, nil
		}
	}
	if shape, ok := others[words]; ok {
		f.Shape = shape
		return f, nil
	}
	return Figure{}, unknown(InFigure, s, words, "a figure", FigureNames())
}

// String is the figure in words: "thirds up".
func (f Figure) String() string {
	words := shapes[min(int(f.Shape), len(shapes)-1)].words
	switch f.Way {
	case Up:
		return words + " up"
	case Down:
		return words + " down"
	}
	return words
}

// ParseRange reads "E3-C6": the lowest and the highest note, as written. The
// error is an [*Error].
func ParseRange(s string) (Range, error) {
	low, high, ok := strings.Cut(strings.NewReplacer(" to ", "-", "–", "-").Replace(strings.TrimSpace(s)), "-")
	if !ok {
		return Range{}, &Error{InRange, fmt.Sprintf("%q is not a range", s), "write the lowest and the highest note, such as E3-C6"}
	}
	var r Range
	var err error
	if r.Low, err = passage.ParsePitch(strings.TrimSpace(low)); err != nil {
		return Range{}, wordError(InRange, err)
	}
	if r.High, err = passage.ParsePitch(strings.TrimSpace(high)); err != nil {
		return Range{}, wordError(InRange, err)
	}
	if r.none() { // C0 alone
		return Range{}, &Error{InRange, fmt.Sprintf("the range %s is one note", r), "write a wider range"}
	}
	if r.High.Cents() < r.Low.Cents() {
		return Range{}, &Error{InRange, fmt.Sprintf("the range %s has its highest note below its lowest", r), "write the lowest note first, such as E3-C6"}
	}
	return r, nil
}

// unknown is the error for words that are not in a list.
func unknown(of Of, s, words, what string, known []string) error {
	want := "write one of " + strings.Join(known, ", ")
	if near, ok := nearest.Word(words, known); ok {
		want = fmt.Sprintf("did you mean %q?", near)
	}
	return &Error{of, fmt.Sprintf("%.60q is not %s", s, what), want}
}

// wordError is an error of the form "what; what would be right" about a word.
func wordError(of Of, err error) error {
	text := err.Error()
	what, want := text, ""
	if i := strings.LastIndex(text, "; "); i >= 0 {
		what, want = text[:i], text[i+2:]
	}
	return &Error{of, what, want}
}
