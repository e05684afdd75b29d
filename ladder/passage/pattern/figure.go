package pattern

import (
	"footing/ladder/passage"
	"footing/ladder/passage/tonality"
)

// Shape is what a pattern does with the notes of a key.
type Shape uint8

// The shapes. Degrees count from 1, with a prime in the next octave.
const (
	Scale              Shape = iota
	Thirds                   // 1 3 2 4 3 5 …
	Fourths                  // 1 4 2 5 3 6 …
	Fifths                   // 1 5 2 6 3 7 …
	Sixths                   // 1 6 2 7 3 1′ …
	Octaves                  // 1 1′ 2 2′ 3 3′ …
	BrokenTriads             // 1 3 5 2 4 6 …
	BrokenSevenths           // 1 3 5 7 2 4 6 1′ …
	Arpeggio                 // the triad on 1: 1 3 5 1′ …
	BrokenChord              // the triad on 1, begun on each of its notes: 1 3 5 3 5 1′ …
	DominantSeventh          // on 5
	DiminishedSeventh        // on the leading note
	HalfDiminished           // on 7 of a major key, on 2 of a minor one
	MajorSeventh             // on 1
	MinorSeventh             // on 1
	AugmentedTriad           // on 1
	Chromatic                // from 1
	WholeTone                // from 1, with sharps going up and flats coming down
	WholeToneSharpened       // with sharps both ways
	WholeToneFlattened       // with flats both ways
)

// Way says which way a figure goes.
type Way uint8

// The ways.
const (
	UpAndDown Way = iota // up, then down; within a range also below, and home
	Up
	Down
)

// Figure is a shape and its way. The zero value is a scale up and down. Values
// compare with ==.
type Figure struct {
	Shape Shape
	Way   Way
}

// shapes are what is known of each shape: its words, the notes that it runs
// over, and what is played from each of them.
var shapes = [...]struct {
	words   string
	notes   func(tonality.Key) cycle
	offsets []int
	// home leads from a chord's root to its key, for a chord that is named by its
	// root. It is nil where the shape is no chord.
	home func(root tonality.Key) tonality.Key
}{
	Scale:              {words: "scale", notes: scale, offsets: []int{0}},
	Thirds:             {words: "thirds", notes: scale, offsets: []int{0, 2}},
	Fourths:            {words: "fourths", notes: scale, offsets: []int{0, 3}},
	Fifths:             {words: "fifths", notes: scale, offsets: []int{0, 4}},
	Sixths:             {words: "sixths", notes: scale, offsets: []int{0, 5}},
	Octaves:            {words: "octaves", notes: scale, offsets: []int{0, 7}},
	BrokenTriads:       {words: "broken triads", notes: scale, offsets: []int{0, 2, 4}},
	BrokenSevenths:     {words: "broken sevenths", notes: scale, offsets: []int{0, 2, 4, 6}},
	Arpeggio:           {words: "arpeggio", notes: triad, offsets: []int{0}},
	BrokenChord:        {words: "broken chord", notes: triad, offsets: []int{0, 1, 2}},
	DominantSeventh:    {words: "dominant seventh", notes: dominantSeventh, offsets: []int{0}, home: below(passage.Interval{Steps: 4, Cents: 700}, tonality.Major)},
	DiminishedSeventh:  {words: "diminished seventh", notes: diminishedSeventh, offsets: []int{0}, home: below(passage.Interval{Steps: 6, Cents: 1100}, tonality.NaturalMinor)},
	HalfDiminished:     {words: "half-diminished seventh", notes: halfDiminished, offsets: []int{0}, home: below(passage.Interval{Steps: 6, Cents: 1100}, tonality.Major)},
	MajorSeventh:       {words: "major seventh", notes: majorSeventh, offsets: []int{0}, home: below(passage.Interval{}, tonality.Major)},
	MinorSeventh:       {words: "minor seventh", notes: minorSeventh, offsets: []int{0}, home: below(passage.Interval{}, tonality.NaturalMinor)},
	AugmentedTriad:     {words: "augmented triad", notes: augmentedTriad, offsets: []int{0}, home: below(passage.Interval{}, tonality.Major)},
	Chromatic:          {words: "chromatic", notes: chromatic, offsets: []int{0}},
	WholeTone:          {words: "whole tone", notes: wholeTones(sharpened, flattened), offsets: []int{0}},
	WholeToneSharpened: {words: "whole tone sharpened", notes: wholeTones(sharpened, sharpened), offsets: []int{0}},
	WholeToneFlattened: {words: "whole tone flattened", notes: wholeTones(flattened, flattened), offsets: []int{0}},
}

func triad(k tonality.Key) cycle { return chord(k, 0, 3) }

// The dominant seventh of a minor key has the leading note, so it is that of the
// major key.
func dominantSeventh(k tonality.Key) cycle {
	k.Mode = tonality.Major
	return chord(k, 4, 4)
}

func diminishedSeventh(k tonality.Key) cycle {
	k.Mode = tonality.HarmonicMinor
	return chord(k, 6, 4)
}

func halfDiminished(k tonality.Key) cycle {
	if k.Mode.Minor() {
		k.Mode = tonality.NaturalMinor
		return chord(k, 1, 4)
	}
	k.Mode = tonality.Major
	return chord(k, 6, 4)
}

func majorSeventh(k tonality.Key) cycle {
	k.Mode = tonality.Major
	return chord(k, 0, 4)
}

func minorSeventh(k tonality.Key) cycle {
	k.Mode = tonality.NaturalMinor
	return chord(k, 0, 4)
}

func augmentedTriad(k tonality.Key) cycle {
	k.Mode = tonality.Major
	c := chord(k, 0, 3)
	c.up[2].Cents += 100
	return c
}

func wholeTones(up, down []int) func(tonality.Key) cycle {
	return func(k tonality.Key) cycle { return wholeTone(k, up, down) }
}

// below is the key of a mode whose tonic lies an interval below a chord's root.
func below(i passage.Interval, m tonality.Mode) func(tonality.Key) tonality.Key {
	return func(root tonality.Key) tonality.Key { return tonality.Of(root.Tonic(4).Down(i), m) }
}
