package angle

import "footing/audio/click"

// articulation is notes by turns slurred to the one before them and tongued.
type articulation struct {
	words   string
	slurred []bool // of each note of the group
	least   int    // notes of a chunk that it makes a difference to
}

// The patterns that are common practice (no source), on groups of four from the
// beat on: two slurred and two tongued in all the places that they can have.
var articulations = []articulation{
	{"slur all", []bool{true}, 2},
	{"tongue all", []bool{false}, 1},
	{"slur two and two", []bool{false, true}, 2},
	{"slur two tongue two", []bool{false, true, false, false}, 2},
	{"tongue one slur two tongue one", []bool{false, false, true, false}, 3},
	{"tongue two slur two", []bool{false, false, false, true}, 4},
	{"slur over the beat", []bool{true, false, false, false}, 2},
	{"slur three tongue one", []bool{false, true, true, false}, 2},
	{"tongue one slur three", []bool{false, false, true, true}, 3},
}

// mark sets how cells begin. The first of a chunk has none before it to be slurred
// to.
func (a articulation) mark(cells []click.Cell, shares []click.Share) {
	first := 0
	for first < len(shares) && shares[first].Slot != 0 {
		first++
	}
	if first == len(shares) {
		first = 0 // no beat begins in it
	}
	n := len(a.slurred)
	for i := range cells {
		slurred := a.slurred[((i-first)%n+n)%n] && i > 0
		cells[i].Slurred, cells[i].Tongued = slurred, !slurred
	}
}
