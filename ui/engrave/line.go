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

// line is units on one system, with what stands before them.
type line struct {
	units  []unit
	prefix []*column
	cols   []*column // all of them, prefix included
	links  []link
	k      float64
	width  float64
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

// changes are the signs at the start of a bar that is not the first on its line.
func (l *layout) changes(bar int) []*column {
	var none passage.Quarters
	if bar == l.bars[0] {
		return nil
	}
	clef := l.clefAt(bar, none)
	var out []*column
	if c := l.keyColumn(bar, clef); c != nil {
		out = append(out, c)
	}
	for _, m := range l.meters {
		if m.bar == bar && m.at == none {
			if c := signCol(bar, none, meterShapes(m.is)); c != nil {
				out = append(out, c)
			}
		}
	}
	return out
}

// keyColumn is a change of key at a bar's start; nil where there is none.
func (l *layout) keyColumn(bar int, clef passage.Clef) *column {
	var none passage.Quarters
	before := passage.Key{}
	for _, k := range l.keys {
		if k.bar == bar && k.at == none {
			return signCol(bar, none, keyShapes(clef, before, k.is))
		}
		before = k.is
	}
	return nil
}

// clefAhead is a change of clef at the next bar's start, which stands before the
// bar line.
func (l *layout) clefAhead(bar int) []*column {
	if bar == l.bars[1] {
		return nil
	}
	for _, c := range l.clefs {
		if c.bar == bar+1 && c.at.Sign() == 0 && c.is != l.clefAt(bar, l.line.Part.Bars[bar].Length) {
			return []*column{signCol(bar, l.line.Part.Bars[bar].Length, clefShapes(c.is, 0.75))}
		}
	}
	return nil
}

// inner are changes within a bar that stand before an event, behind the place of
// the one before.
func (l *layout) inner(e *event, after passage.Quarters) []*column {
	var out []*column
	begins := after.Less(e.at)
	is := func(bar int, at passage.Quarters) bool {
		return begins && bar == e.bar && after.Less(at) && !e.at.Less(at)
	}
	for _, c := range l.clefs {
		if is(c.bar, c.at) {
			out = append(out, signCol(e.bar, c.at, clefShapes(c.is, 0.75)))
		}
	}
	for i, k := range l.keys {
		if is(k.bar, k.at) {
			var before passage.Key
			if i > 0 {
				before = l.keys[i-1].is
			}
			if c := signCol(e.bar, k.at, keyShapes(l.clefAt(k.bar, k.at), before, k.is)); c != nil {
				out = append(out, c)
			}
		}
	}
	for _, m := range l.meters {
		if is(m.bar, m.at) {
			if c := signCol(e.bar, m.at, meterShapes(m.is)); c != nil {
				out = append(out, c)
			}
		}
	}
	return out
}

func signCol(bar int, at passage.Quarters, shapes []Shape) *column {
	if len(shapes) == 0 {
		return nil
	}
	return &column{kind: signColumn, bar: bar, at: at, shapes: shapes, right: inkOf(shapes).X1}
}

func (l *layout) barCol(bar int, empty bool) *column {
	bars := l.line.Part.Bars
	var next *passage.Barline
	if bar+1 < len(bars) && bar < l.bars[1] {
		next = &bars[bar+1].Left
	}
	c := &column{kind: barColumn, bar: bar, at: bars[bar].Length, shapes: barShapes(bars[bar].Right, next)}
	if len(c.shapes) > 0 {
		c.right = inkOf(c.shapes).X1
	}
	if empty {
		c.fill = l.natural(bars[bar].Length)
	}
	return c
}

// prefix is what stands before the music of a line that begins with a unit: clef,
// key, and the meter where it is new.
func (l *layout) prefix(u unit, first bool) []*column {
	at := u.from.Sub(l.line.Part.Bars[u.bar].Start)
	clef := l.clefAt(u.bar, at)
	out := []*column{signCol(u.bar, at, clefShapes(clef, 1))}
	before := passage.Key{}
	if !first && at.Sign() == 0 {
		for _, k := range l.keys {
			if k.bar == u.bar && k.at.Sign() == 0 {
				break
			}
			before = k.is
		}
		if k := l.keyAt(u.bar, at); sameKey(before, k) {
			before = passage.Key{}
		}
	}
	if c := signCol(u.bar, at, keyShapes(clef, before, l.keyAt(u.bar, at))); c != nil {
		out = append(out, c)
	}
	fresh := first
	for _, m := range l.meters {
		fresh = fresh || m.bar == u.bar && m.at == at
	}
	if fresh {
		if c := signCol(u.bar, at, meterShapes(l.meterAt(u.bar, at))); c != nil {
			out = append(out, c)
		}
	}
	if b := l.line.Part.Bars[u.bar].Left; b.Repeat == passage.Start && at.Sign() == 0 {
		if shapes := barShapes(passage.Barline{Style: "none"}, &b); len(shapes) > 0 {
			out = append(out, &column{kind: barColumn, bar: -1, shapes: shapes, right: inkOf(shapes).X1})
		}
	}
	return out
}

// lines breaks the excerpt into lines.
func (l *layout) lines() []line {
	units := l.units()
	if l.o.Width <= 0 {
		return []line{l.makeLine(units, nil, true, true)}
	}
	units = l.split(units)
	n := len(units)
	// Sums over the units before each, so that a line's cost is a few additions.
	least, natural, spring := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	for i, u := range units {
		least[i+1], natural[i+1], spring[i+1] = least[i]+u.least, natural[i]+u.natural, spring[i]+u.spring
		if i > 0 {
			j := units[i-1].joint(u)
			least[i+1] += j.rod
			natural[i+1] += j.natural
			spring[i+1] += j.spring
		}
	}
	heads := make([]joint, n) // the prefix and from it to the first column, less the joint before
	for i, u := range units {
		x := clefLeft
		p := append(l.prefix(u, i == 0), u.lead())
		for j := 1; j < len(p); j++ {
			x += linkOf(p[j-1], p[j]).rod
		}
		heads[i] = joint{rod: x, natural: x}
		if i > 0 {
			j := units[i-1].joint(u)
			heads[i].rod -= j.rod
			heads[i].natural -= j.natural
		}
	}
	tails := make([]float64, n+1) // from the last column of a line that ends before each unit to the line's end
	for j := 1; j <= n; j++ {
		end := units[j-1].cols[len(units[j-1].cols)-1]
		if j < n {
			for _, c := range l.announced(units[j]) {
				tails[j] += rod(end, c)
				end = c
			}
		}
		tails[j] += end.right
	}
	cost := func(i, j int) float64 {
		tight := least[j] - least[i] + heads[i].rod
		loose := natural[j] - natural[i] + heads[i].natural
		tail := tails[j]
		c := 0.0
		switch ratio := (l.o.Width - tail - loose) / max(1, spring[j]-spring[i]); {
		case tight+tail > l.o.Width+1e-9:
			c = overfull * (tight + tail - l.o.Width)
		case j == n && ratio > 0: // the last line is not filled
			if i > 0 && loose < l.o.Width/2 {
				c = lonely
			}
		default:
			c = badness(ratio)
		}
		if j < n && l.o.KeepFrom.Less(units[j].from) && units[j].from.Less(l.o.KeepTo) {
			c += parted
		}
		return c
	}
	var out []line
	starts := breaks(n, 64, cost)
	for k, i := range starts {
		j := n
		if k+1 < len(starts) {
			j = starts[k+1]
		}
		var next []*column
		if j < n {
			next = l.announced(units[j])
		}
		out = append(out, l.makeLine(units[i:j], next, k == 0, j == n))
	}
	return out
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

// split parts bars that are wider than a line, at beats.
func (l *layout) split(units []unit) []unit {
	var out []unit
	for i, u := range units {
		head := clefLeft
		p := append(l.prefix(u, i == 0), u.lead())
		for j := 1; j < len(p); j++ {
			head += rod(p[j-1], p[j])
		}
		if room := l.o.Width - head; u.least+u.cols[len(u.cols)-1].right > room {
			out = append(out, l.splitUnit(u, room)...)
		} else {
			out = append(out, u)
		}
	}
	return out
}

func (l *layout) splitUnit(u unit, room float64) []unit {
	b := l.line.Part.Bars[u.bar]
	edges := map[passage.Quarters]bool{}
	for _, at := range beats(b.Meter, b.Offset.Add(b.Length)) {
		edges[at.Sub(b.Offset)] = true
	}
	var out []unit
	begin, last, width := 0, -1, 0.0
	cut := func(end int) {
		part := unit{bar: u.bar, from: u.from, to: b.Start.Add(u.cols[end].at)}
		if begin > 0 {
			part.from = b.Start.Add(u.cols[begin].at)
		}
		part.cols = append(append(part.cols, u.cols[begin:end]...), &column{kind: endColumn, bar: u.bar, at: u.cols[end].at})
		out = append(out, part.measured())
		begin, last = end, -1
	}
	for i := 1; i < len(u.cols); i++ {
		width += u.links[i-1].rod
		c, before := u.cols[i], u.cols[i-1]
		if width+noteBar > room && last > begin {
			cut(last)
			width = 0
			for j := begin + 1; j <= i; j++ {
				width += u.links[j-1].rod
			}
		}
		if c.kind != barColumn && c.kind != endColumn && before.kind == noteColumn && before.at.Less(c.at) && edges[c.at] && !l.goesOver(u, c.at) {
			last = i
		}
	}
	rest := unit{bar: u.bar, from: u.from, to: u.to, cols: u.cols[begin:]}
	if begin > 0 {
		rest.from = b.Start.Add(u.cols[begin].at)
	}
	return append(out, rest.measured())
}

// goesOver reports whether a beam or tuplet goes on over a place of a bar.
func (l *layout) goesOver(u unit, at passage.Quarters) bool {
	over := func(evs []*event) bool {
		return evs[0].bar == u.bar && evs[0].at.Less(at) && at.Less(evs[len(evs)-1].at.Add(evs[len(evs)-1].duration))
	}
	for _, c := range u.cols {
		if c.ev == nil {
			continue
		}
		if g := c.ev.group; g != nil && over(g.evs) {
			return true
		}
		if t := l.tupletFrom[c.ev]; t != nil && over(t.evs) {
			return true
		}
	}
	return false
}

// announced are the changes of key and meter that a unit begins with, for the end
// of the line before: nobody meets them unprepared.
func (l *layout) announced(u unit) []*column {
	if u.from != l.line.Part.Bars[u.bar].Start {
		return nil
	}
	return l.changes(u.bar)
}

// makeLine puts units on a line, with what is announced behind them, and finds how far its springs stretch.
func (l *layout) makeLine(units []unit, next []*column, first, last bool) line {
	out := line{units: units, prefix: l.prefix(units[0], first), k: 1}
	out.cols = append(out.cols, out.prefix...)
	for i, u := range units {
		if i == 0 {
			out.cols = append(out.cols, u.cols[u.skip():]...)
			continue
		}
		if last := len(out.cols) - 1; out.cols[last].kind == endColumn {
			out.cols = out.cols[:last]
		}
		out.cols = append(out.cols, u.cols...)
	}
	out.cols = append(out.cols, next...)
	width, natural := clefLeft, clefLeft
	for i := 1; i < len(out.cols); i++ {
		k := linkOf(out.cols[i-1], out.cols[i])
		out.links = append(out.links, k)
		natural += k.at(1)
		width += k.rod
	}
	tail := out.cols[len(out.cols)-1].right
	out.width = natural + tail
	if l.o.Width > 0 && !(last && out.width <= l.o.Width) {
		out.k = stretch(out.links, l.o.Width-clefLeft-tail)
		out.width = l.o.Width
		l.d.Crowded = l.d.Crowded || width+tail > l.o.Width+1e-9
	}
	x := clefLeft
	for i, c := range out.cols {
		if i > 0 {
			x += out.links[i-1].at(out.k)
		}
		c.x = x
	}
	out.width = max(out.width, x+tail)
	return out
}

// pressed reports whether notes that are spaced by time do not come out so.
func (l *layout) pressed(lines []line) bool {
	for _, n := range lines {
		for i, k := range n.links {
			if n.cols[i].kind == noteColumn && n.cols[i+1].kind == noteColumn && k.rod > n.k*k.spring+1e-9 {
				return true
			}
		}
	}
	return false
}
