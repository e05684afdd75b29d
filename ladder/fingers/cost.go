package fingers

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// Term is one thing that makes a change hard.
type Term uint8

// The terms; assets/fingerings/cost.yaml says what each is and what it stands on.
const (
	Group       Term = iota // a hand's fingers going one way
	More                    // each further finger of such a group
	Contrary                // some finger lifts while another presses
	Flip                    // neighbours of one hand go opposite ways
	Hands                   // both hands move
	Weak                    // ring and little finger go opposite ways, or the ring moves while the little stays down
	SlideLittle             // a little finger goes from key to key
	SlideThumb
	SlideRing
	SlideBis // a finger lets go of one of two keys that it pressed together
	SlideOther
	Roll   // a finger adds or drops a key without leaving the first
	Break  // the register changes and four or more other fingers move
	Pref   // what the fingering arrived at costs by itself
	Silent // a key is held that changes nothing
	terms
)

var termNames = [terms]string{
	"group", "more", "contrary", "flip", "hands", "weak", "slide-little", "slide-thumb", "slide-ring", "slide-bis", "slide-other", "roll",
	"break", "pref", "held",
}

// String is the term as the file of costs writes it.
func (t Term) String() string { return termNames[t%terms] }

// Terms are all terms.
func Terms() []Term {
	out := make([]Term, terms)
	for i := range out {
		out[i] = Term(i)
	}
	return out
}

// Costs are what the terms cost, in units of one finger that goes down or up on its
// own, what differs on one instrument, and small habits of hand by instrument.
type Costs struct {
	Weight [terms]float64
	Times  map[string]map[Term]float64   // by instrument: how many times a term's weight it costs there
	Habit  map[string]map[string]float64 // by instrument and key
}

// habit is what a key costs where it is down.
type habit struct {
	key  keySet
	cost float64
}

// ReadCosts reads the file of costs. The error is [Errors].
func ReadCosts(file string, data []byte) (Costs, error) {
	r := &reader{file: file}
	out := Costs{Times: map[string]map[Term]float64{}, Habit: map[string]map[string]float64{}}
	for _, n := range r.documents(data) {
		f := r.fields(n, "terms:, times: and habit:", "terms", "times", "habit")
		found := [terms]bool{}
		for _, item := range r.items(f["terms"], "{id: group, weight: 1.0}") {
			t := r.fields(item, "{id: group, weight: 1.0}", "id", "weight", "per", "source")
			i := slices.Index(termNames[:], r.text(t["id"]))
			if i < 0 {
				r.wrong(item, "write one of "+strings.Join(termNames[:], ", "), "the term has no id that is known")
				continue
			}
			out.Weight[i], found[i] = r.cost(t["weight"]), true
		}
		if i := slices.Index(found[:], false); i >= 0 {
			r.wrong(n, "write a line for each term", "%s has no weight", termNames[i])
		}
		for instrument, costs := range r.byInstrument(f["times"]) {
			out.Times[instrument] = map[Term]float64{}
			for id, times := range costs {
				i := slices.Index(termNames[:], id)
				if i < 0 {
					r.wrong(f["times"], "write one of "+strings.Join(termNames[:], ", "), "%s is no term that is known", quoted(id))
					continue
				}
				out.Times[instrument][Term(i)] = times
			}
		}
		out.Habit = r.byInstrument(f["habit"])
	}
	return out, r.failed()
}

// byInstrument reads costs by instrument and, within it, by key or term.
func (r *reader) byInstrument(n *yaml.Node) map[string]map[string]float64 {
	out := map[string]map[string]float64{}
	if n == nil || n.Kind != yaml.MappingNode {
		return out
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		costs, of := n.Content[i+1], map[string]float64{}
		for k := 0; k+1 < len(costs.Content); k += 2 {
			of[costs.Content[k].Value] = r.cost(costs.Content[k+1])
		}
		out[n.Content[i].Value] = of
	}
	return out
}

// WithCosts is the chart with other costs.
func (c *Chart) WithCosts(costs Costs) *Chart {
	out := *c
	out.costs, out.habits = costs, nil
	for t, times := range costs.Times[c.Instrument] {
		out.costs.Weight[t] *= times
	}
	for i, k := range c.Keys {
		if cost := costs.Habit[c.Instrument][k.ID]; cost > 0 {
			out.habits = append(out.habits, habit{1 << i, cost})
		}
	}
	return &out
}

// own is what a fingering costs by itself.
func (c *Chart) own(f *Fingering) float64 {
	out := c.costs.Weight[Pref] * f.Pref
	for _, h := range c.habits {
		if f.set&h.key != 0 {
			out += c.costs.Weight[Pref] * h.cost
		}
	}
	return out + c.costs.Weight[Silent]*float64(f.silent.len())
}

// Way is what a finger does in a change.
type Way uint8

// The ways.
const (
	Off   Way = iota // it is up before and after
	Stay             // it is down before and after, on the same keys
	Press            // it goes down
	Lift             // it comes up
	Slide            // it goes from key to key
	Rolls            // it adds or drops a key without leaving the other
)

// moves is what each finger does.
type moves [fingers]Way

// change is what every finger does from one fingering to another, how often each
// term counts, and what that costs without what the second costs by itself.
func (c *Chart) change(a, b *Fingering) (m moves, count [terms]float64, cost float64) {
	for f := range m {
		was, is := a.set&c.masks[f], b.set&c.masks[f]
		switch {
		case was == is && was == 0:
			m[f] = Off
		case was == is:
			m[f] = Stay
		case was == 0:
			m[f] = Press
		case is == 0:
			m[f] = Lift
		default:
			var term Term
			m[f], term = c.along(Finger(f), was, is)
			count[term]++
		}
	}
	var hands [2]bool
	var way [2]bool // something lifts, something presses
	moved := 0
	for hand := range hands {
		first := hand * int(RT)
		var lifts, presses int
		for f := first; f < first+int(RT); f++ {
			switch m[f] {
			case Press:
				presses++
			case Lift:
				lifts++
			case Slide, Rolls:
			default:
				continue
			}
			hands[hand] = true
			moved++
		}
		for i, n := range [2]int{lifts, presses} {
			if n > 0 {
				count[Group]++
				count[More] += float64(n - 1)
				way[i] = true
			}
		}
		for f := first + int(L1); f < first+int(L4); f++ {
			if opposite(m[f], m[f+1]) {
				count[Flip]++
			}
		}
		ring, little := m[first+int(L3)], m[first+int(L4)]
		if opposite(ring, little) || little == Stay && upDown(ring) {
			count[Weak]++
		}
	}
	if way[0] && way[1] {
		count[Contrary] = 1
	}
	if hands[0] && hands[1] {
		count[Hands] = 1
	}
	if a.set&c.registers != b.set&c.registers {
		others := moved
		for f := range m {
			if (a.set^b.set)&c.registers&c.masks[f] != 0 {
				others--
			}
		}
		if others >= 4 {
			count[Break] = 1
		}
	}
	for t, n := range count {
		cost += n * c.costs.Weight[t]
	}
	return m, count, cost
}

func upDown(w Way) bool { return w == Press || w == Lift }

func opposite(a, b Way) bool { return a == Press && b == Lift || a == Lift && b == Press }

// along is what a finger does that is down before and after, on other keys, and the
// term of it.
func (c *Chart) along(f Finger, was, is keySet) (Way, Term) {
	for _, u := range c.rules {
		for _, p := range u.pairs {
			if both := keySet(1)<<c.index[p[0]] | 1<<c.index[p[1]]; was|is == both {
				return Rolls, Roll
			}
		}
	}
	changed := was ^ is
	for i, k := range c.Keys {
		if changed&(1<<i) != 0 && k.With != "" && k.Register == 0 {
			return Slide, SlideBis
		}
	}
	was, is = c.whole(was), c.whole(is)
	if was&is == was || was&is == is || c.paired(was|is) {
		return Rolls, Roll
	}
	switch f {
	case LT, RT:
		return Slide, SlideThumb
	case L3, R3:
		return Slide, SlideRing
	case L4, R4:
		return Slide, SlideLittle
	}
	return Slide, SlideOther
}

// whole has the whole hole in place of one that is half open.
func (c *Chart) whole(keys keySet) keySet {
	for i, half := range c.Keys {
		if keys&(1<<i) == 0 || half.Register == 0 || len(half.Closes) == 0 {
			continue
		}
		for k, full := range c.Keys {
			if full.Finger == half.Finger && full.Register == 0 && slices.Equal(full.Closes, half.Closes) {
				keys = keys&^(1<<i) | 1<<k
			}
		}
	}
	return keys
}

// paired reports whether these are two keys that one finger holds together.
func (c *Chart) paired(keys keySet) bool {
	for i, k := range c.Keys {
		if with, ok := c.index[k.With]; ok && keys == 1<<i|1<<with {
			return true
		}
	}
	return false
}
