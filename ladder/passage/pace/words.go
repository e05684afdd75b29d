package pace

import (
	"slices"
	"strings"
	"unicode"
)

// span is the beats a minute of a tempo word.
type span struct{ low, high int }

// words are the tempo words. Tables of them disagree, so each has the whole range from
// the slowest to the fastest of three: the set of English theory handbooks ("Tempo",
// mumudsokay.wordpress.com, 18 February 2009), a conservatory's ("Metronom Maelzel",
// wiki-indonesia.club), and that of a French theory course (musique-harmonie.fr,
// page 172).
var words = map[string]span{
	"grave":       {40, 45},
	"largo":       {40, 60},
	"larghetto":   {50, 66},
	"lento":       {52, 65},
	"adagio":      {52, 76},
	"andante":     {60, 108},
	"andantino":   {70, 100},
	"maestoso":    {88, 92},
	"moderato":    {80, 120},
	"allegretto":  {100, 120},
	"allegro":     {116, 168},
	"vivace":      {126, 176},
	"presto":      {144, 200},
	"prestissimo": {184, 208},
}

// steering are words that change a tempo from what it was, which is not known.
var steering = []string{"più", "piu", "meno", "poco", "sempre", "rit", "ritardando", "rall", "rallentando", "accelerando", "accel"}

// word finds the first tempo word of a text such as "Allegro ma non troppo".
func word(text string) (span, bool) {
	parts := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
	if slices.ContainsFunc(parts, func(p string) bool { return slices.Contains(steering, p) }) {
		return span{}, false
	}
	for _, p := range parts {
		if s, ok := words[p]; ok {
			return s, true
		}
	}
	return span{}, false
}
