package draw

import "footing/ui/window/look"

// lightFont is the size of the lit syllable: to be read from 1.2 m.
func lightFont(k float32) float32 { return max(34*k, look.FarSize) }

// under is what the light's foot, with the syllable on it, covers from left to
// right.
func (l *Lane) under(st *Stroke, x, k float32) [2]float32 {
	if st == nil || st.Syllable == "" {
		return [2]float32{-1, -1}
	}
	half := max(l.columnWidth(k), textWidth(st.Syllable, look.Bold, lightFont(k))+10*k) / 2
	return [2]float32{x - half, x + half}
}

// columnWidth is the light's width over the strokes: clear of those beside it,
// where they are not very close.
func (l *Lane) columnWidth(k float32) float32 { return min(max(l.gap*1.3, 14), 30*k) }

// shaftOver is how much of the light's colour lies behind the note that is heard.
const shaftOver = 0x55

// shaft is the light's column behind the notes, from the strokes up. It too is
// drawn always.
func (l *Lane) shaft(s *scene, p *look.Palette, st *Stroke, x float32, kind SectionKind, notes *staff, k float32) {
	if st == nil {
		s.box(box{fill: clear})
		return
	}
	fill := p.Accent
	if kind == SectionCountIn || kind == SectionBreath {
		fill = p.Soft
	}
	fill.A = shaftOver
	w := l.columnWidth(k)
	s.box(box{x: x - w/2, y: notes.top, w: w, h: notes.bottom + 8*k - notes.top, fill: fill, radius: 7 * k})
}

// light marks the heard stroke: a filled column on a foot that is as wide as its
// syllable. Its leaves are drawn last and always, so that moving it changes
// little else.
func (l *Lane) light(s *scene, p *look.Palette, st *Stroke, x float32, kind SectionKind, under [2]float32, notes *staff, k float32) {
	if st == nil {
		for range 3 {
			s.box(box{fill: clear})
		}
		return
	}
	w := l.columnWidth(k)
	fill := p.Accent
	if kind == SectionCountIn || kind == SectionBreath {
		fill = p.Soft
	}
	top := (laneTop - 8) * k
	if notes != nil {
		top = notes.bottom
	}
	end := l.Size().Height - 5*k
	foot, words := box{}, x
	if under[1] > under[0] {
		y := (l.foot + 5) * k
		foot = box{x: under[0], y: y, w: under[1] - under[0], h: end - y, fill: fill, radius: 7 * k}
		words, end = (under[0]+under[1])/2, y+8*k // over the words
	}
	s.box(box{x: x - w/2, y: top, w: w, h: end - top, fill: fill, radius: 7 * k})
	s.box(foot)
	s.box(l.strokeBox(x, st, p.On, k))
	s.text(st.Syllable, words, (l.written+3)*k, mid, look.Bold, lightFont(k), p.On)
}
