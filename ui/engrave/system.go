package engrave

import (
	"footing/ladder/passage"
)

// system draws a line, its staff's middle line at 0 until [layout.stack] puts it
// in its place.
func (l *layout) system(n line) {
	sys := len(l.d.Systems)
	l.first = len(l.d.Shapes)
	s := System{First: l.first, Right: n.width, From: n.units[0].from, To: n.units[len(n.units)-1].to}
	last := n.prefix[len(n.prefix)-1]
	s.Music = last.x + last.right + 0.3
	for i := -2; i <= 2; i++ {
		l.put(Shape{Kind: Bar, Role: StaffLine, X: 0, Y: float64(i), X2: n.width, Y2: float64(i), Thick: staffThick}, -1, -1)
	}
	var evs []*event
	var bars []barSpan
	left := s.Music
	for _, c := range n.cols {
		for _, shape := range c.shapes {
			shape.X, shape.X2 = shape.X+c.x, shape.X2+c.x
			l.put(shape, -1, -1)
		}
		if c.ev != nil {
			c.ev.x, c.ev.system = c.x, sys
			evs = append(evs, c.ev)
		}
		if (c.kind == barColumn || c.kind == endColumn) && c.bar >= 0 {
			l.centre(evs, c.bar, left, c.x)
			bars = append(bars, barSpan{c.bar, left, c.x + c.right/2})
			left = c.x + c.right
		}
	}
	if l.o.Numbers {
		b := l.line.Part.Bars[n.units[0].bar]
		if b.Number != "" && s.From == b.Start {
			l.put(Shape{Kind: Text, Role: Number, Text: b.Number, X: 0, Y: -5.2, Size: 1}, -1, -1)
		}
	}
	l.drawEvents(evs, sys, s.Music-0.3, n.width)
	l.drawEndings(bars)
	l.drawDirections(evs, n)
	l.drawFingers(sys)
	l.drawPencil(sys)
	s.End = len(l.d.Shapes)
	l.d.Systems = append(l.d.Systems, s)
}

// centre puts a rest that fills its bar in the bar's middle.
func (l *layout) centre(evs []*event, bar int, left, right float64) {
	alone := 0
	for _, e := range evs {
		if e.bar == bar && e.grace == passage.NoGrace {
			alone++
		}
	}
	for _, e := range evs {
		if e.bar == bar && e.whole && alone == 1 {
			e.x = (left+right)/2 - e.width()/2
		}
	}
}

// drawEvents draws the notes of a system, from the heads outwards.
func (l *layout) drawEvents(evs []*event, sys int, left, right float64) {
	if len(evs) == 0 {
		return
	}
	base := l.drawn
	l.drawn += len(evs)
	drawn := map[*group]bool{}
	for i, e := range evs {
		if e.group != nil && !drawn[e.group] {
			drawn[e.group] = true
			e.group.slant()
		} else if e.group == nil && e.stemmed() {
			e.tip = e.freeTip()
		}
		var before, after *event
		if i > 0 {
			before = evs[i-1]
		}
		if i+1 < len(evs) {
			after = evs[i+1]
		}
		l.drawEvent(e, before, after)
		if e.group != nil && e.group.evs[len(e.group.evs)-1] == e {
			for _, s := range e.group.shapes() {
				l.put(s, s.Note, s.Last)
			}
		}
	}
	for i := range evs {
		l.drawTies(base + i)
	}
	for _, e := range evs {
		l.drawArticulations(e)
	}
	for _, s := range l.slurList {
		if from, to := s.from, s.to; (from < 0 || l.evs[from].system == sys || from < base) && (to < 0 || to >= base) && from < base+len(evs) {
			l.drawSlur(s, sys, left, right)
		}
	}
	for _, t := range l.tups {
		l.drawTuplet(t, sys)
	}
	for i := range evs {
		l.drawAbove(base + i)
	}
}

// drawEvent draws one event's own ink.
func (l *layout) drawEvent(e, before, after *event) {
	sys, on := e.system, l.line.Part.Bars[e.bar].Start.Add(e.at)
	first := e.first()
	sign := func(r Role, g Glyph, x, y float64, note int) Box {
		s := Shape{Kind: Sign, Role: r, Glyph: g, X: x, Y: y, Size: e.size}
		l.put(s, note, note)
		e.reach(s.Ink())
		return s.Ink()
	}
	if e.rest {
		e.top, e.bottom = -1, 1
		g := rest(e.value)
		ink := sign(Rest, g, e.x, e.restY(), first)
		for i := range e.dots {
			sign(Dot, augDot, e.x+e.dotX(i), -0.5, first)
		}
		l.d.Notes = append(l.d.Notes, Place{first, sys, e.bar, on, ink})
		return
	}
	e.top, e.bottom = yOf(e.pos[len(e.pos)-1])-0.5, yOf(e.pos[0])+0.5
	if len(e.pos) > 0 {
		out := e.ledgerReach(before, after)
		for _, p := range e.ledgers() {
			y := yOf(p)
			x1, x2 := e.x, e.x+e.width()
			for _, h := range e.heads {
				if h.dx != 0 && (p > 0) == (h.pos > 0) && (h.pos >= p && p > 0 || h.pos <= p && p < 0) {
					x1, x2 = min(x1, e.x+h.dx), max(x2, e.x+h.dx+e.width())
				}
			}
			note := e.heads[0].note
			if p > 0 {
				note = e.heads[len(e.heads)-1].note
			}
			l.put(Shape{Kind: Bar, Role: Ledger, X: x1 - out, Y: y, X2: x2 + out, Y2: y, Thick: ledgerThick * e.size}, note, note)
		}
	}
	if e.stemmed() {
		x := e.stemX()
		from := yOf(e.far()) - stemRise*e.size
		if !e.up {
			from = yOf(e.far()) + stemRise*e.size
		}
		if e.cross {
			from = yOf(e.far())
		}
		l.put(Shape{Kind: Bar, Role: Stem, X: x, Y: from, X2: x, Y2: e.tip, Thick: stemThick}, first, first)
		e.reach(Box{Y0: min(from, e.tip), Y1: max(from, e.tip)})
		if e.group == nil && e.flags() > 0 {
			sign(Flag, flag(e.flags(), e.up), x-stemThick/2, e.tip, first)
		}
		if e.grace == passage.SlashedGrace && (e.group == nil || e.group.evs[0] == e) {
			y := e.tip + 1.0*e.size
			l.put(Shape{Kind: Slant, Role: Stem, X: x - 0.55, Y: y + 0.75, X2: x + 0.75, Y2: y - 0.35, Thick: 0.16}, first, first)
		}
	}
	for _, h := range e.heads {
		ink := sign(Head, e.head(), e.x+h.dx, yOf(h.pos), h.note)
		l.d.Notes = append(l.d.Notes, Place{h.note, sys, e.bar, on, ink})
	}
	for k, y := range e.dotYs() {
		for i := range e.dots {
			sign(Dot, augDot, e.x+e.dotX(i), y, e.heads[len(e.heads)-1-k].note)
		}
	}
	for _, a := range e.acc {
		x, y := e.x+a.dx, yOf(a.pos)
		if !a.bracket {
			sign(Accidental, a.glyph, x, y, a.note)
			continue
		}
		sign(Accidental, bracketL, x+(a.ink().X0)*e.size, y, a.note)
		sign(Accidental, a.glyph, x, y, a.note)
		sign(Accidental, bracketR, x+(inks[a.glyph].X1+0.1)*e.size, y, a.note)
	}
}

// drawDirections draws words and dynamics of a line at the events they stand at.
func (l *layout) drawDirections(evs []*event, n line) {
	for _, d := range l.line.Part.Directions {
		if d.Bar < n.units[0].bar || d.Bar > n.units[len(n.units)-1].bar || d.Staff > 1 && d.Staff != l.line.Staff {
			continue
		}
		at := l.line.Part.Bars[d.Bar].Start.Add(d.At)
		if at.Less(n.units[0].from) || !at.Less(n.units[len(n.units)-1].to) {
			continue
		}
		for _, e := range evs {
			if on := l.line.Part.Bars[e.bar].Start.Add(e.at); e.grace == passage.NoGrace && !on.Less(at) {
				l.drawDirection(d, e)
				break
			}
		}
	}
	l.drawHairpins(evs, n)
	l.drawOctaves(evs)
}

// drawHairpins draws the parts of crescendos and diminuendos that lie on a line,
// below the staff.
func (l *layout) drawHairpins(evs []*event, n line) {
	from, to := n.units[0].from, n.units[len(n.units)-1].to
	place := func(at passage.Quarters, end bool) float64 {
		for _, e := range evs {
			if on := l.line.Part.Bars[e.bar].Start.Add(e.at); e.grace == passage.NoGrace && !on.Less(at) {
				if end {
					return e.x - 0.4
				}
				return e.x
			}
		}
		return n.cols[len(n.cols)-1].x - 0.4
	}
	var open *passage.Direction
	for i := range l.line.Part.Directions {
		d := &l.line.Part.Directions[i]
		if d.Kind != passage.Wedge || d.Staff > 1 && d.Staff != l.line.Staff {
			continue
		}
		if d.Text != "stop" {
			open = d
			continue
		}
		if open == nil {
			continue
		}
		begins := l.line.Part.Bars[open.Bar].Start.Add(open.At)
		ends := l.line.Part.Bars[d.Bar].Start.Add(d.At)
		grows := open.Text == "crescendo"
		open = nil
		if !begins.Less(to) || !from.Less(ends) || !begins.Less(ends) {
			continue
		}
		x1, x2 := place(begins, false), place(ends, true)
		y := 2.0
		for _, e := range evs {
			if e.x < x2 && e.x+e.width() > x1 {
				y = max(y, e.bottom)
			}
		}
		y += 1.4
		a, b := 0.05, 0.55 // half the opening at either end
		if !grows {
			a, b = b, a
		}
		for _, side := range [...]float64{-1, 1} {
			l.put(Shape{Kind: Slant, Role: Words, X: x1, Y: y + side*a, X2: max(x2, x1+1), Y2: y + side*b, Thick: fineThick}, -1, -1)
		}
		for _, e := range evs {
			if e.x < x2 && e.x+e.width() > x1 {
				e.reach(Box{Y0: e.top, Y1: y + 0.7})
			}
		}
	}
}

// drawOctaves draws the octave signs over, or under, the notes they are for.
func (l *layout) drawOctaves(evs []*event) {
	for _, s := range l.shifts {
		var under []*event
		for _, e := range evs {
			if on := l.line.Part.Bars[e.bar].Start.Add(e.at); !on.Less(s.from) && (s.open || on.Less(s.to)) {
				under = append(under, e)
			}
		}
		if len(under) == 0 {
			continue
		}
		edge, sign := 2.0, 1.0
		if s.octaves > 0 {
			sign = -1
		}
		for _, e := range under {
			far := e.bottom
			if sign < 0 {
				far = -e.top
			}
			edge = max(edge, far)
		}
		first, last := under[0], under[len(under)-1]
		g := Glyph(0xE510) // 8
		switch max(s.octaves, -s.octaves) {
		case 2:
			g = 0xE514 // 15
		case 3:
			g = 0xE517 // 22
		}
		y := sign * (edge + 1.2)
		x := first.x
		base := y + inks[g].Y1 - (inks[g].Y0+inks[g].Y1)/2
		l.put(Shape{Kind: Sign, Role: Words, Glyph: g, X: x, Y: base, Size: 1}, -1, -1)
		x1, x2 := x+inks[g].X1+0.4, last.x+last.width()+0.3
		line := func(ax, ay, bx, by float64) {
			l.put(Shape{Kind: Bar, Role: Words, X: ax, Y: ay, X2: bx, Y2: by, Thick: fineThick}, -1, -1)
		}
		for ax := x1; ax < x2; ax += 1.4 {
			line(ax, y, min(ax+0.8, x2), y)
		}
		line(x2, y, x2, y-sign*0.8)
		for _, e := range under {
			e.reach(Box{Y0: min(e.top, y-1), Y1: max(e.bottom, y+1)})
		}
	}
}

// stack puts the systems under each other.
func (l *layout) stack() {
	const room = 1.5 // between the ink of two systems
	y := 0.0
	for i := range l.d.Systems {
		s := &l.d.Systems[i]
		s.Ink = Box{0, -2.5, s.Right, 2.5}
		for _, shape := range l.d.Shapes[s.First:s.End] {
			s.Ink = s.Ink.union(shape.Ink())
		}
		if i == 0 {
			y = -s.Ink.Y0 + 0.25
		} else {
			before := l.d.Systems[i-1]
			y = max(before.Middle+9, before.Ink.Y1+room+l.o.Between-s.Ink.Y0)
		}
		s.Middle = y
		for k := s.First; k < s.End; k++ {
			l.d.Shapes[k].Y += y
			l.d.Shapes[k].Y2 += y
		}
		s.Ink = s.Ink.at(0, y)
		l.d.Width = max(l.d.Width, s.Ink.X1)
		l.d.Height = s.Ink.Y1 + 0.25 + l.o.Between
	}
	for k := range l.d.Notes {
		p := &l.d.Notes[k]
		p.Head = p.Head.at(0, l.d.Systems[p.System].Middle)
	}
}
