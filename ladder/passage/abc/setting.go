package abc

import (
	"fmt"
	"strings"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ladder/passage/tonality"
)

// Setting is what a text does not say itself.
type Setting struct {
	Meter passage.Meter
	// Changes are the bars from which another meter is in force, by their numbers,
	// in order.
	Changes []click.MeterChange
	// First is the number of the first full bar; 0 stands for 1.
	First int
	Key   passage.Key
	// Unit is the length of a note without a number. 0 is [DefaultUnit].
	Unit passage.Quarters
	// Clef is the treble or the bass clef where it is the zero value, whichever fits
	// the notes.
	Clef      passage.Clef
	Transpose passage.Transposition
}

// meter is the meter of a bar, by its number.
func (in Setting) meter(number int) passage.Meter {
	m := in.Meter
	for _, c := range in.Changes {
		if c.Bar <= number {
			m = passage.FromClick(c.Meter)
		}
	}
	return m
}

// DefaultUnit is a sixteenth where a bar is shorter than 3/4, else an eighth (ABC
// 2.1, section 3.1.7).
func DefaultUnit(m passage.Meter) passage.Quarters {
	if length := m.Length(); length.Sign() > 0 && length.Less(click.Whole(3)) {
		return click.Frac(1, 4)
	}
	return click.Frac(1, 2)
}

// ParseUnit reads "1/8": the part of a whole note that a letter without a number
// lasts, from 1/1 to 1/64. The error has the form "what; what would be right".
func ParseUnit(s string) (passage.Quarters, error) {
	for below := int64(1); below <= 64; below *= 2 {
		if strings.TrimSpace(s) == fmt.Sprintf("1/%d", below) {
			return click.Frac(4, below), nil
		}
	}
	return passage.Quarters{}, fmt.Errorf("%.40q is not a note length; write one such as 1/8 or 1/16", s)
}

// ParseKey reads a key as the standard writes it, "Bb", "Dm", "Amix", or in
// words, "E flat major". The error has the form "what; what would be right".
func ParseKey(s string) (passage.Key, error) {
	k, err := tonality.Parse(s)
	if err != nil {
		return passage.Key{}, err
	}
	if !k.Printed() {
		return passage.Key{}, fmt.Errorf("there is no signature for %s; write %s, or another key and accidentals", k, k.Twin())
	}
	return k.Signature(), nil
}
