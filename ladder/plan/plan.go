// Package plan cuts a passage into chunks, and puts them together again: around the
// spot that trips, or link by link. It is pure.
//
// A plan is an order that teachers give; that one order serves better than another is
// not shown, but that chaining forward serves at least as well as backward (D. Ash and
// D. Holding, "Backward versus Forward Chaining in the Acquisition of a Keyboard
// Skill", Human Factors 32, 1990). So forward is the one that is offered first.
package plan

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/counted"
)

// Kind is a way to cut a passage.
type Kind uint8

// The kinds: from the first link on, each time with one more; from the last back;
// neighbours joined, 1, 2, 1 and 2, 3, 2 and 3, 1 to 3, and so on; halves of halves;
// and outwards from a spot.
const (
	Forward Kind = iota
	Backward
	Joined
	Halves
	Around
)

var names = [...]string{"forward chain", "backward chain", "neighbours joined", "halves", "around the spot"}

// Kinds are all of them, in the order in which they are offered.
func Kinds() []Kind { return []Kind{Forward, Backward, Joined, Halves, Around} }

// String is the kind in words.
func (k Kind) String() string { return names[min(int(k), len(names)-1)] }

// mostLinks keeps a plan of three cuts a link within [ladder.MaxCuts].
const mostLinks = ladder.MaxCuts / 3

// Make cuts the passage of a valid step. Links are its bars, several together where
// there are very many, and its beats where it is a single bar. Spot is where the note
// begins that a change goes wrong to, in beats from the line of the passage's first
// full bar, and edges are where its notes begin, in order; only [Around] asks for
// them. Without edges it goes by the step's slots.
//
// Every cut lies in the passage, and together they cover it.
func Make(k Kind, s ladder.Step, spot click.Beats, edges []click.Beats) []ladder.Cut {
	m, err := s.Measures()
	if err != nil {
		return nil
	}
	c := cutter{m: m, links: links(m)}
	n := len(c.links) - 1
	switch k {
	case Backward:
		for i := n - 1; i >= 0; i-- {
			c.add(i, n, true)
		}
	case Joined:
		for i := range n {
			c.add(i, i+1, false)
			if i > 0 {
				c.add(i-1, i+1, false)
			}
			if i > 1 {
				c.add(0, i+1, false)
			}
		}
	case Halves:
		c.halves(0, n)
	case Around:
		return c.around(s, spot, edges)
	default:
		for i := range n {
			c.add(0, i+1, false)
		}
	}
	return c.cuts
}

// Of is the index in [Kinds] of the kind that a step's plan was made as, the same
// edges given; −1 where it has none, or one of the player's own.
func Of(s ladder.Step, edges []click.Beats) int {
	m, err := s.Measures()
	if err != nil || len(s.Plan) == 0 {
		return -1
	}
	// Made around a spot, it begins with the note before that.
	first := m.Place(s.Plan[0].Bar, s.Plan[0].At)
	spot := click.Whole(first.Floor())
	for !first.Less(spot) {
		spot = s.Slots.From(spot, 1)
	}
	if i, found := slices.BinarySearchFunc(edges, first, func(a, b click.Beats) int { return a.Cmp(b) }); found && i+1 < len(edges) {
		spot = edges[i+1]
	}
	return slices.IndexFunc(Kinds(), func(k Kind) bool { return slices.Equal(Make(k, s, spot, edges), s.Plan) })
}

// cutter makes the cuts of a passage from one link's edge to another.
type cutter struct {
	m     click.Measures
	links []click.Beats // where links begin, and where the last one ends
	cuts  []ladder.Cut
}

// links are the edges of a passage's bars, or of the beats of a single one. A pickup
// belongs to what follows it.
func links(m click.Measures) []click.Beats {
	out := []click.Beats{m.Start()}
	if m.From() < m.To() {
		together := (m.To()-m.From())/mostLinks + 1
		for bar := m.From() + together; bar <= m.To(); bar += together {
			out = append(out, click.Whole(m.Line(bar)))
		}
		return append(out, m.End())
	}
	together := (m.End().Floor()-1)/mostLinks + 1
	for beat := together; click.Whole(beat).Less(m.End()); beat += together {
		out = append(out, click.Whole(beat))
	}
	return append(out, m.End())
}

// add cuts from one link to another. What is too long to be looped keeps its end, or,
// with front, its front.
func (c *cutter) add(i, k int, front bool) {
	from, to := c.links[i], c.links[k]
	if most := click.Whole(ladder.MaxChunkBeats); most.Less(to.Sub(from)) {
		if front {
			to = from.Add(most)
		} else {
			from = to.Sub(most)
		}
	}
	c.cut(from, to, c.words(from, to))
}

// cut appends a chunk with its reason, but not the same one twice running.
func (c *cutter) cut(from, to click.Beats, why string) {
	bar, at := c.m.Where(from)
	next := ladder.Cut{Bar: bar, At: at, Length: to.Sub(from), Why: why}
	if n := len(c.cuts); n > 0 && c.cuts[n-1].Bar == bar && c.cuts[n-1].At == at && c.cuts[n-1].Length == next.Length {
		return
	}
	c.cuts = append(c.cuts, next)
}

// halves cuts both halves of some links, each in its turn, and then joins them.
func (c *cutter) halves(i, k int) {
	if k-i > 1 {
		middle := (i + k + 1) / 2
		c.halves(i, middle)
		c.halves(middle, k)
	}
	if to := c.links[k]; !click.Whole(ladder.MaxChunkBeats).Less(to.Sub(c.links[i])) {
		c.add(i, k, false)
	}
}

// words name a part of the passage: its bars, or its beats.
func (c *cutter) words(from, to click.Beats) string {
	if from == c.m.Start() && to == c.m.End() {
		return "the passage"
	}
	first, at := c.m.Where(from)
	last, end := c.m.Where(to)
	if from == c.m.Start() {
		first, at = c.m.From(), click.Beats{} // with its pickup, which has no number
	}
	if at.Sign() == 0 && end.Sign() == 0 {
		if first == last-1 {
			return fmt.Sprintf("bar %d", first)
		}
		return fmt.Sprintf("bars %d-%d", first, last-1)
	}
	if to.Sub(from) == click.Whole(1) && at.Den() == 1 {
		return "the beat at " + click.FormatPlace(first, at)
	}
	return fmt.Sprintf("%s from %s", counted.Value(to.Sub(from), "beat"), click.FormatPlace(first, at))
}

// around cuts outwards from a spot: the two notes of the change, four with those
// around them, the beat, that and the next one, the bar, the passage.
func (c *cutter) around(s ladder.Step, spot click.Beats, edges []click.Beats) []ladder.Cut {
	m := c.m
	within := func(b click.Beats) click.Beats {
		if b.Less(m.Start()) {
			return m.Start()
		}
		if m.End().Less(b) {
			return m.End()
		}
		return b
	}
	if edges = slices.Clone(edges); len(edges) == 0 {
		if !spot.Less(m.End()) {
			spot = s.Slots.From(m.End(), -1)
		}
		edges = slotEdges(s, spot)
	} else {
		edges = append(edges, click.Whole(edges[len(edges)-1].Floor()+1)) // the last one to the end of its beat
	}
	for i := range edges {
		edges[i] = within(edges[i])
	}
	edges = slices.Compact(edges)
	at, _ := slices.BinarySearchFunc(edges, spot, func(a, b click.Beats) int { return a.Cmp(b) })
	at = max(1, min(at, len(edges)-2))
	edge := func(i int) click.Beats { return edges[max(0, min(i, len(edges)-1))] }
	name := click.FormatPlace(m.Where(edge(at)))
	c.cut(edge(at-1), edge(at+1), "the two notes at "+name)
	c.cut(edge(at-2), edge(at+2), "the notes around "+name)
	beat := click.Whole(edge(at).Floor())
	for _, next := range []struct {
		from, to click.Beats
		why      string
	}{
		{beat, beat.Add(click.Whole(1)), "the beat"},
		{beat.Sub(click.Whole(1)), beat.Add(click.Whole(1)), "two beats"},
	} {
		from, to := within(next.from), within(next.to)
		if from.Less(to) {
			c.cut(from, to, next.why)
		}
	}
	bar, _ := m.Where(edge(at))
	from, to := within(click.Whole(m.Line(bar))), within(click.Whole(m.Line(bar+1)))
	c.cut(from, to, "the bar")
	if c.whole() && (from != m.Start() || to != m.End()) {
		c.cut(m.Start(), m.End(), "the passage")
	} else if !c.whole() {
		for i := 0; i+1 < len(c.links); i++ {
			c.add(i, i+1, false)
		}
	}
	return c.cuts
}

// whole reports whether the passage can be looped in one.
func (c *cutter) whole() bool { return !click.Whole(ladder.MaxChunkBeats).Less(c.m.Length()) }

// slotEdges are the slots of the beats around a place.
func slotEdges(s ladder.Step, spot click.Beats) []click.Beats {
	var out []click.Beats
	for beat := spot.Floor() - 2; beat <= spot.Floor()+3; beat++ {
		for i := range s.Slots.Count() {
			out = append(out, click.Whole(beat).Add(s.Slots.At(i)))
		}
	}
	return out
}
