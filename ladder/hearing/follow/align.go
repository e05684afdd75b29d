package follow

import (
	"cmp"
	"math"
	"slices"
)

// Want is a note that is to be played.
type Want struct {
	// Seconds of the take at which it begins.
	Seconds float64
	// Sounds are note numbers that are right here, 69 at 440 Hz: one, or those of a
	// chord.
	Sounds []float64
	// Beside are those that may be heard as well, from the note before on to the next
	// one.
	Beside []float64
}

// Heard is a note that was heard to begin. Those of a take are in order of time.
type Heard struct {
	// Seconds of the take.
	Seconds float64
	// Note is its note number with its fraction, as tuned to the wants; 0 when no
	// pitch was heard.
	Note float64
}

// The costs of an alignment. A note off its place costs the square of its distance,
// in spans: the distance to the nearer neighbour, as package judge has it. A right
// pitch reaches farther than its place does, so that a player who leaves a note out
// and plays the others early is followed; a wrong one costs more than a right one
// that far away, and less than a note missed and another put in, so that a wrong
// note near its place is taken for what it is. Chosen by hand.
const (
	missedCost  = 0.16
	extraCost   = 0.17
	wrongCost   = 0.20
	unknownCost = 0.05 // no pitch was heard, or an octave or another harmonic

	nearSpans  = 0.6  // a note of any pitch reaches its place from so far
	rightSpans = 1.25 // and a right one from so far,
	slopeFrom  = 0.4  // its cost growing slowly from here on
	slope      = 0.05

	longestSpan = 0.5 // seconds: a long note is not waited for longer
	shortest    = 1e-3
)

// bandSeconds is how far around a want notes are looked at: farther than any reaches
// its place.
const bandSeconds = 2.0

// Align finds for each want the note that was played for it, at least cost in all,
// and returns their indexes in heard, −1 for none. They ascend: no two wants share a
// note. Of several alignments of one cost it takes one that is the same for the same
// input. Its time is that of the wants, and of the notes within some seconds of each.
func Align(wants []Want, heard []Heard) []int {
	s := spans(wants)
	g := grid{rows: bands(wants, heard)}
	for i := range g.rows {
		for j := g.rows[i].from; j <= g.rows[i].to; j++ {
			best := math.Inf(1)
			if i == 0 && j == 0 {
				best = 0
			}
			if i > 0 {
				best = min(best, g.at(i-1, j)+missedCost)
			}
			best = min(best, g.at(i, j-1)+extraCost)
			if i > 0 && j > 0 {
				best = min(best, g.at(i-1, j-1)+pair(wants[i-1], s[i-1], heard[j-1]))
			}
			g.rows[i].cost[j-g.rows[i].from] = best
		}
	}
	owner := make([]int, len(wants))
	for i, j := len(wants), len(heard); i > 0; {
		here := g.at(i, j)
		switch {
		case j > 0 && here == g.at(i-1, j-1)+pair(wants[i-1], s[i-1], heard[j-1]):
			owner[i-1] = j - 1
			i, j = i-1, j-1
		case here == g.at(i-1, j)+missedCost:
			owner[i-1] = -1
			i--
		default:
			j--
		}
	}
	return owner
}

// grid has the least cost of so many wants with so many notes, as far as it is
// looked for.
type grid struct{ rows []band }

// band is the costs of a number of wants with from to to notes.
type band struct {
	from, to int
	cost     []float64
}

func (g grid) at(i, j int) float64 {
	r := g.rows[i]
	if j < r.from || j > r.to {
		return math.Inf(1)
	}
	return r.cost[j-r.from]
}

// bands are the rows of a grid: each reaches as far as the next, the first from no note
// on and the last up to all.
func bands(wants []Want, heard []Heard) []band {
	until := func(t float64) int {
		i, _ := slices.BinarySearchFunc(heard, t, func(h Heard, t float64) int { return cmp.Compare(h.Seconds, t) })
		return i
	}
	rows := make([]band, len(wants)+1)
	for i, w := range wants {
		rows[i+1].from, rows[i+1].to = until(w.Seconds-bandSeconds), until(w.Seconds+bandSeconds)
	}
	rows[len(wants)].to = len(heard)
	for i := range rows {
		if i+1 < len(rows) {
			rows[i].to = max(rows[i].to, rows[i+1].to) // what comes before the next want
		}
		rows[i].cost = make([]float64, rows[i].to-rows[i].from+1)
	}
	return rows
}

// pair is what it costs to take a note for a want, infinite where it is too far off.
func pair(w Want, span float64, h Heard) float64 {
	d := math.Abs(h.Seconds-w.Seconds) / span
	plain := math.Inf(1)
	if d <= nearSpans {
		plain = d * d
	}
	switch how(w, h.Note) {
	case same:
		if d > slopeFrom && d <= rightSpans {
			return min(plain, slopeFrom*slopeFrom+slope*(d-slopeFrom))
		}
		return plain
	case other:
		return plain + wrongCost
	}
	return plain + unknownCost
}

// spans is for each want the distance to its nearer neighbour in seconds.
func spans(wants []Want) []float64 {
	s := make([]float64, len(wants))
	for i := range wants {
		s[i] = longestSpan
		if i > 0 {
			s[i] = min(s[i], wants[i].Seconds-wants[i-1].Seconds)
		}
		if i+1 < len(wants) {
			s[i] = min(s[i], wants[i+1].Seconds-wants[i].Seconds)
		}
		s[i] = max(s[i], shortest)
	}
	return s
}
