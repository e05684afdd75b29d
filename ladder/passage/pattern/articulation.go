package pattern

import "footing/ladder/passage"

// Articulation says how the notes of a pattern are joined and begun.
type Articulation uint8

// The articulations.
const (
	Tongued         Articulation = iota // no marks
	Slurred                             // one slur over all
	SlurredByBeat                       // a slur over each beat
	SlurredInTwos                       // two and two
	SlurTwoTongue                       // two slurred, two tongued
	TongueTwoSlur                       // two tongued, two slurred
	Staccato                            // a dot on each note
	Tenuto                              // a line on each note
	AccentedOnBeats                     // an accent on each beat's first note
)

var articulationNames = [...]string{"tongued", "slurred", "slurred by beat", "slurred in twos",
	"slur two tongue two", "tongue two slur two", "staccato", "tenuto", "accented"}

// String is the articulation in words.
func (a Articulation) String() string {
	return articulationNames[min(int(a), len(articulationNames)-1)]
}

// ArticulationNames are the words that [ParseArticulation] knows.
func ArticulationNames() []string { return append([]string(nil), articulationNames[:]...) }

// ParseArticulation reads the words of an articulation. The error is an [*Error].
func ParseArticulation(s string) (Articulation, error) {
	for i, name := range articulationNames {
		if plain(s) == name {
			return Articulation(i), nil
		}
	}
	return 0, unknown(InArticulation, s, plain(s), "an articulation", ArticulationNames())
}

// slur reports whether a slur begins and whether one ends on the i-th of n notes,
// of which group stand in a beat.
func (a Articulation) slur(i, n, group int) (starts, ends bool) {
	switch a {
	case Slurred:
		return i == 0, i == n-1
	case SlurredByBeat:
		return span(i, n, i%group, group)
	case SlurredInTwos:
		return span(i, n, i%2, 2)
	case SlurTwoTongue:
		if i%4 < 2 {
			return span(i, n, i%4, 2)
		}
	case TongueTwoSlur:
		if i%4 >= 2 {
			return span(i, n, i%4-2, 2)
		}
	}
	return false, false
}

// span is the edges of a slur over so many notes, of which this is the at-th; the
// last note of all ends what is open, and begins nothing.
func span(i, n, at, notes int) (starts, ends bool) {
	return at == 0 && i < n-1, at > 0 && (at == notes-1 || i == n-1)
}

// mark is what stands on the i-th note, of which group stand in a beat; empty
// for nothing.
func (a Articulation) mark(i, group int) string {
	switch {
	case a == Staccato:
		return passage.MarkStaccato
	case a == Tenuto:
		return passage.MarkTenuto
	case a == AccentedOnBeats && i%group == 0:
		return passage.MarkAccent
	}
	return ""
}
