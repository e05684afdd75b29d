package engrave

import "footing/ladder/passage"

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
