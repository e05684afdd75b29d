// Package pattern makes notes from a recipe: a scale, thirds, a broken chord, in
// a key and a range, spelled right in every key. The figures, and where they
// turn, are common practice, no source. Pure.
package pattern

import (
	"fmt"
	"slices"

	"footing/ladder/passage"
	"footing/ladder/passage/tonality"
)

// Pattern is a recipe. The zero value is C major up and down, one octave from
// C4, tongued. Values compare with ==.
type Pattern struct {
	Key    tonality.Key
	Figure Figure

	// Range bounds the notes, as written. The zero value is none.
	Range Range
	// Octaves is how far the figure goes from its first note, 1 to [MaxOctaves]; 0
	// for as far as the range allows, or one octave where there is no range.
	Octaves int
	// From is the first note, or the last where the figure comes down by octaves. A
	// note without an accidental is as the key has it, as on the page: E4 is E flat
	// in E flat major. From another note of a chord comes its inversion. The zero
	// value is none: the lowest tonic in the range, or that of octave 4.
	From passage.Pitch

	// Group is the notes to a beat, 2, 3, 4 or 6; 0 is 4, or 6 where the beat
	// divides by three: sixteenths over a quarter and over a dotted quarter.
	Group        int
	Articulation Articulation
}

// MaxOctaves is how far a pattern can go.
const MaxOctaves = 8

// Range is the lowest and the highest note, both included.
type Range struct{ Low, High passage.Pitch }

// none reports whether there is no bound.
func (r Range) none() bool { return r == Range{} }

// holds reports whether a pitch lies in the range, by its sound.
func (r Range) holds(p passage.Pitch) bool {
	return r.none() || p.Cents() >= r.Low.Cents() && p.Cents() <= r.High.Cents()
}

// String is "E3-C6".
func (r Range) String() string { return r.Low.String() + "-" + r.High.String() }

// String is the pattern in words: "E flat major, thirds up".
func (p Pattern) String() string { return p.Key.String() + ", " + p.Figure.String() }

// twin is a key that sounds the same, and in which the pattern can be written. The
// one with the fewest signs may be no better: A sharp phrygian has as many as
// B flat phrygian.
func (p Pattern) twin() tonality.Key {
	twins := p.Key.Twins()
	for _, twin := range twins {
		p.Key = twin
		if w, err := p.way(); err == nil && !slices.ContainsFunc(w.walk(), func(n passage.Pitch) bool { return !n.Signed() }) {
			return twin
		}
	}
	return twins[0]
}

// Pitches are the notes of the pattern, as written. The error is an [*Error].
//
// Up and down, the top note and the bottom note come once. A figure over a scale
// leaves its octave by a step or more at each end, and drops the groups that
// would leave the range. Within a range alone it goes from its first note up to
// the highest note of the scale, down to the lowest and home.
func (p Pattern) Pitches() ([]passage.Pitch, error) {
	w, err := p.way()
	if err != nil {
		return nil, err
	}
	notes := w.walk()
	for _, n := range notes {
		if !n.Signed() {
			return nil, &Error{InKey, fmt.Sprintf("%s needs more than a double accidental", p.Key), fmt.Sprintf("write %s, which sounds the same", p.twin())}
		}
		if n.Octave < 0 || n.Octave > 9 {
			return nil, &Error{InOctaves, fmt.Sprintf("%s leaves the octaves 0 to 9", p), "write fewer octaves, or begin elsewhere"}
		}
	}
	return notes, nil
}
