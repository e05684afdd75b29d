package passage

import "footing/audio/click"

// Kind is what a note is.
type Kind uint8

// The kinds of note.
const (
	Pitched   Kind = iota
	Unpitched      // a drum's stroke: has time, no pitch
	Rest
)

// Grace says whether a note is a grace note.
type Grace uint8

// The kinds of grace note. A slashed one is an acciaccatura.
const (
	NoGrace Grace = iota
	PlainGrace
	SlashedGrace
)

// Note is one note or rest as written.
type Note struct {
	Bar      int      // index of its bar
	At       Quarters // from the bar's start
	Duration Quarters // 0 for grace notes
	Voice    string   // as in the file, "1" where it does not say
	Staff    int      // from 1; 0 where the file does not say, which is 1: see [Note.OnStaff]

	Kind Kind
	// Pitch is as written, Sounds after the part's transposition. Both are zero
	// unless Kind is Pitched.
	Pitch, Sounds Pitch

	Chord    bool  // begins with the note before it, on the same stem
	Grace    Grace // sounds before its place, which is the next note's, or the bar's end
	Cue      bool  // another's notes, printed small: silent, never part of the line
	Hidden   bool  // not printed
	WholeBar bool  // a rest that fills its bar whatever its Duration, printed as a whole rest

	// TieTo and TieFrom say that a tie leaves and reaches the note. Two notes are
	// one only where they fit: see [Sounding].
	TieTo, TieFrom bool

	Value Value // note head and flags; NoValue where the file does not say
	Dots  int
	// Accidental is what is printed before the note, by the standard's name:
	// "sharp", "flat", "natural", "double-sharp", "flat-flat", "quarter-sharp", …;
	// empty for none. What sounds is in Pitch, whatever is printed.
	Accidental string
	Bracketed  bool // the accidental stands in brackets, as a reminder

	// Tuplet is how many notes of this value stand in the time of how many,
	// 3 and 2 in a triplet, multiplied out where tuplets nest. The zero value is
	// no tuplet. Durations have it in them already.
	Tuplet      Ratio
	TupletMarks []TupletMark

	Marks []Mark // in the file's order
}

// Ratio is so many notes in the time of so many.
type Ratio struct{ Actual, Normal int }

// Edge says where something that spans notes stands on one of them.
type Edge uint8

// The edges. A mark of one note has none.
const (
	NoEdge Edge = iota
	Start
	Stop
	Continue // goes on, as over a line break
)

// String is "start", "stop", "continue", or empty.
func (e Edge) String() string { return [...]string{"", "start", "stop", "continue"}[min(e, Continue)] }

// TupletMark is where a tuplet's bracket or number begins or ends.
type TupletMark struct {
	Edge   Edge // Start or Stop
	Number int  // pairs starts with stops, 1 and up
	// Bracket is "yes" or "no" where the file says so, else empty: the drawer's
	// choice. Show is what is written at it: "actual" (also when empty), "both" or
	// "none".
	Bracket, Show string
}

// Mark is a sign on a note: a slur's end, an articulation, a fingering.
type Mark struct {
	// Name is the standard's: "slur", "staccato", "tenuto", "accent",
	// "strong-accent", "breath-mark", "fermata", "trill-mark", "fingering", ….
	Name   string
	Text   string // a fingering's "2", a tremolo's number of strokes
	Edge   Edge
	Number int // pairs a Start with its Stop, 1 and up; 0 where there is no Edge
}

// The marks that more than one place asks for, by the standard's names.
const (
	MarkSlur      = "slur"
	MarkStaccato  = "staccato"
	MarkTenuto    = "tenuto"
	MarkAccent    = "accent"
	MarkMarcato   = "strong-accent"
	MarkBreath    = "breath-mark"
	MarkCaesura   = "caesura"
	MarkFermata   = "fermata"
	MarkTrill     = "trill-mark"
	MarkFingering = "fingering"
	MarkOther     = "other-technical"
)

// Marked reports whether the note carries a mark of that name.
func (n Note) Marked(name string) bool {
	for _, m := range n.Marks {
		if m.Name == name {
			return true
		}
	}
	return false
}

// OnStaff is the staff that the note stands on, from 1.
func (n Note) OnStaff() int { return max(n.Staff, 1) }

// End is where the note ends, from its bar's start.
func (n Note) End() Quarters { return n.At.Add(n.Duration) }

// Value is a written note value, without dots.
type Value int8

// The note values: each is half the one before.
const (
	NoValue Value = iota
	Maxima        // 32 quarters
	Long
	Breve
	Whole
	Half
	Quarter
	Eighth
	Sixteenth
	ThirtySecond
	SixtyFourth
	Value128
	Value256
	Value512
	Value1024
)

var valueNames = [...]string{"", "maxima", "long", "breve", "whole", "half", "quarter", "eighth",
	"16th", "32nd", "64th", "128th", "256th", "512th", "1024th"}

// String is the standard's name: "quarter", "16th"; empty for NoValue.
func (v Value) String() string { return valueNames[v] }

// ParseValue reads the standard's name of a note value.
func ParseValue(s string) (Value, bool) {
	for v := Maxima; v <= Value1024; v++ {
		if valueNames[v] == s {
			return v, true
		}
	}
	return NoValue, false
}

// Length is how long a note of the value lasts with dots, outside a tuplet; 0
// for NoValue.
func (v Value) Length(dots int) Quarters {
	if v == NoValue {
		return Quarters{}
	}
	n := click.Frac(32, 1<<(v-Maxima))
	sum := n
	for range min(dots, 8) {
		n = click.Frac(n.Num(), 2*n.Den())
		sum = sum.Add(n)
	}
	return sum
}

// Written is the note value, with up to three dots, that lasts so long outside a
// tuplet; false where there is none.
func Written(q Quarters) (v Value, dots int, ok bool) {
	for v := Maxima; v <= Value1024; v++ {
		for dots := range 4 {
			if v.Length(dots) == q {
				return v, dots, true
			}
		}
	}
	return NoValue, 0, false
}

// Flags is how many flags or beams a note of the value has.
func (v Value) Flags() int { return max(int(v-Quarter), 0) }
