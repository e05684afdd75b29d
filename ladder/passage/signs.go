package passage

import "strconv"

// Key is a key signature. The zero value is C major: no signs.
type Key struct {
	// Fifths is the number of sharps, or of flats below 0: −15 to 15 in what is
	// read, −7 to 7 where it can be drawn. It is 0 where Signs are given.
	Fifths int
	Mode   string // "major", "minor", "dorian", …, empty where not said
	// Signs are the letters altered by a signature that is no row of fifths, in
	// printed order.
	Signs []KeySign
}

// KeySign is one sign of a signature that is no row of fifths.
type KeySign struct {
	Letter Letter
	Alter  Alter
}

// fifthsOrder are the letters in the order in which sharps come; flats come in
// the reverse.
var fifthsOrder = [7]Letter{F, C, G, D, A, E, B}

// Of is what the signature does to a letter, in every octave.
func (k Key) Of(l Letter) Alter {
	for _, s := range k.Signs {
		if s.Letter == l {
			return s.Alter
		}
	}
	var a Alter
	for i := 0; i < k.Fifths; i++ {
		if fifthsOrder[i%7] == l {
			a += Sharp
		}
	}
	for i := 0; i < -k.Fifths; i++ {
		if fifthsOrder[6-i%7] == l {
			a += Flat
		}
	}
	return a
}

// Clef says which pitch stands on which line.
type Clef struct {
	Sign   string // "G", "F", "C", "percussion", "TAB", "jianpu" or "none"
	Line   int    // the line the sign names, 1 the lowest; 0 where it names none
	Octave int    // octaves that it stands higher (8va: 1) or lower than written plain
}

// String is sign and line: "G2", "F4", "percussion".
func (c Clef) String() string {
	if c.Line == 0 {
		return c.Sign
	}
	return c.Sign + strconv.Itoa(c.Line)
}

// Middle is the pitch, without accidental, on the middle line of five. It is
// false for a clef that gives no pitches.
func (c Clef) Middle() (Pitch, bool) {
	named := Pitch{Octave: 4}
	switch c.Sign {
	case "G":
		named.Letter = G
	case "F":
		named = Pitch{Letter: F, Octave: 3}
	case "C":
	default:
		return Pitch{}, false
	}
	steps := named.Steps() + 2*(3-c.Line) + 7*c.Octave
	return Pitch{Letter: Letter(floorMod(steps, 7)), Octave: int8(floorDiv(steps, 7))}, true
}

// Transposition leads from what is written to what sounds. The zero value is an
// instrument in C.
type Transposition struct {
	Diatonic, Chromatic int // letters and semitones, a clarinet in B flat −1 and −2
	Octave              int // octaves besides
	// Double says that the part is also doubled an octave lower, or higher at 1.
	Double int
}

// Interval is what to add to a written pitch.
func (t Transposition) Interval() Interval {
	return Interval{t.Diatonic + 7*t.Octave, 100*t.Chromatic + 1200*t.Octave}
}

// Change is something that is in force from a place on: exactly one of its
// pointers is set.
type Change struct {
	Bar   int
	At    Quarters // from the bar's start
	Staff int      // 1 and up; 0 where it holds for every staff of the part

	Meter     *Meter
	Key       *Key
	Clef      *Clef
	Transpose *Transposition
	// Rests is a rest over that many bars, printed as one; every one of the bars
	// is in the score.
	Rests *int
}
