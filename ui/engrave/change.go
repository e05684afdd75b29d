package engrave

import "footing/ladder/passage"

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

// announced are the changes of key and meter that a unit begins with, for the end
// of the line before: nobody meets them unprepared.
func (l *layout) announced(u unit) []*column {
	if u.from != l.line.Part.Bars[u.bar].Start {
		return nil
	}
	return l.changes(u.bar)
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
