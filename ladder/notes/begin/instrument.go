package begin

import (
	"strings"

	"footing/ladder"
	"footing/ladder/passage"
	"footing/ladder/passage/instrument"
)

// instrumentOf is the instrument that a part is named after: "Bassoon 2",
// "Clarinet in Bb I", "1st Horn". The zero value where none is known by the name.
func instrumentOf(p *passage.Part) ladder.Instrument {
	words := strings.Fields(p.Called())
	drop := func(words []string) bool {
		return len(words) > 1 && (desk(words[0]) || desk(words[len(words)-1]))
	}
	for {
		if i, ok := instrument.Named(strings.Join(words, " ")); ok {
			return ladder.Instrument{Name: i.Name}
		}
		if !drop(words) {
			return ladder.Instrument{}
		}
		if desk(words[0]) {
			words = words[1:]
		} else {
			words = words[:len(words)-1]
		}
	}
}

// desk reports whether a word says which player of several: "2", "II.", "1st",
// "solo".
func desk(word string) bool {
	word = strings.ToLower(strings.Trim(word, ".,()"))
	switch word {
	case "i", "ii", "iii", "iv", "v", "solo", "1st", "2nd", "3rd", "4th", "first", "second", "third":
		return true
	}
	return word != "" && strings.Trim(word, "0123456789/&+") == ""
}
