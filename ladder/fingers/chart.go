package fingers

import (
	"math/bits"
	"slices"
	"strings"

	"footing/ladder/passage"
)

// Finger is one of the ten.
type Finger uint8

// The fingers: thumb, and from index to little finger, of both hands.
const (
	LT Finger = iota
	L1
	L2
	L3
	L4
	RT
	R1
	R2
	R3
	R4
	fingers
)

var fingerNames = [fingers]string{"LT", "L1", "L2", "L3", "L4", "RT", "R1", "R2", "R3", "R4"}

// String is the finger as charts write it: "LT", "R4".
func (f Finger) String() string { return fingerNames[f%fingers] }

var digits = [...]string{"thumb", "first finger", "second finger", "third finger", "little finger"}

// Words names the finger, "left little finger".
func (f Finger) Words() string { return f.Hand().String() + " " + f.Digit() }

// Digit is what the finger is called on either hand: "thumb", "little finger".
func (f Finger) Digit() string { return digits[int(f)%len(digits)] }

// Hand is the finger's.
func (f Finger) Hand() Hand {
	if f < RT {
		return Left
	}
	return Right
}

// Hand is one of the two.
type Hand uint8

// The hands.
const (
	Left Hand = iota
	Right
)

// String is "left" or "right".
func (h Hand) String() string { return [...]string{"left", "right"}[h&1] }

// Sure says how sure a row of a chart is.
type Sure uint8

// How sure, from most to least.
const (
	Agreed     Sure = iota // A: two or more sources agree
	OneSource              // B: one source, which memory and structure bear out
	FromMemory             // M
	Own                    // the player's own row
)

var sureLetters = [...]string{"A", "B", "M", "own"}

// Key is a key or hole, and the finger that works it.
type Key struct {
	ID     string
	Finger Finger
	// With is a key that the same finger holds at the same time.
	With string
	// Closes are the holes that it closes; Opens says by how many semitones it lifts
	// a note, by its MIDI number, as it opens a hole beside it.
	Closes []string
	Opens  map[int]int
	// Register is how many semitones it lifts the register, 0 for none.
	Register int
	// Side says that the finger works it with its side or base, and may do so while
	// it holds another.
	Side bool
	// Flick says that it is touched as the note begins, and not held.
	Flick   bool
	Name    string
	Sure    Sure
	Sources []string
	Remark  string
}

// Fingering is one way to finger a note: a row of a chart.
type Fingering struct {
	// Pitch is written, not sounding.
	Pitch passage.Pitch
	Keys  []string // in the chart's order
	Use   string   // when it is used: "side (standard)"
	// Name is how a mark names it among those of its note, without blanks: "L", "side",
	// "R+lF#".
	Name    string
	Flick   string  // the key that is touched as the note begins
	Pref    float64 // what choosing it costs, in units of one finger
	Sure    Sure
	Sources []string
	Remark  string

	fork, hold, free bool
	lift, shift      int
	vent, mute       []string
	made             string // the rule that the row was made by, empty for a row of the file

	set    keySet // all keys
	silent keySet // those that change nothing that sounds
	class  keySet // the keys that sound: alike for fingerings that differ in silent keys
	side   int8   // the hand of the little finger that sounds: −1 left, 1 right, 0 none or both
}

// Side is the hand of the little-finger key that sounds, "L" or "R"; empty where
// there is none, or one for each hand.
func (f *Fingering) Side() string { return [...]string{"L", "", "R"}[f.side+1] }

// Alike reports whether two fingerings sound with the same keys: they differ at most
// in what is held besides.
func (f *Fingering) Alike(g *Fingering) bool { return f.class == g.class && f.shift == g.shift }

// keySet is some of a chart's keys, a bit each.
type keySet uint64

// MaxKeys is the most keys of a chart.
const MaxKeys = 64

func (s keySet) len() int { return bits.OnesCount64(uint64(s)) }

// Chart is an instrument's keys and the fingerings of its notes.
type Chart struct {
	Instrument string   // "clarinet"
	Names      []string // of instruments that are fingered alike
	Title      string
	// Semitones from written to sounding.
	Semitones int
	// Low is the lowest note, UsualTop the highest that is common, Top the highest
	// with a row; all as written.
	Low, UsualTop, Top passage.Pitch
	Keys               []Key

	holes     []string       // from the top
	firstOpen map[string]int // the note that sounds while a hole is the first open one; "none" for no open hole
	pairs     []pair
	rules     []rule
	rows      map[int][]Fingering // by MIDI number, alternates in the order of the file
	index     map[string]int      // of keys
	masks     [fingers]keySet
	registers keySet
	sided     bool // some note has a choice of little finger
	costs     Costs
	habits    []habit
}

// pair is two keys that lift a note together.
type pair struct {
	keys  []string
	opens map[int]int
}

// rule says what may be done with a key in many fingerings.
type rule struct {
	id     string
	pairs  [][2]string  // keys that a finger rolls between
	key    string       // may be held
	in     string       // in place of this one
	with   []string     // where these are down
	except map[int]bool // but not for these notes
	called string
}

// Of are the fingerings of a written pitch, the usual one first; none where the
// chart has no row.
func (c *Chart) Of(p passage.Pitch) []Fingering {
	if p.Cents()%100 != 0 {
		return nil
	}
	return c.rows[p.Cents()/100]
}

// Key is a key by its id.
func (c *Chart) Key(id string) (Key, bool) {
	i, ok := c.index[id]
	if !ok {
		return Key{}, false
	}
	return c.Keys[i], true
}

// Reach says what keeps a written pitch from being on the instrument, or that it
// lies above what is usual; empty otherwise. Books disagree on the top and never on
// the bottom, so that only what lies too low is sure.
func (c *Chart) Reach(p passage.Pitch) string {
	switch {
	case p.Cents() < c.Low.Cents():
		return p.String() + " lies below " + c.Low.String() + ", the lowest note of the " + c.Instrument
	case p.Cents() > c.UsualTop.Cents():
		return p.String() + " lies above " + c.UsualTop.String() + ", the usual top of the " + c.Instrument
	case len(c.Of(p)) == 0:
		return "the chart has no row for " + p.String()
	}
	return ""
}

// Sounds is what a written pitch sounds on the instrument, in MIDI numbers.
func (c *Chart) Sounds(p passage.Pitch) float64 { return p.MIDI() + float64(c.Semitones) }

// Rows are all rows, from the lowest note up.
func (c *Chart) Rows() []Fingering {
	var pitches []int
	for m := range c.rows {
		pitches = append(pitches, m)
	}
	slices.Sort(pitches)
	var out []Fingering
	for _, m := range pitches {
		out = append(out, c.rows[m]...)
	}
	return out
}

// Uses reports whether a finger has keys.
func (c *Chart) Uses(f Finger) bool { return c.masks[f%fingers] != 0 }

// Down is the key or keys that a finger holds in a fingering, "" for none.
func (c *Chart) Down(f *Fingering, by Finger) string {
	var out []string
	for i, k := range c.Keys {
		if k.Finger == by && f.set&(1<<i) != 0 {
			out = append(out, k.ID)
		}
	}
	return strings.Join(out, " ")
}
