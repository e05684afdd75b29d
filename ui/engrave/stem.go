package engrave

import "footing/ladder/passage"

// freeTip is where the stem of an event without a beam ends: an octave from its
// head, longer for many flags, to the middle line from far outside.
func (e *event) freeTip() float64 {
	length := (3.5 + 0.75*float64(max(0, e.flags()-2))) * e.size
	near := yOf(e.near())
	if e.up {
		tip := near - length
		if e.size == 1 {
			tip = min(tip, 0)
		}
		return tip
	}
	tip := near + length
	if e.size == 1 {
		tip = max(tip, 0)
	}
	return tip
}

func (e *event) restY() float64 {
	if e.value == passage.Whole {
		return -1
	}
	return 0
}

// dotX is where a dot's left edge stands, from the event's x.
func (e *event) dotX(i int) float64 {
	right := e.width()
	for _, h := range e.heads {
		right = max(right, h.dx+e.width())
	}
	return right + (0.25+0.55*float64(i))*e.size
}

// dotYs are the heights of the dots: in the head's space, the one above for a
// head on a line.
func (e *event) dotYs() []float64 {
	taken := map[int]bool{}
	var out []float64
	for i := len(e.pos) - 1; i >= 0; i-- {
		pos := e.pos[i]
		if pos%2 == 0 {
			pos++
		}
		for taken[pos] {
			pos -= 2
		}
		taken[pos] = true
		out = append(out, yOf(pos))
	}
	return out
}

// ledgers are the positions of an event's ledger lines.
func (e *event) ledgers() []int {
	if e.rest {
		return nil
	}
	var out []int
	for p := 6; p <= e.pos[len(e.pos)-1]; p += 2 {
		out = append(out, p)
	}
	for p := -6; p >= e.pos[0]; p -= 2 {
		out = append(out, p)
	}
	return out
}

// ledgerReach is how far an event's ledger lines reach beyond its head: less
// where those of a neighbour, or a sign, would come too close.
func (e *event) ledgerReach(neighbours ...*event) float64 {
	out := ledgerOut * e.size
	for _, a := range e.acc {
		if a.pos >= 5 || a.pos <= -5 {
			out = min(out, 0.22)
		}
	}
	for _, n := range neighbours {
		if n == nil || n.rest || (e.pos[len(e.pos)-1] < 6 || n.pos[len(n.pos)-1] < 6) && (e.pos[0] > -6 || n.pos[0] > -6) {
			continue
		}
		gap := n.x - e.x - e.width()
		if n.x < e.x {
			gap = e.x - n.x - n.width()
		}
		out = min(out, max(0.1, (gap-0.3)/2))
	}
	return out
}
