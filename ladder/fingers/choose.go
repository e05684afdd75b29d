package fingers

import (
	"math"
	"strings"

	"footing/ladder/passage"
)

// Times in seconds that the choice goes by. Common practice, no source.
const (
	// Rest is how long a rest is after which the fingers have all the time they need.
	Rest = 0.5
	// Long is how long a note is on which a finger may take another's place.
	Long = 0.2
)

// In units of one finger.
const (
	// Nearly is how much dearer another choice may be that is as good. The costs are
	// no surer than that.
	Nearly = 0.3
	// exchange is what it costs that a little finger takes the other's place while a
	// note sounds, in two movements that nothing hurries: more than to leave a note
	// with both hands instead of one (1.2), so that it is no mere convenience, and less
	// than what it spares between two keys of one little finger (1.65). Ours.
	exchange = 1.4
)

// Note is a note that is to be fingered.
type Note struct {
	Pitch passage.Pitch // as written
	// Apart says that a rest of at least [Rest] comes before it.
	Apart bool
	// Long says that it lasts at least [Long], or that it is not known how long.
	Long bool
	// Pin is what the player has chosen: the name of a fingering, "L" for all that
	// sound with the left little finger, "R>L" for a change on the note. What is no
	// fingering of the note pins nothing.
	Pin string
}

// Chosen is a note with its fingering.
type Chosen struct {
	Note
	// Fingering is the choice, nil where the chart has no row for the note.
	Fingering *Fingering
	// Then is the one that it changes to while it sounds, nil for none.
	Then *Fingering
	// Other is the best that sounds with other keys, and More how much dearer the
	// passage is with it; nil where there is none, or where the player has chosen.
	Other *Fingering
	More  float64
	// Pinned says that the player has chosen.
	Pinned bool
}

// Either reports whether another choice is nearly as good.
func (c Chosen) Either() bool { return c.Other != nil && c.More < Nearly }

// Matters reports whether there is another choice, and it is worse.
func (c Chosen) Matters() bool { return c.Other != nil && c.More >= Nearly }

// Leaves is the fingering that the note ends with.
func (c Chosen) Leaves() *Fingering {
	if c.Then != nil {
		return c.Then
	}
	return c.Fingering
}

// Side is the hand of the little finger that sounds, "L", "R" or "R>L"; empty where
// there is none.
func (c Chosen) Side() string {
	if c.Fingering == nil {
		return ""
	}
	if c.Then != nil && c.Then.Side() != c.Fingering.Side() {
		return c.Fingering.Side() + ">" + c.Then.Side()
	}
	return c.Fingering.Side()
}

// Choice is a passage with its fingerings.
type Choice struct {
	Chart *Chart
	Notes []Chosen
	// Loop says that the last note goes on to the first.
	Loop bool
	// Cost is that of the whole.
	Cost float64
}

// Pinned are the fingerings of a pitch that a pin allows, and whether it is one.
// With ">" in it, then are those that the note may change to.
func (c *Chart) Pinned(p passage.Pitch, pin string) (first, then []int, ok bool) {
	a, b, two := strings.Cut(pin, ">")
	rows := c.Of(p)
	if first = matching(rows, a); pin == "" || len(first) == 0 {
		return nil, nil, false
	}
	if then = matching(rows, b); two && len(then) == 0 {
		return nil, nil, false
	}
	return first, then, true
}

// matching are the rows that a name means: that of the name, those that only hold
// more, and those whose name begins with it.
func matching(rows []Fingering, name string) []int {
	var out []int
	if name == "" {
		return nil
	}
	for i, row := range rows {
		plain, _, _ := strings.Cut(row.Name, "+")
		if strings.EqualFold(row.Name, name) || strings.EqualFold(plain, name) || strings.HasPrefix(strings.ToLower(row.Name), strings.ToLower(name)+"+") {
			out = append(out, i)
		}
	}
	if out == nil {
		for i, row := range rows {
			if strings.HasPrefix(strings.ToLower(row.Name), strings.ToLower(name)+"-") {
				out = append(out, i)
			}
		}
	}
	return out
}

// Choose finds the cheapest way through the notes: dynamic programming over the
// ways to play each note (best(i, f) = own(f) + min over g of best(i−1, g) +
// change(g, f)). A loop's seam counts like any other change.
func (c *Chart) Choose(notes []Note, loop bool) *Choice {
	out := &Choice{Chart: c, Notes: make([]Chosen, len(notes)), Loop: loop}
	if len(notes) == 0 {
		return out
	}
	t := newTrellis(c, notes)
	path := make([]int, len(notes))
	start := 0
	if loop {
		start = t.pivot()
	}
	if !loop || t.cols[start].free {
		out.Cost = t.run(start, anywhere)
		t.walk(path)
	} else {
		out.Cost = math.Inf(1)
		for only := range t.cols[start].places {
			if cost := t.run(start, only); cost < out.Cost-tie {
				out.Cost = cost
				t.walk(path)
			}
		}
	}
	for i, n := range notes {
		out.Notes[i] = t.chosen(i, n, t.cols[i].places[path[i]], out.Cost)
	}
	return out
}
