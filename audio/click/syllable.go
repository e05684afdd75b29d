package click

import (
	"fmt"
	"strconv"
	"strings"
)

// Counting is a system of rhythm syllables.
type Counting uint8

// The systems. Numbers count "1 e & a" with the number of the beat in its bar;
// takadimi and gordon name the place within the beat; kodaly names durations.
const (
	CountNone Counting = iota
	CountNumber
	CountTakadimi
	CountGordon
	CountKodaly
)

var countingNames = [...]string{"none", "number", "takadimi", "gordon", "kodaly"}

// String is the word in a routine file.
func (c Counting) String() string { return countingNames[min(int(c), len(countingNames)-1)] }

// ParseCounting reads "none", "number", "takadimi", "gordon" or "kodaly".
func ParseCounting(s string) (Counting, error) {
	for i, name := range countingNames {
		if s == name {
			return Counting(i), nil
		}
	}
	return 0, fmt.Errorf("%q is not a counting system; write one of %s", s, strings.Join(countingNames[:], ", "))
}

// syllables holds, for each system, the words of a beat cut into n slots.
//
// Number: "1 e & a" and "1 la li" as in handbooks of counting (Eastman style);
// takadimi: Hoffman, Pelto & White, J. Music Theory Pedagogy 10 (1996) 7–30,
// the order of its five from memory; gordon: Gordon, Learning Sequences in
// Music, pp. 74–89 and 181–185, its four and six built from the rule given
// there; kodaly: Wicks's table of rhythm syllables, "tri-o-la" from memory.
// Where no system has words (7 slots and more) only the first slot is named.
var syllables = map[Counting]map[int]string{
	CountNumber: {1: "#", 2: "# &", 3: "# la li", 4: "# e & a", 6: "# ta la ta li ta"},
	CountTakadimi: {1: "ta", 2: "ta di", 3: "ta ki da", 4: "ta ka di mi", 5: "ta ka di mi ti",
		6: "ta va ki di da ma"},
	CountGordon: {1: "du", 2: "du de", 3: "du da di", 4: "du ta de ta", 6: "du ta da ta di ta"},
	CountKodaly: {1: "ta", 2: "ti ti", 3: "tri o la", 4: "ti ka ti ka"},
}

// Syllable is the word for slot i (from 0) of a beat cut into slots; beat is
// the beat's number in its bar, from 1. It is empty where the system has none.
// In every system but none the first slot of a beat has a word.
func (c Counting) Syllable(slots, i, beat int) string {
	if c == CountNone {
		return ""
	}
	line, ok := syllables[c][slots]
	if !ok {
		line = syllables[c][1]
	}
	words := strings.Fields(line)
	switch {
	case i >= len(words):
		return ""
	case words[i] == "#":
		return strconv.Itoa(beat)
	}
	return words[i]
}
