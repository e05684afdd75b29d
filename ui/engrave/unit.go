package engrave

import "footing/ladder/passage"

// unit is what a line is not broken in: a bar, or a beat of one that is wider than
// a line.
type unit struct {
	bar  int
	cols []*column
	// fixed is the columns with their bar line or end; links are between them.
	links          []link
	least, natural float64 // sums over links
	spring         float64
	from, to       passage.Quarters // from the start of the piece
}

// units are the excerpt's bars as columns.
func (l *layout) units() []unit {
	var out []unit
	next := 0
	for bar := l.bars[0]; bar <= l.bars[1]; bar++ {
		b := l.line.Part.Bars[bar]
		u := unit{bar: bar, from: b.Start, to: b.Start.Add(b.Length)}
		if u.from.Less(l.from) {
			u.from = l.from
		}
		ends := !l.to.Less(u.to)
		if !ends {
			u.to = l.to
		}
		u.cols = l.changes(bar)
		first := next
		var before passage.Quarters // where the event before begins
		for next < len(l.evs) && l.evs[next].bar == bar {
			e := l.evs[next]
			if !e.whole {
				u.cols = append(u.cols, l.inner(e, before)...)
			}
			before = e.at
			u.cols = append(u.cols, l.noteCol(e))
			next++
		}
		l.springs(u.cols, u.from.Sub(b.Start), u.to.Sub(b.Start))
		u.cols = append(u.cols, l.clefAhead(bar)...)
		if ends {
			u.cols = append(u.cols, l.barCol(bar, first == next))
		} else {
			u.cols = append(u.cols, &column{kind: endColumn, bar: bar, at: b.Length})
		}
		out = append(out, u.measured())
	}
	return out
}

// measured fills in the sums.
func (u unit) measured() unit {
	u.links, u.least, u.natural, u.spring = nil, 0, 0, 0
	for i := 1; i < len(u.cols); i++ {
		k := linkOf(u.cols[i-1], u.cols[i])
		u.links = append(u.links, k)
		u.least += k.rod
		u.natural += k.at(1)
		u.spring += k.spring
	}
	return u
}

// joint is what a unit adds to the one before it on a line, besides their own
// sums.
type joint struct{ rod, natural, spring float64 }

func (u unit) joint(next unit) joint {
	last := u.cols[len(u.cols)-1]
	if last.kind != endColumn || len(u.cols) < 2 {
		k := linkOf(last, next.cols[0])
		return joint{k.rod, k.at(1), k.spring}
	}
	// A bar that was parted goes on: there is no end between.
	before := u.cols[len(u.cols)-2]
	k, end := linkOf(before, next.cols[0]), linkOf(before, last)
	return joint{k.rod - end.rod, k.at(1) - end.at(1), k.spring - end.spring}
}

// lead is the first column of a unit at the start of a line.
func (u unit) lead() *column { return u.cols[u.skip()] }

// skip is how many columns of a unit are left out at the start of a line, where
// the prefix has them.
func (u unit) skip() int {
	i := 0
	for i < len(u.cols)-1 && u.cols[i].kind == signColumn && u.cols[i].at.Sign() == 0 {
		i++
	}
	return i
}

// springs gives every note column the natural distance to what follows.
func (l *layout) springs(cols []*column, from, end passage.Quarters) {
	fresh := true
	for i, c := range cols {
		if c.kind != noteColumn {
			continue
		}
		if fresh && from.Less(c.at) && c.at.Sub(from).Sign() > 0 {
			c.fill = l.natural(c.at.Sub(from))
		}
		fresh = false
		to := end
		for _, n := range cols[i+1:] {
			if n.kind == noteColumn {
				to = n.at
				break
			}
		}
		c.spring = l.natural(to.Sub(c.at))
		if c.ev.whole {
			c.spring = min(c.spring, 2*emptyBar)
		}
	}
}
