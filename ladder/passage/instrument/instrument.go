// Package instrument knows what wind instruments are called, how far they reach
// and what they sound. Pure.
package instrument

import (
	"strings"

	"footing/ladder/nearest"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
)

// Instrument is an instrument by its name, as its player reads for it.
type Instrument struct {
	Name string // "clarinet in B flat"
	// Range is what is played on it, as written.
	Range     pattern.Range
	Transpose passage.Transposition
	// Clef is the one that it is mostly written in.
	Clef passage.Clef
}

// The clefs of the table.
var (
	treble = passage.Clef{Sign: "G", Line: 2}
	bass   = passage.Clef{Sign: "F", Line: 4}
)

// row is an instrument in the table: what its written C4 sounds, and where its
// range comes from.
type row struct {
	name, low, high, sounds string
	clef                    passage.Clef
	others                  []string
}

// table has the instruments. Ranges are as written, from the beginners' table at
// studystack.com/flashcard-697185 for flute, clarinet (its lowest note; the highest
// is the common limit in an orchestra), alto saxophone, horn and trumpet; the other
// saxophones are read and fingered alike. All others are common practice, no source. What sounds is from teoria.com/en/articles/transposing/01.php
// for the clarinets, the trumpet, the alto saxophone and the horn, else common
// practice, no source.
var table = []row{
	{"piccolo", "D4", "C7", "C5", treble, nil},
	{"flute", "C4", "C7", "C4", treble, nil},
	{"alto flute", "C4", "C7", "G3", treble, nil},
	{"oboe", "Bb3", "F6", "C4", treble, nil},
	{"English horn", "B3", "F6", "F3", treble, []string{"cor anglais"}},
	{"clarinet in B flat", "E3", "G6", "Bb3", treble, []string{"clarinet"}},
	{"clarinet in A", "E3", "G6", "A3", treble, nil},
	{"clarinet in E flat", "E3", "G6", "Eb4", treble, nil},
	{"bass clarinet", "Eb3", "G6", "Bb2", treble, nil},
	{"bassoon", "Bb1", "C5", "C4", bass, nil},
	{"contrabassoon", "Bb1", "Bb4", "C3", bass, nil},
	{"soprano saxophone", "Bb3", "F6", "Bb3", treble, nil},
	{"alto saxophone", "Bb3", "F6", "Eb3", treble, []string{"saxophone"}},
	{"tenor saxophone", "Bb3", "F6", "Bb2", treble, nil},
	{"baritone saxophone", "Bb3", "F6", "Eb2", treble, nil},
	{"horn in F", "F#2", "C6", "F3", treble, []string{"horn", "French horn"}},
	{"trumpet in B flat", "F#3", "C6", "Bb3", treble, []string{"trumpet"}},
	{"trumpet in C", "F#3", "C6", "C4", treble, nil},
	{"cornet", "F#3", "C6", "Bb3", treble, []string{"cornet in B flat"}},
	{"flugelhorn", "F#3", "C6", "Bb3", treble, nil},
	{"trombone", "E2", "Bb4", "C4", bass, nil},
	{"euphonium", "E2", "Bb4", "C4", bass, nil},
	{"tuba", "E1", "F4", "C4", bass, nil},
}

// Names are the names of the instruments that are known.
func Names() []string {
	out := make([]string, len(table))
	for i, r := range table {
		out[i] = r.name
	}
	return out
}

// Named is the instrument of that name, written with "sax", "♭" or capitals, too.
func Named(name string) (Instrument, bool) {
	want := plain(name)
	for _, r := range table {
		for _, known := range append([]string{r.name}, r.others...) {
			if plain(known) == want {
				return r.instrument(), true
			}
		}
	}
	return Instrument{}, false
}

// Near is the known name that was probably meant.
func Near(name string) (string, bool) { return nearest.Word(name, Names()) }

// instrument reads the row; TestTheTableIsWhole sees that all can be read.
func (r row) instrument() Instrument {
	low, _ := passage.ParsePitch(r.low)
	high, _ := passage.ParsePitch(r.high)
	sounds, _ := passage.ParsePitch(r.sounds)
	return Instrument{r.name, pattern.Range{Low: low, High: high}, Sounding(sounds), r.clef}
}

// Sounding is the transposition of an instrument on which a written C4 sounds p.
func Sounding(p passage.Pitch) passage.Transposition {
	i := passage.MiddleC.To(p)
	return passage.Transposition{Diatonic: i.Steps, Chromatic: i.Cents / 100}
}

// plain is a name in lower case, with single blanks and words for signs.
func plain(name string) string {
	var words []string
	for _, w := range strings.Fields(strings.ToLower(strings.NewReplacer("-", " ", "♭", " flat ").Replace(name))) {
		switch w {
		case "sax":
			w = "saxophone"
		case "bb", "eb":
			words = append(words, w[:1])
			w = "flat"
		}
		words = append(words, w)
	}
	// "B flat clarinet" is "clarinet in B flat".
	if len(words) == 3 && words[1] == "flat" {
		words = []string{words[2], "in", words[0], "flat"}
	}
	return strings.Join(words, " ")
}
