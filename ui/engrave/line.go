package engrave

// line is units on one system, with what stands before them.
type line struct {
	units  []unit
	prefix []*column
	cols   []*column // all of them, prefix included
	links  []link
	k      float64
	width  float64
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
