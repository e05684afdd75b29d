package engrave

import (
	"footing/ladder/passage"
)

// memory is which alterations a reader has in mind: a sign holds for its bar, in
// its octave. An excerpt begins with the key's alone.
type memory struct {
	key    passage.Key
	now    map[int]passage.Alter            // by steps
	before map[passage.Letter]passage.Alter // the bar before: letters that ended it off the key
	told   map[int]bool                     // steps that have been reminded of in this bar
}

func (m *memory) of(p passage.Pitch) passage.Alter {
	if a, ok := m.now[p.Steps()]; ok {
		return a
	}
	return m.key.Of(p.Letter)
}

// bar begins a new bar.
func (m *memory) bar() {
	m.before = map[passage.Letter]passage.Alter{}
	for steps, a := range m.now {
		if l := passage.Letter(steps % 7); a != m.key.Of(l) {
			m.before[l] = a
		}
	}
	m.now, m.told = map[int]passage.Alter{}, map[int]bool{}
}

// reminds reports whether a note that is as the key says needs its sign all the
// same: its letter was altered in the bar before, or is in another octave of this
// one (common practice, no source).
func (m *memory) reminds(p passage.Pitch) bool {
	if m.told[p.Steps()] {
		return false
	}
	if _, ok := m.now[p.Steps()]; ok {
		return false
	}
	if a, ok := m.before[p.Letter]; ok && a != p.Alter {
		return true
	}
	for steps, a := range m.now {
		if passage.Letter(steps%7) == p.Letter && steps != p.Steps() && a != p.Alter {
			return true
		}
	}
	return false
}

// accidentals gives every note the sign it needs.
func (l *layout) accidentals() {
	m := &memory{now: map[int]passage.Alter{}}
	bar := -1
	tied := map[int]bool{} // cents of a note that is tied on from the event before
	for _, e := range l.evs {
		if e.bar != bar {
			m.bar()
			bar = e.bar
		}
		if key := l.keyAt(e.bar, e.at); !sameKey(key, m.key) {
			*m = memory{key: key, now: map[int]passage.Alter{}, told: map[int]bool{}}
		}
		next := map[int]bool{}
		for _, h := range e.heads {
			n := l.line.Notes[h.note]
			if n.Kind != passage.Pitched {
				continue
			}
			p := n.Pitch
			if n.TieTo {
				next[p.Cents()] = true
			}
			glyph, printed := signs[n.Accidental]
			held := n.TieFrom && tied[p.Cents()]
			differs := p.Alter != m.of(p)
			switch {
			case printed:
			case held:
				continue
			case differs, m.reminds(p):
				glyph = signOf(p.Alter)
			default:
				continue
			}
			e.acc = append(e.acc, accidental{glyph: glyph, note: h.note, pos: h.pos, bracket: n.Bracketed})
			if differs || printed {
				m.now[p.Steps()] = shown(glyph, p.Alter)
			}
			m.told[p.Steps()] = true
		}
		if e.grace == passage.NoGrace {
			tied = next
		}
		e.arrange()
	}
}

// shown is the alteration that a reader takes from a sign; a sign of no common
// meaning stands for what it is meant as.
func shown(g Glyph, meant passage.Alter) passage.Alter {
	for a := passage.DoubleFlat; a <= passage.DoubleSharp; a += 50 {
		if signOf(a) == g {
			return a
		}
	}
	return meant
}

// arrange puts the signs of an event side by side where they would touch: the
// highest next to its head, then the lowest, and so on inwards.
func (e *event) arrange() {
	left := 0.0
	for _, h := range e.heads {
		left = min(left, h.dx)
	}
	order := make([]int, 0, len(e.acc))
	for low, high := 0, len(e.acc)-1; low <= high; low, high = low+1, high-1 {
		order = append(order, high)
		if low < high {
			order = append(order, low)
		}
	}
	var placed []Box
	for _, i := range order {
		a := &e.acc[i]
		ink := a.ink().scaled(e.size)
		y := yOf(a.pos)
		x := left - 0.25*e.size - ink.X1
		for moved := true; moved; {
			moved = false
			for _, b := range placed {
				at := ink.at(x, y)
				if at.Y0 < b.Y1-0.1 && b.Y0 < at.Y1-0.1 && at.X1 > b.X0-0.2+1e-9 && at.X0 < b.X1 {
					x = b.X0 - 0.2 - ink.X1
					moved = true
				}
			}
		}
		a.dx = x
		placed = append(placed, ink.at(x, y))
	}
}

// ink is the box of the sign with its brackets, its origin at 0, 0.
func (a accidental) ink() Box {
	b := inks[a.glyph].Box
	if a.bracket {
		l, r := inks[bracketL], inks[bracketR]
		b = Box{b.X0 - l.X1 - 0.1, min(b.Y0, l.Y0), b.X1 + r.X1 + 0.1, max(b.Y1, r.Y1)}
	}
	return b
}

func sameKey(a, b passage.Key) bool {
	for l := passage.C; l <= passage.B; l++ {
		if a.Of(l) != b.Of(l) {
			return false
		}
	}
	return true
}
