package engrave

import "footing/ladder/passage"

// Lane are the places that the Stand's strokes give to notes.
type Lane struct {
	Width float64 // of the staff
	// At is the middle of the stroke of an onset, from the start of the piece: of
	// every onset in the excerpt, and of the places of its bar lines. It rises.
	At func(passage.Quarters) float64
	// Breath is where a comma stands, the middle of the breath's first beat; 0 for
	// none.
	Breath float64
	Pencil []PencilMark
}

// Bound draws an excerpt on one staff, every note's head over its stroke. Clef, key
// and meter stand at the left; the meter is left out where the first note leaves no
// room. [Drawing.Crowded] says that signs touch or that there is no room for the key
// either: a view then draws fewer notes, or smaller ones.
func Bound(e Excerpt, lane Lane) (*Drawing, error) {
	l, err := newLayout(e, Options{Pencil: lane.Pencil})
	if err != nil {
		return nil, err
	}
	units := l.units()
	out := line{units: units, width: lane.Width}
	var music []*column
	for i, u := range units {
		if i == 0 {
			music = append(music, u.cols[u.skip():]...)
		} else {
			music = append(music, u.cols...)
		}
	}
	l.bind(music, lane)
	out.prefix = l.fitting(units[0], music)
	out.cols = append(append(out.cols, out.prefix...), music...)
	l.system(out)
	if lane.Breath > 0 {
		ink := inks[breath]
		s := &l.d.Systems[0]
		l.d.Shapes = append(l.d.Shapes, Shape{Kind: Sign, Role: Mark, Note: -1, Last: -1, Glyph: breath, X: lane.Breath - (ink.X0+ink.X1)/2, Y: -1.85, Size: 1})
		s.End++
	}
	l.stack()
	return l.d, nil
}

// bind puts columns at their places: notes over their strokes, all else in the
// white before what follows.
func (l *layout) bind(cols []*column, lane Lane) {
	start := func(c *column) passage.Quarters { return l.line.Part.Bars[c.bar].Start.Add(c.at) }
	for _, c := range cols {
		if c.kind == noteColumn {
			c.x = lane.At(start(c)) - c.ev.width()/2
		}
	}
	for i := len(cols) - 1; i >= 0; i-- {
		c := cols[i]
		if c.kind == noteColumn {
			continue
		}
		var before, after *column
		if i > 0 {
			before = cols[i-1]
		}
		if i+1 < len(cols) {
			after = cols[i+1]
		}
		switch {
		case c.kind == endColumn && before != nil:
			c.x = before.x + before.right
		case after == nil:
			c.x = lane.At(start(c)) - 1.2 // the last bar line stands before the beat that follows
			if before != nil {
				c.x = max(c.x, before.x+before.right+inkGap)
			}
		case c.kind == barColumn && before != nil && before.kind == noteColumn && after.kind == noteColumn:
			c.x = (before.x+before.right+after.x-after.left)/2 - c.right/2
			c.x = max(c.x, after.x-after.left-barNote-c.right)
		default:
			c.x = after.x - min(rod(c, after), c.right+after.left+0.6)
		}
	}
	for i := 1; i < len(cols); i++ {
		a, b := cols[i-1], cols[i]
		least := a.right + 0.1 + b.left
		if a.kind == noteColumn && b.kind == noteColumn {
			if len(b.ev.acc) > 0 && b.x-a.x < rod(a, b) {
				b.ev.squeeze()
				b.box, b.left = l.inkBoxes(b.ev), b.left-squeezed
			}
			least = rod(a, b) - inkGap + 0.1
		}
		if b.kind != endColumn && b.x-a.x < least-1e-9 {
			l.d.Crowded = true
		}
	}
}

// squeezed is how much closer to their head signs stand where it is narrow.
const squeezed = 0.13

func (e *event) squeeze() {
	for i := range e.acc {
		e.acc[i].dx += squeezed
	}
}

// fitting is as much of clef, key and meter as there is room for before the music.
func (l *layout) fitting(u unit, music []*column) []*column {
	all := l.prefix(u, true)
	for n := len(all); ; n-- {
		x := clefLeft
		for i, c := range all[:n] {
			if i > 0 {
				x += rod(all[i-1], c)
			}
			c.x = x
		}
		if end := all[n-1].x + all[n-1].right; n == 1 || end+0.4 <= music[0].x-music[0].left {
			keyLeft := n == 1 && len(all) > 1 && all[1].shapes[0].Role == KeySign
			l.d.Crowded = l.d.Crowded || keyLeft || end > music[0].x-music[0].left
			return all[:n]
		}
	}
}
