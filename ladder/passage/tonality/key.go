// Package tonality is keys by name: a tonic and a mode, and the signature and
// the spelled scale that follow from them. Everything is derived from the row of
// fifths; there is no table of keys, so a key with eleven sharps is spelled like
// any other. Pure.
package tonality

import (
	"slices"

	"footing/ladder/passage"
)

// Mode is the kind of a seven-note scale.
type Mode uint8

// The modes. Ionian is Major, Aeolian NaturalMinor.
const (
	Major Mode = iota
	NaturalMinor
	HarmonicMinor // the seventh degree raised
	MelodicMinor  // sixth and seventh raised going up, as NaturalMinor going down
	Dorian
	Phrygian
	Lydian
	Mixolydian
	Locrian
)

// modes are what is known of each mode: its words, its name in a signature, and
// how many fifths the signature lies above that of the major key of its tonic.
var modes = [...]struct {
	words, signature string
	fifths           int
}{
	Major:         {"major", "major", 0},
	NaturalMinor:  {"natural minor", "minor", -3},
	HarmonicMinor: {"harmonic minor", "minor", -3},
	MelodicMinor:  {"melodic minor", "minor", -3},
	Dorian:        {"dorian", "dorian", -2},
	Phrygian:      {"phrygian", "phrygian", -4},
	Lydian:        {"lydian", "lydian", 1},
	Mixolydian:    {"mixolydian", "mixolydian", -1},
	Locrian:       {"locrian", "locrian", -5},
}

// String is the mode in words: "harmonic minor".
func (m Mode) String() string { return modes[m.known()].words }

// known is the mode, or the last for a number that stands for none.
func (m Mode) known() Mode { return min(m, Locrian) }

// Minor reports whether the mode is one of the three minors.
func (m Mode) Minor() bool { return m == NaturalMinor || m == HarmonicMinor || m == MelodicMinor }

// Key is a tonic without octave and a mode. The zero value is C major. Values
// compare with ==.
type Key struct {
	Letter passage.Letter
	Alter  passage.Alter // whole semitones, from double flat to double sharp in what is read
	Mode   Mode
}

// Of is the key with the letter and alteration of a pitch for its tonic.
func Of(tonic passage.Pitch, m Mode) Key { return Key{tonic.Letter, tonic.Alter, m} }

// fifths is where each letter stands in the row of fifths, from C.
var fifths = [7]int{passage.F: -1, passage.C: 0, passage.G: 1, passage.D: 2, passage.A: 3, passage.E: 4, passage.B: 5}

// Fifths is the number of sharps in the signature, or of flats below 0. Keys
// beyond seven have it, too, though there is no such signature in print.
func (k Key) Fifths() int {
	return fifths[k.Letter] + 7*int(k.Alter/passage.Sharp) + modes[k.Mode.known()].fifths
}

// Printed reports whether there is a signature for the key: at most seven signs.
func (k Key) Printed() bool { n := k.Fifths(); return n >= -7 && n <= 7 }

// Signature is what stands behind the clef. It may have more than seven signs;
// see [Key.Printed].
func (k Key) Signature() passage.Key {
	return passage.Key{Fifths: k.Fifths(), Mode: modes[k.Mode.known()].signature}
}

// Tonic is the key's first note in an octave.
func (k Key) Tonic(octave int) passage.Pitch {
	return passage.Pitch{Letter: k.Letter, Alter: k.Alter, Octave: int8(octave)}
}

// Degree is the pitch so many letters above a tonic of the key, below it where
// n is negative, as the scale has it going up or down: the two differ in melodic
// minor. The tonic's octave counts, 0 is the tonic itself.
func (k Key) Degree(octave, n int, rising bool) passage.Pitch {
	p := k.Tonic(octave).Up(passage.Interval{Steps: n})
	p.Alter = passage.Key{Fifths: k.Fifths()}.Of(p.Letter)
	degree := ((n % 7) + 7) % 7
	if k.Mode == HarmonicMinor && degree == 6 || k.Mode == MelodicMinor && rising && degree >= 5 {
		p.Alter += passage.Sharp
	}
	return p
}

// Twin is the key that sounds the same with the fewest signs; it is k itself
// where no other has fewer.
func (k Key) Twin() Key {
	if twin := k.Twins()[0]; size(twin.Fifths()) < size(k.Fifths()) {
		return twin
	}
	return k
}

// Twins are the other keys that sound the same, that with the fewest signs first.
// There is one at least.
func (k Key) Twins() []Key {
	var out []Key
	for _, steps := range []int{-2, -1, 1, 2} {
		if p := k.Tonic(4).Up(passage.Interval{Steps: steps}); p.Signed() {
			out = append(out, Of(p, k.Mode))
		}
	}
	slices.SortStableFunc(out, func(a, b Key) int { return size(a.Fifths()) - size(b.Fifths()) })
	return out
}

func size(n int) int { return max(n, -n) }

// String is the key in words: "E flat major".
func (k Key) String() string { return k.Tonic(4).Name() + " " + k.Mode.String() }
