package abc

import (
	"fmt"

	"footing/ladder/passage"
)

// openTie ties the note before to the next.
func (r *reader) openTie(at Place) {
	if r.last == nil || r.last.note.Kind == passage.Rest || r.tie != nil {
		r.fail(at, "write it right behind a note, such as A-A", "the tie begins on no note")
		return
	}
	r.tie, r.tied = r.last, at
}

// joinTie ends the tie that is open on a note.
func (r *reader) joinTie(it *item) {
	if r.tie == nil {
		return
	}
	if it.note.Kind == passage.Rest || it.note.Pitch != r.tie.note.Pitch {
		r.fail(r.tied, "write the same note behind it, or a slur in round brackets", "the tie from %s does not reach another", r.tie.note.Pitch)
	}
	r.tie.note.TieTo, it.note.TieFrom = true, true
	r.tie = nil
}

// openSlur begins a slur on the note to come, with the lowest number that is
// free.
func (r *reader) openSlur(at Place) {
	used := map[int]bool{}
	for _, s := range r.slurs {
		used[s.number] = true
	}
	n := 1
	for used[n] {
		n++
	}
	r.slurs = append(r.slurs, &slur{place: at, number: n})
	r.marks = append(r.marks, passage.Mark{Name: passage.MarkSlur, Edge: passage.Start, Number: n})
	if len(r.marks) == 1 {
		r.marked = at
	}
}

// begins says of the slurs that await a note that they begin on it.
func (r *reader) begins(it *item) {
	for _, s := range r.slurs {
		if s.from == nil {
			s.from = it
		}
	}
	if it.note.Grace != passage.NoGrace {
		kept := r.marks[:0:0]
		for _, m := range r.marks {
			if m.Name == passage.MarkSlur {
				it.note.Marks = append(it.note.Marks, m)
			} else {
				kept = append(kept, m)
			}
		}
		r.marks = kept
	}
}

// closeSlur ends, on the note before, the last slur that did not begin on it: so
// slurs may nest, and one may begin where another ends (ABC 2.1, section 4.11).
func (r *reader) closeSlur(at Place) {
	if r.last == nil || len(r.graces) > 0 {
		r.fail(at, "write it right behind a note", "the slur ends on no note")
		return
	}
	for i := len(r.slurs) - 1; i >= 0; i-- {
		s := r.slurs[i]
		if s.from == nil || s.from == r.last {
			continue
		}
		if r.last.note.Kind == passage.Rest {
			r.fail(at, "write it behind a note", "the slur ends on a rest")
		}
		r.last.note.Marks = append(r.last.note.Marks, passage.Mark{Name: passage.MarkSlur, Edge: passage.Stop, Number: s.number})
		r.slurs = append(r.slurs[:i], r.slurs[i+1:]...)
		return
	}
	if len(r.slurs) > 0 {
		r.fail(at, "write it behind the last of two notes or more", "the slur ends on its first note")
		r.slurs = nil
		return
	}
	r.fail(at, "write ( before the first note of the slur", "no slur is open here")
}

// openTuplet reads "(3", "(5:4", "(3:2:4": so many notes in the time of so many,
// for the next so many.
func (r *reader) openTuplet(at Place) {
	r.next()
	p := r.number()
	q, n := 0, 0
	if r.take(':') {
		q = r.number()
		if r.take(':') {
			n = r.number()
		}
	}
	given := q != 0
	if !given {
		q = inTimeOf(p, r.in.Meter)
	}
	if n == 0 {
		n = p
	}
	switch {
	case r.tuplet.left > 0:
		r.fail(at, "write the notes of the first, then the second", "a tuplet begins within another")
	case p < 2 || p > 64 || q < 1 || q > 64 || n > 64:
		r.fail(at, "write one such as (3 or (5:4", "there is no such tuplet")
	default:
		r.tuplet = tuplet{ratio: passage.Ratio{Actual: p, Normal: q}, left: n, first: true, given: given, place: at}
	}
}

// inTimeOf is in the time of how many a tuplet is that does not say it, 0 where
// it has to (ABC 2.1, section 4.13).
func inTimeOf(p int, m passage.Meter) int {
	switch p {
	case 3, 6:
		return 2
	case 2, 4, 8:
		return 3
	case 5, 7, 9:
		if t := m.Terms; len(t) == 1 && len(t[0].Above) == 1 && t[0].Below == 8 && (t[0].Above[0] == 6 || t[0].Above[0] == 9 || t[0].Above[0] == 12) {
			return 3
		}
		return 2
	}
	return 0
}

// inTime settles, now that the bar's meter is known, in the time of how many the
// tuplet is that an item stands in, and remarks where it is seldom what is meant.
func (r *reader) inTime(it *item, m passage.Meter) passage.Ratio {
	t := it.note.Tuplet
	if it.tuplet == (Place{}) {
		return t
	}
	t.Normal = inTimeOf(t.Actual, m)
	if p := t.Actual; len(it.note.TupletMarks) > 0 && it.note.TupletMarks[0].Edge == passage.Start && p >= 5 && p != 8 {
		r.remarks = append(r.remarks, Remark{it.tuplet, fmt.Sprintf("(%d is %d notes in the time of %d; for the time of %d write (%d:%d", p, p, t.Normal, usual(p), p, usual(p))})
	}
	return t
}

// usual is in the time of how many such a tuplet mostly is in print: the largest
// power of two below (common practice, no source).
func usual(p int) int {
	n := 1
	for 2*n < p {
		n *= 2
	}
	return n
}

// count counts a note into the tuplet that is open.
func (r *reader) count(it *item) {
	t := &r.tuplet
	if t.left == 0 {
		return
	}
	if it.note.Tuplet = t.ratio; !t.given {
		it.tuplet = t.place
	}
	if t.first {
		it.note.TupletMarks = append(it.note.TupletMarks, passage.TupletMark{Edge: passage.Start, Number: 1})
		t.first = false
	}
	if t.left--; t.left == 0 {
		it.note.TupletMarks = append(it.note.TupletMarks, passage.TupletMark{Edge: passage.Stop, Number: 1})
	}
}
