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

// syllables holds, for each system, the words of a beat cut into n slots, and
// compounds those of a dotted beat where they differ.
//
// Number: "1 e & a", "1 la li" and "1 la li & la li" as in handbooks of counting
// (Eastman style), a dotted beat in six from memory; takadimi: Hoffman, Pelto &
// White, J. Music Theory Pedagogy 10 (1996) 7–30, the order of its five from
// memory; gordon: Gordon, Learning Sequences in Music, pp. 74–89 and 181–185, its
// four and six built from the rule given there; kodaly: Wicks's table of rhythm
// syllables, "tri-o-la" and "tam" from memory.
// Where no system has words only the first slot is named.
var (
	syllables = map[Counting]map[int]string{
		CountNumber: {1: "#", 2: "# &", 3: "# la li", 4: "# e & a", 6: "# la li & la li"},
		CountTakadimi: {1: "ta", 2: "ta di", 3: "ta ki da", 4: "ta ka di mi", 5: "ta ka di mi ti",
			6: "ta va ki di da ma"},
		CountGordon: {1: "du", 2: "du de", 3: "du da di", 4: "du ta de ta", 6: "du ta da ta di ta"},
		CountKodaly: {1: "ta", 2: "ti ti", 3: "tri o la", 4: "ti ka ti ka"},
	}
	compounds = map[Counting]map[int]string{
		CountNumber: {6: "# ta la ta li ta"},
		CountKodaly: {1: "tam", 2: "tam", 3: "ti ti ti", 4: "tam", 6: "ti ka ti ka ti ka"},
	}
	// gordonGroups are Gordon's words for the eighths of an additive meter's groups;
	// for takadimi such a group is a beat like any other.
	gordonGroups = map[int]string{2: "du be", 3: "du ba bi"}
)

// Syllable is the word for slot i (from 0) of a simple beat cut into slots; beat is
// the beat's number in its bar, from 1. It is empty where the system has none.
// In every system but none the first slot of a beat has a word.
func (c Counting) Syllable(slots, i, beat int) string {
	return pick(c.line(simple, slots), i, beat)
}

// In is the word for slot i (from 0) of a beat (from 0) of the bar, cut into slots.
// It knows of compound beats, and of eighths in the groups of an additive meter,
// which takadimi and gordon name by their place in the group. Where that has no
// words only what begins a group is named.
func (c Counting) In(bar Bar, slots, i, beat int) string {
	if bar.kind != additive {
		return pick(c.line(bar.kind, slots), i, beat+1)
	}
	from, length := bar.group(beat)
	switch c {
	case CountTakadimi:
		return pick(c.line(simple, length*slots), (beat-from)*slots+i, 1)
	case CountGordon:
		if slots == 2 && i == 1 {
			return "ta"
		}
		words, ok := gordonGroups[length]
		if !ok {
			words = "du"
		}
		return pick(words, beat-from+i*length, 1)
	case CountKodaly:
		if slots == 2 {
			return pick("ti ka", i, 1)
		}
		return pick("ti", i, 1)
	}
	return pick(c.line(simple, slots), i, beat+1)
}

// At is the word for a place within a beat (from 0) of the bar that lies on none of
// its slots: the one that the place has where the beat is cut otherwise. Kodaly,
// which names durations, has none.
func (c Counting) At(bar Bar, place Beats, beat int) string {
	if c == CountKodaly {
		return ""
	}
	n := int(place.Den())
	return c.In(bar, n, int(place.Num()), beat)
}

// line is the words of a beat of some kind, cut into slots.
func (c Counting) line(kind barKind, slots int) string {
	tables := []map[int]string{syllables[c]}
	if kind == compound {
		tables = []map[int]string{compounds[c], syllables[c]}
	}
	for _, n := range []int{slots, 1} {
		for _, table := range tables {
			if line, ok := table[n]; ok {
				return line
			}
		}
	}
	return ""
}

// pick is a word of a line; # stands for the number of the beat.
func pick(line string, i, beat int) string {
	words := strings.Fields(line)
	switch {
	case i >= len(words):
		return ""
	case words[i] == "#":
		return strconv.Itoa(beat)
	}
	return words[i]
}
