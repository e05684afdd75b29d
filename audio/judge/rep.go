package judge

import (
	"math"

	"footing/audio/hear"
	"footing/audio/stat"
)

// Rep is one rep set against the places of its notes.
type Rep struct {
	// Placed are the notes that were heard on their places, in order.
	Placed []PlacedNote
	// Missed counts the places on which nothing was heard.
	Missed int
	// Besides are the certainties, 0 to 1, of the notes that were heard beside
	// the expected ones: second notes on a place, and notes between places.
	Besides []float64
	// SlotMs is the usual inter-onset interval of the places, in milliseconds.
	SlotMs float64
}

// PlacedNote is a note on its place.
type PlacedNote struct {
	Place int // index of the place
	// LateMs is the asynchrony: by how much the note comes after its place
	// (negative: before it), in milliseconds, and PlacedMs the standard deviation
	// that this is known to.
	LateMs, PlacedMs float64
}

// SetRep sets the onsets of one rep, in order of time, against the places of
// its notes in seconds, in ascending order. Every note of this player is
// expected so many seconds late: what the devices take on their way, and the
// player. Nothing else is fitted, since the tempo is the click's.
func SetRep(onsets []hear.Onset, places []float64, late float64) Rep {
	r := Rep{Missed: len(places)}
	if len(places) == 0 {
		for _, o := range onsets {
			r.Besides = append(r.Besides, o.Certainty)
		}
		return r
	}
	a := aligned{fit: line{offset: late}}
	for i, s := range places {
		a.places = append(a.places, Place{Seconds: s, Slot: i + 1, Rep: 1})
	}
	a.spans = spans(a.places)
	r.SlotMs = 1000 * stat.Median(a.spans)
	a.match(seconds(onsets))
	for i, o := range onsets {
		j := a.owner[i]
		if j < 0 {
			r.Besides = append(r.Besides, o.Certainty)
			continue
		}
		n := PlacedNote{Place: j, LateMs: 1000 * (o.Seconds - a.fit.of(places[j])), PlacedMs: o.PlacedMs}
		if n.PlacedMs == 0 {
			n.PlacedMs = placedMs
		}
		r.Placed = append(r.Placed, n)
	}
	r.Missed -= len(r.Placed)
	return r
}

// LateMs is the median asynchrony of the rep's notes, from which the delay of
// the next ones can be learned; 0 without notes.
func (r Rep) LateMs() float64 {
	var late []float64
	for _, n := range r.Placed {
		late = append(late, n.LateMs)
	}
	return stat.Median(late)
}

// What a rep is held to: about three just noticeable differences (Friberg &
// Sundberg 1995), by what a note may be off its place, and by what its distance
// from the note before may be. Each is so many milliseconds or a share of the
// slot, whichever is more. Chosen by hand.
const (
	offMs, offShare       = 20.0, 0.14
	changeMs, changeShare = 28.0, 0.20
	// missedByEars is the chance that a note that is not heard was played, and
	// heardByEars that one that was heard beside the others was not.
	missedByEars = 0.15
	heardByEars  = 0.15
	// Less certain notes than leastCertain do not count where none is expected.
	leastCertain = 0.6
)

// Rough is the chance, 0 to 1, that the rep has a fault: a note off its place,
// uneven, missing or beside the others. Each note's place is taken to be known to
// its standard deviation, normally distributed, and faults to be independent.
func (r Rep) Rough() float64 {
	off := max(offMs, offShare*r.SlotMs)
	uneven := max(changeMs, changeShare*r.SlotMs)
	clean := math.Pow(missedByEars, float64(r.Missed))
	for _, c := range r.Besides {
		if c >= leastCertain {
			clean *= heardByEars
		}
	}
	for i, n := range r.Placed {
		in := within(n.LateMs, n.PlacedMs, off)
		if i > 0 && n.Place == r.Placed[i-1].Place+1 {
			before := r.Placed[i-1]
			in = min(in, within(n.LateMs-before.LateMs, math.Hypot(n.PlacedMs, before.PlacedMs), uneven))
		}
		clean *= in
	}
	return 1 - clean
}

// within is the chance that a value known to a standard deviation lies within a
// bound to either side of 0.
func within(v, sd, bound float64) float64 {
	upTo := func(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }
	return upTo((bound-v)/sd) - upTo((-bound-v)/sd)
}
