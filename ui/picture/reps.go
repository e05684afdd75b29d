package picture

import (
	"fmt"
	"math"
	"slices"

	"footing/audio/judge"
)

// Measures of the reps.
const (
	nameRoom   = 84  // for the names of the rows
	headsRoom  = 104 // for the flag, the names of the slots and what is counted on them
	meansRoom  = 74
	legendRoom = 44
	leastCol   = 32 // the narrowest column in which 10 ms can be seen
	leastRow   = 12
	mostRow    = 60
	manyInRow  = 4 // reps in a row, beyond which single notes are no longer drawn
)

// sheet is the reps under each other: a column a slot, a row a rep or a few.
type sheet struct {
	*pen
	m        Model
	r        judge.Report
	cols     box // the columns from the slots' names to the means
	rows     box
	above    float64 // for the staff, between the flag and the names
	means    box
	first    int // the first slot that is drawn
	n        int // how many are
	all      int // slots of a rep
	col      float64
	perMs    float64 // units a millisecond, within a column
	reach    float64 // milliseconds that fit to each side
	rep0     int     // the first rep
	reps     int
	group    int // reps in a row
	row      float64
	from, to int // the slots of the weak change, 0 without one
}

func (g *pen) reps(m Model, b box) {
	s := g.newSheet(m, b)
	s.grounds()
	s.names()
	s.notes()
	s.faults()
	s.statistics()
	s.legend(box{b.x + 18, b.bottom() - legendRoom, b.w - 36, legendRoom - 6})
}

func (g *pen) newSheet(m Model, b box) *sheet {
	s := &sheet{pen: g, m: m, r: m.Report, all: slots(m.Report)}
	s.from, s.to = weakSlots(m.Report)
	s.cols = box{b.x + nameRoom, b.y, b.w - nameRoom - 14, b.h - legendRoom}
	s.n = min(s.all, max(1, int(s.cols.w/leastCol)))
	s.first = 1
	if s.to > 0 && s.n < s.all {
		s.first = min(max(1, s.to-s.n/2), s.all-s.n+1)
	}
	s.col = s.cols.w / float64(s.n)
	if m.Notes != nil {
		s.above = staffRoom
	}
	heads := s.above + headsRoom
	s.rows = box{s.cols.x, s.cols.y + heads, s.cols.w, s.cols.h - heads - meansRoom}
	s.means = box{s.cols.x, s.rows.bottom(), s.cols.w, meansRoom}

	s.rep0, s.reps = repRange(m.Report)
	s.group = 1
	if most := max(1, int(s.rows.h/leastRow)); s.reps > most {
		s.group = (s.reps + most - 1) / most
	}
	count := (s.reps + s.group - 1) / s.group
	s.row = min(mostRow, s.rows.h/float64(max(1, count)))
	s.scale()
	return s
}

// repRange is the first rep and how many there are.
func repRange(r judge.Report) (first, count int) {
	first, last := math.MaxInt, 0
	for _, p := range places(r) {
		first, last = min(first, p.rep), max(last, p.rep)
	}
	if last == 0 {
		return 1, 1
	}
	return first, last - first + 1
}

// scale chooses how many milliseconds fit into a column: nearly all notes, but
// never so many that 10 ms could not be seen, nor so few that an even take
// looks like a rough one.
func (s *sheet) scale() {
	var far []float64
	for _, n := range s.r.Notes {
		if n.Slot > 0 {
			far = append(far, math.Abs(n.DeviationMs))
		}
	}
	slices.Sort(far)
	reach := 20.0
	if n := len(far); n > 0 {
		reach = max(reach, far[(n-1)*98/100])
		if far[n-1] < 1.7*reach {
			reach = max(reach, far[n-1])
		}
	}
	half := s.col*0.44 - min(12, s.col*0.1)
	s.perMs = min(max(half/reach, 0.55), 3.6, half/8)
	s.reach = half / s.perMs
}

// x is the place of a slot's line.
func (s *sheet) x(slot int) float64 {
	return s.cols.x + (float64(slot-s.first)+0.5)*s.col
}

func (s *sheet) shown(slot int) bool { return slot >= s.first && slot < s.first+s.n }

// y is the middle of a rep's row.
func (s *sheet) y(rep int) float64 {
	return s.rows.y + (float64((rep-s.rep0)/s.group)+0.5)*s.row
}

// rowsEnd is the lower edge of the last row.
func (s *sheet) rowsEnd() float64 {
	count := (s.reps + s.group - 1) / s.group
	return s.rows.y + float64(count)*s.row
}

// grounds draws what lies under the notes: the band that the ear calls even,
// the slots' lines, and the column of the weak change.
func (s *sheet) grounds() {
	end := s.rowsEnd()
	for slot := s.first; slot < s.first+s.n; slot++ {
		x := s.x(slot)
		if slot == s.to {
			w := min(s.col-4, max(s.col*0.9, 30))
			b := box{x - w/2, s.cols.y + 36, w, s.means.bottom() - s.cols.y - 40}
			s.rect(b, corner, faint(s.p.Warm, 0.13))
			s.outline(b, corner, 3.5, s.p.Warm)
		}
		if even := min(s.r.JNDMs*s.perMs, s.col/2-1); even > 0 {
			s.rect(box{x - even, s.rows.y, 2 * even, end - s.rows.y}, 3, s.p.Wash)
		}
		s.line(x, s.rows.y-4, x, end+4, 2, s.p.Rung)
		if slot > s.first && s.onBeat(slot) {
			left := x - s.col/2
			s.line(left, s.cols.y+s.above+48, left, s.means.bottom()-8, 1.5, s.p.Hair)
		}
	}
	s.line(s.cols.x-nameRoom+18, s.means.y, s.cols.right(), s.means.y, 1.5, s.p.Hair)
}

// onBeat reports whether a slot's note begins a beat.
func (s *sheet) onBeat(slot int) bool {
	if n := s.m.Notes; n != nil && slot <= len(n.Staff.OnBeat) {
		return n.Staff.OnBeat[slot-1]
	}
	beat := s.r.Grid.SlotsPerBeat
	return beat > 0 && (slot-1)%beat == 0
}

// names writes the slots above, with what is counted on them, and the reps
// beside.
func (s *sheet) names() {
	y, below := s.cols.y+s.above+58, s.cols.y+s.above+84
	if s.above > 0 {
		s.staff(box{s.cols.x - nameRoom + 18, s.cols.y + 40, s.cols.w + nameRoom - 18, s.above})
	}
	left := s.cols.x - nameRoom + 18
	size := min(28, s.col*0.5)
	counting := false
	for slot := s.first; slot < s.first+s.n; slot++ {
		st := style{medium, size, s.p.Ink, 0.5}
		if slot == s.to || slot == s.from {
			st.weight, st.colour = bold, s.p.Warm
		}
		s.text(s.name(slot), s.x(slot), y, st)
		if word := s.counted(slot); word != "" {
			counting = true
			s.text(word, s.x(slot), below, style{regular, min(20, s.col*0.45), s.p.Soft, 0.5})
		}
	}
	s.text(s.named(), left, y, style{regular, 20, s.p.Soft, 0})
	if counting {
		s.text("count", left, below, style{regular, 20, s.p.Soft, 0})
	}
	s.flag(y)
	s.rowNames()
}

// name is what stands above a column: the note where it is known, else the slot's
// number; named says which.
func (s *sheet) name(slot int) string {
	if p, ok := s.pitch(slot); ok {
		return s.noteName(p, s.col-8, bold, min(28, s.col*0.5))
	}
	return fmt.Sprint(slot)
}

func (s *sheet) named() string {
	if s.m.Notes != nil {
		return "note"
	}
	return "slot"
}

// counted is what is counted on a slot, or that it is the landing.
func (s *sheet) counted(slot int) string {
	switch {
	case s.r.Grid.Landing && slot == s.all:
		if s.col >= 76 {
			return "landing"
		}
		return ""
	case slot <= len(s.m.Labels):
		return s.cut(s.m.Labels[slot-1], s.col-4, regular, min(20, s.col*0.45))
	}
	return ""
}

// flag says above the weak column how late it is, with an arrow along the
// change.
func (s *sheet) flag(y float64) {
	if s.to == 0 || !s.shown(s.to) {
		return
	}
	x := s.x(s.to)
	const space = 24.0
	from := x - s.col
	if s.from > s.to || !s.shown(s.from) {
		from = max(s.cols.x-space, x-s.col/2-space) // out of the rep before
	}
	a, b := space, space
	if s.m.Notes != nil {
		a, b = max(a, s.half(s.from)), max(b, s.half(s.to))
	}
	if gap := x - from; gap > a+b+0.6*space {
		s.arrow(from+a, x-b, y, 4, s.p.Warm)
	}
	label := lateWords(s.r.Weak.LateMs)
	w := s.width(label, bold, 20) + 28
	left := min(max(x-w/2, s.cols.x-nameRoom+14), s.cols.right()-w)
	pill := box{left, s.cols.y + 8, w, 30}
	s.rect(pill, 8, s.p.Warm)
	s.polygon(s.p.Warm, x-9, pill.bottom()-1, x+9, pill.bottom()-1, x, pill.bottom()+9)
	s.text(label, left+w/2, pill.y+pill.h/2, style{bold, 20, s.p.On, 0.5})
}

// lateWords is "24 ms late" or "24 ms early".
func lateWords(ms float64) string {
	if ms < 0 {
		return fmt.Sprintf("%.0f ms early", -ms)
	}
	return fmt.Sprintf("%.0f ms late", ms)
}

func (s *sheet) rowNames() {
	size := min(20, max(14, s.row*0.72))
	every := 1
	for float64(every)*s.row < size*1.05 {
		every++
	}
	rows := (s.reps + s.group - 1) / s.group
	for i := 0; i < rows; i += every {
		first := s.rep0 + i*s.group
		last := min(first+s.group, s.rep0+s.reps) - 1
		label := fmt.Sprint(first)
		if last > first {
			label = fmt.Sprintf("%d–%d", first, last)
		}
		if i == 0 && s.group == 1 {
			label = rowWord(s.r) + " " + label
		}
		s.text(label, s.cols.x-12, s.y(first), style{regular, size, s.p.Soft, 1})
	}
}

// notes draws every note at its distance from its slot's line.
func (s *sheet) notes() {
	if s.group > manyInRow {
		s.spreads()
		return
	}
	r := min(10, s.row*0.36, s.col*0.16)
	for _, n := range s.r.Missed {
		if s.shown(n.Slot) {
			s.missed(s.x(n.Slot), s.y(n.Rep), r*0.9)
		}
	}
	for _, n := range s.r.Notes {
		if n.Slot == 0 || !s.shown(n.Slot) {
			continue
		}
		weak := n.Slot == s.to
		x, y, c := s.x(n.Slot), s.y(n.Rep), s.noteColour(weak)
		d := n.DeviationMs * s.perMs
		if limit := s.reach * s.perMs; math.Abs(d) > limit {
			// Beyond the column: a wedge at its edge.
			edge := math.Copysign(limit-r/2, d)
			s.line(x, y, x+edge, y, min(4, r*0.5), c)
			s.polygon(c, x+edge+math.Copysign(1.4*r, d), y, x+edge, y-r, x+edge, y+r)
			continue
		}
		if n.Kind == judge.Doubled {
			s.ring(x+d, y, r*0.7, 2, s.p.Ink)
			continue
		}
		if s.group == 1 {
			s.line(x, y, x+d, y, min(4, r*0.5), c)
		}
		s.head(x+d, y, r, weak, c)
	}
}

// spreads draws rows of many reps: a bar over the middle eight tenths of the
// notes and a head on the median.
func (s *sheet) spreads() {
	type cell struct{ slot, row int }
	found := map[cell][]float64{}
	for _, n := range s.r.Notes {
		if n.Kind == judge.Played && s.shown(n.Slot) {
			c := cell{n.Slot, (n.Rep - s.rep0) / s.group}
			found[c] = append(found[c], n.DeviationMs)
		}
	}
	r := min(8, s.row*0.36, s.col*0.16)
	within := func(ms float64) float64 { return min(max(ms, -s.reach), s.reach) * s.perMs }
	for c, ms := range found {
		slices.Sort(ms)
		at := func(share float64) float64 { return within(ms[int(share*float64(len(ms)-1)+0.5)]) }
		x, y, colour := s.x(c.slot), s.rows.y+(float64(c.row)+0.5)*s.row, s.noteColour(c.slot == s.to)
		s.line(x+at(0.1), y, x+at(0.9), y, max(2, r*0.6), colour)
		s.head(x+at(0.5), y, r, c.slot == s.to, colour)
	}
}

// statistics draws under each column its mean, and the spread from rep to rep.
func (s *sheet) statistics() {
	y := s.means.y + 22
	s.text("mean", s.cols.x-12, y, style{regular, 20, s.p.Soft, 1})
	for _, st := range s.r.Slots {
		if !s.shown(st.Slot) || st.Notes == 0 {
			continue
		}
		weak := st.Slot == s.to
		x, c := s.x(st.Slot), s.noteColour(weak)
		within := func(ms float64) float64 { return x + min(max(ms, -s.reach), s.reach)*s.perMs }
		s.line(x, s.means.y+6, x, s.means.y+38, 2, s.p.Rung)
		s.line(within(st.MeanMs-st.SpreadMs), y, within(st.MeanMs+st.SpreadMs), y, 3, c)
		s.line(within(st.MeanMs), y-12, within(st.MeanMs), y+12, 6, c)
		label := signed(st.MeanMs)
		size := 20.0
		if s.col < 52 {
			size = 16
		}
		look := style{regular, size, s.p.Ink, 0.5}
		if weak {
			look.weight, look.colour = bold, s.p.Warm
		}
		if s.col >= 84 {
			label += " ms"
		}
		if s.width(label, look.weight, size) <= s.col-4 {
			s.text(label, x, s.means.y+54, look)
		}
	}
}

// signed writes milliseconds with their sign; what rounds to nothing has none.
func signed(ms float64) string {
	switch r := math.Round(ms); {
	case r > 0:
		return fmt.Sprintf("+%.0f", r)
	case r < 0:
		return fmt.Sprintf("−%.0f", -r)
	}
	return "0"
}
