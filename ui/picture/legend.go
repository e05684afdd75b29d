package picture

import (
	"fmt"

	"footing/audio/judge"
)

// legend says what the shapes mean, and how wide 10 ms is drawn.
func (s *sheet) legend(b box) {
	y := b.y + b.h/2
	x := b.x + s.ruleOfTen(b.x, y) + 34
	const size = 18
	look := style{regular, size, s.p.Soft, 0}
	item := func(room float64, mark func(x float64), words string) {
		w := room + s.width(words, regular, size)
		if x+w > b.right() {
			return
		}
		mark(x + room/2 - 4)
		s.text(words, x+room, y, look)
		x += w + 26
	}
	item(26, func(x float64) { s.disc(x, y, 8, s.p.Accent) }, "a note")
	if s.to > 0 {
		item(28, func(x float64) { s.diamond(x, y, 11, s.p.Warm) }, "a note of the weak change")
	}
	for _, words := range s.limits() {
		item(0, func(float64) {}, words)
	}
	if s.r.JNDMs > 0 {
		item(30, func(x float64) { s.rect(box{x - 9, y - 13, 18, 26}, 3, s.p.Wash) }, fmt.Sprintf("even to the ear: ±%.0f ms", s.r.JNDMs))
	}
	if len(s.r.Missed) > 0 && s.group <= manyInRow {
		item(28, func(x float64) { s.missed(x, y, 8) }, "no note heard")
	}
	if s.r.Doubled > 0 && s.group <= manyInRow {
		item(26, func(x float64) { s.ring(x, y, 6, 2, s.p.Ink) }, "a second note on the slot")
	}
	if s.r.Extra > 0 {
		item(26, func(x float64) { s.plus(x, y, 7, s.p.Ink) }, "a note on no slot (above)")
	}
	if s.wrong() > 0 {
		item(28, func(x float64) { s.cross(x, y, 9) }, "a wrong note")
	}
	if s.beyond() {
		item(24, func(x float64) { s.polygon(s.p.Accent, x+7, y, x-4, y-8, x-4, y+8) }, "farther out")
	}
}

// ruleOfTen draws the scale of the columns and returns its width.
func (s *sheet) ruleOfTen(x, y float64) float64 {
	look := style{regular, 18, s.p.Soft, 0}
	start := x
	x += s.text("early", x, y, look) + 8
	s.arrow(x+22, x, y, 2.5, s.p.Soft)
	x += 34
	ten := 10 * s.perMs
	s.line(x, y, x+ten, y, 4, s.p.Ink)
	s.line(x, y-8, x, y+8, 3, s.p.Ink)
	s.line(x+ten, y-8, x+ten, y+8, 3, s.p.Ink)
	x += ten + 9
	x += s.text("10 ms", x, y, style{bold, 18, s.p.Ink, 0}) + 12
	s.arrow(x, x+22, y, 2.5, s.p.Soft)
	x += 30
	return x + s.text("late", x, y, look) - start
}

// beyond reports whether a note lies beyond its column.
func (s *sheet) beyond() bool {
	for _, n := range s.r.Notes {
		if n.Kind != judge.Extra && s.shown(n.Slot) && (n.DeviationMs > s.reach || n.DeviationMs < -s.reach) {
			return s.group <= manyInRow
		}
	}
	return false
}

// limits says what the picture leaves out.
func (s *sheet) limits() []string {
	var out []string
	if s.n < s.all {
		out = append(out, fmt.Sprintf("slots %d to %d of %d", s.first, s.first+s.n-1, s.all))
	}
	switch {
	case s.group > manyInRow:
		out = append(out, fmt.Sprintf("a row: %d %ss, the median and the middle 80 %%", s.group, rowWord(s.r)))
	case s.group > 1:
		out = append(out, fmt.Sprintf("a row: %d %ss", s.group, rowWord(s.r)))
	}
	return out
}
