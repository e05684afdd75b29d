package tonality

import (
	"fmt"
	"strings"

	"footing/ladder/nearest"
	"footing/ladder/passage"
)

// spellings are the words of each mode: in full, and short as the ABC standard
// 2.1 (section 3.1.14) has them, of which the first three letters count.
var spellings = []struct {
	words string
	mode  Mode
}{
	{"major", Major}, {"minor", NaturalMinor},
	{"natural minor", NaturalMinor}, {"harmonic minor", HarmonicMinor}, {"melodic minor", MelodicMinor},
	{"dorian", Dorian}, {"phrygian", Phrygian}, {"lydian", Lydian}, {"mixolydian", Mixolydian},
	{"locrian", Locrian}, {"ionian", Major}, {"aeolian", NaturalMinor},
	{"maj", Major}, {"min", NaturalMinor}, {"m", NaturalMinor}, {"dor", Dorian}, {"phr", Phrygian},
	{"lyd", Lydian}, {"mix", Mixolydian}, {"loc", Locrian}, {"ion", Major}, {"aeo", NaturalMinor},
}

// ModeNames are the words for modes, in full.
func ModeNames() []string {
	var out []string
	for _, s := range spellings {
		if len(s.words) > 3 {
			out = append(out, s.words)
		}
	}
	return out
}

// signs are the ways to write an alteration behind a letter, longest first.
var signs = []struct {
	text  string
	alter passage.Alter
}{
	{"double sharp", passage.DoubleSharp}, {"double flat", passage.DoubleFlat},
	{"sharp", passage.Sharp}, {"flat", passage.Flat},
	{"##", passage.DoubleSharp}, {"♯♯", passage.DoubleSharp}, {"𝄪", passage.DoubleSharp},
	{"bb", passage.DoubleFlat}, {"♭♭", passage.DoubleFlat}, {"𝄫", passage.DoubleFlat},
	{"#", passage.Sharp}, {"♯", passage.Sharp}, {"b", passage.Flat}, {"♭", passage.Flat},
}

// Split reads the tonic that a text begins with, such as "Eb", "E flat" or
// "E-flat", and gives the words behind it, in lower case and single spaces.
func Split(s string) (tonic Key, rest string, err error) {
	text := strings.ToLower(strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' || r == '\t' }), " "))
	bad := fmt.Errorf("%s does not begin with a note; write one such as C, E flat or F#", quote(s))
	if text == "" {
		return Key{}, "", bad
	}
	letter, ok := passage.ParseLetter(strings.ToUpper(text[:1]))
	if !ok {
		return Key{}, "", bad
	}
	tonic.Letter = letter
	rest = text[1:]
	for _, sign := range signs {
		after, found := strings.CutPrefix(strings.TrimPrefix(rest, " "), sign.text)
		if found && (len(sign.text) > 2 || !strings.HasPrefix(rest, " ")) {
			tonic.Alter, rest = sign.alter, after
			break
		}
	}
	for _, more := range signs {
		if strings.HasPrefix(rest, more.text) {
			return Key{}, "", fmt.Errorf("%s has more than two signs; write at most a double flat or a double sharp", quote(s))
		}
	}
	return tonic, strings.TrimSpace(rest), nil
}

// Parse reads a key such as "E flat major", "Eb", "C# harmonic minor", "Dm" or
// "Amix". Without a mode it is major; "minor" is natural minor. The error says
// what is wrong and what would be right, with the nearest known word.
func Parse(s string) (Key, error) {
	k, rest, err := Split(s)
	if err != nil {
		return Key{}, err
	}
	if rest == "" {
		return k, nil
	}
	for _, sp := range spellings {
		if rest == sp.words {
			k.Mode = sp.mode
			return k, nil
		}
	}
	if near, ok := nearest.Word(rest, ModeNames()); ok {
		return Key{}, fmt.Errorf("%s is not a mode; did you mean %q?", quote(rest), near)
	}
	return Key{}, fmt.Errorf("%s is not a mode; write one of %s", quote(rest), strings.Join(ModeNames(), ", "))
}

// quote shows a text in a sentence, cut where it is long.
func quote(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most-1]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
