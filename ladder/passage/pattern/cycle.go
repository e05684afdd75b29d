package pattern

import (
	"footing/ladder/passage"
	"footing/ladder/passage/tonality"
)

// cycle is notes that come again in every octave, as going up and as coming down.
// Its notes are counted from the root of octave 4, which is 0, down below zero.
type cycle struct {
	root     passage.Pitch
	up, down []passage.Interval // from the root, within an octave; as many of each
	// meets says that a line may turn only where up and down are the same note:
	// else the two forms of melodic minor meet at the turn, A sharp, B sharp, A
	// (common practice, no source).
	meets bool
}

// at is the n-th note of the cycle.
func (c cycle) at(n int, rising bool) passage.Pitch {
	form := c.down
	if rising {
		form = c.up
	}
	i := ((n % len(form)) + len(form)) % len(form)
	octaves := (n - i) / len(form)
	step := form[i]
	return c.root.Up(passage.Interval{Steps: step.Steps + 7*octaves, Cents: step.Cents + 1200*octaves})
}

// turns reports whether a line may turn on the n-th note.
func (c cycle) turns(n int) bool { return !c.meets || c.at(n, true) == c.at(n, false) }

// scale is the seven notes of a key.
func scale(k tonality.Key) cycle {
	c := cycle{root: k.Tonic(4), meets: true}
	for n := range 7 {
		c.up = append(c.up, c.root.To(k.Degree(4, n, true)))
		c.down = append(c.down, c.root.To(k.Degree(4, n, false)))
	}
	return c
}

// chromatic is the twelve notes of a key: its own as its signature has them, and
// those between the lower one raised going up, the upper one lowered coming down
// (common practice, no source).
func chromatic(k tonality.Key) cycle {
	if k.Mode.Minor() {
		k.Mode = tonality.NaturalMinor
	}
	c := cycle{root: k.Tonic(4)}
	for n := range 7 {
		low, high := k.Degree(4, n, true), k.Degree(4, n+1, true)
		c.up = append(c.up, c.root.To(low))
		c.down = append(c.down, c.root.To(low))
		if low.To(high).Cents == 200 {
			c.up = append(c.up, c.root.To(low.Up(passage.Interval{Cents: 100})))
			c.down = append(c.down, c.root.To(high.Down(passage.Interval{Cents: 100})))
		}
	}
	return c
}

// Six letters for six notes, so that one letter of the seven is left out: the
// last with sharps, the fourth with flats (common practice, no source).
var (
	sharpened = []int{0, 1, 2, 3, 4, 5}
	flattened = []int{0, 1, 2, 4, 5, 6}
)

// wholeTone is six whole tones on the tonic, on the letters that are given.
func wholeTone(k tonality.Key, up, down []int) cycle {
	c := cycle{root: k.Tonic(4)}
	for n := range 6 {
		c.up = append(c.up, passage.Interval{Steps: up[n], Cents: 200 * n})
		c.down = append(c.down, passage.Interval{Steps: down[n], Cents: 200 * n})
	}
	return c
}

// chord is every other note of a key from one of its degrees on, which counts
// from 0.
func chord(k tonality.Key, degree, notes int) cycle {
	c := cycle{root: k.Degree(4, degree, true)}
	c.root.Octave = 4
	root := k.Degree(4, degree, true)
	for n := range notes {
		c.up = append(c.up, root.To(k.Degree(4, degree+2*n, true)))
	}
	c.down = c.up
	return c
}
