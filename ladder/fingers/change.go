package fingers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Change is the step from one chosen note to the next.
type Change struct {
	// From and To are the notes' indexes; in a loop the last goes to 0.
	From, To int
	// Ways is what each finger does.
	Ways [10]Way
	// Count is how often each term counts, Cost the sum of what they cost.
	Count [terms]float64
	Cost  float64
	// Reasons are the terms in words, what counts most first.
	Reasons []string
}

// Changes are those of the passage in its order. There is none to or from a note
// without a row, nor over a rest that gives the fingers time.
func (c *Choice) Changes() []Change {
	var out []Change
	for i := range c.Notes {
		next := i + 1
		if next == len(c.Notes) {
			if next = 0; !c.Loop {
				break
			}
		}
		a, b := c.Notes[i].Leaves(), c.Notes[next].Fingering
		if a == nil || b == nil || c.Notes[next].Apart {
			continue
		}
		ways, count, cost := c.Chart.change(a, b)
		out = append(out, Change{i, next, ways, count, cost, c.reasons(a, b, ways, count)})
	}
	return out
}

// Hardest are the changes from the hardest on. Those that cost the same keep their
// order.
func Hardest(all []Change) []Change {
	out := slices.Clone(all)
	slices.SortStableFunc(out, func(a, b Change) int { return cmp.Compare(b.Cost, a.Cost) })
	return out
}

// Bounds of what is called hard, in units of one finger: two hands whose fingers go
// against each other, or a finger that leaves one key for another, and half as much
// again. Ours, no source.
const (
	Hard     = 3.5
	VeryHard = 6.0
)

var numbers = []string{"no finger", "one finger", "two fingers", "three fingers", "four fingers", "five fingers", "six fingers", "seven fingers",
	"eight fingers", "nine fingers", "ten fingers"}

// Moving is how many fingers do something.
func (c Change) Moving() int {
	n := 0
	for _, w := range c.Ways {
		if w > Stay {
			n++
		}
	}
	return n
}

// Sentence is the reasons in one line: "four fingers, both hands, one against the
// other".
func (c Change) Sentence() string { return strings.Join(c.Reasons, ", ") }

// Told is the sentence as a clause: "four fingers move, both hands, one against the
// other".
func (c Change) Told() string {
	if c.Moving() == 0 {
		return c.Sentence()
	}
	verb := " move"
	if c.Moving() == 1 {
		verb = " moves"
	}
	return strings.Join(append([]string{c.Reasons[0] + verb}, c.Reasons[1:]...), ", ")
}

// reasons are the terms of a change in words.
func (c *Choice) reasons(a, b *Fingering, ways [10]Way, count [terms]float64) []string {
	change := Change{Ways: ways}
	out := []string{numbers[change.Moving()]}
	if change.Moving() == 0 {
		return []string{"nothing moves"}
	}
	if count[Hands] > 0 {
		out = append(out, "both hands")
	}
	if count[Contrary] > 0 {
		out = append(out, "one against the other")
	}
	for f, w := range ways {
		by := Finger(f)
		switch w {
		case Slide:
			text := fmt.Sprintf("the %s slides from %s to %s", by.Words(), c.Chart.keyWords(a, by), c.Chart.keyWords(b, by))
			if by.Digit() == "little finger" {
				text += " (nothing better is charted)"
			}
			out = append(out, text)
		case Rolls:
			out = append(out, "the "+by.Words()+" rolls")
		}
	}
	for f := L1; f < R4; f++ {
		if next := f + 1; f != L4 && f != RT && opposite(ways[f], ways[next]) {
			out = append(out, fmt.Sprintf("%s %s and %s cross", f.Hand(), f.Digit(), next.Digit()))
		}
	}
	for _, ring := range [2]Finger{L3, R3} {
		if w, little := ways[ring], ways[ring+1]; little == Stay && upDown(w) {
			out = append(out, fmt.Sprintf("%s third and little finger apart", ring.Hand()))
		}
	}
	if count[Break] > 0 {
		out = append(out, "the register changes")
	}
	return out
}

// keyWords names what a finger holds: a key by its name as far as that is short.
func (c *Chart) keyWords(f *Fingering, by Finger) string {
	var out []string
	for i, k := range c.Keys {
		if k.Finger != by || f.set&(1<<i) == 0 {
			continue
		}
		name := k.Name
		if cut := strings.IndexAny(name, ",(:;"); cut > 0 {
			name = strings.TrimSpace(name[:cut])
		}
		if name == "" {
			name = k.ID
		}
		out = append(out, "the "+name)
	}
	return strings.Join(out, " and ")
}

// Held is a key that stays down over some notes though it changes nothing on one of
// them, so that it need not move.
type Held struct {
	Key      Key
	From, To int // notes, by index
}

// Holds are the keys that the choice keeps down through a group of notes.
func (c *Choice) Holds() []Held {
	var out []Held
	for k, key := range c.Chart.Keys {
		bit := keySet(1) << k
		for i := 0; i < len(c.Notes); {
			if f := c.Notes[i].Fingering; f == nil || f.set&bit == 0 {
				i++
				continue
			}
			end, silent := i, false
			for ; end < len(c.Notes); end++ {
				n := c.Notes[end]
				if n.Fingering == nil || n.Fingering.set&bit == 0 || end > i && n.Apart {
					break
				}
				silent = silent || n.Fingering.silent&bit != 0 && n.Fingering.hold
				if n.Then != nil && n.Then.set&bit == 0 {
					end++
					break
				}
			}
			if silent && end-i > 1 {
				out = append(out, Held{key, i, end - 1})
			}
			i = max(end, i+1)
		}
	}
	slices.SortStableFunc(out, func(a, b Held) int { return cmp.Compare(a.From, b.From) })
	return out
}
