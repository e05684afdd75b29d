package abc

import (
	"fmt"
	"strconv"

	"footing/audio/click"
	"footing/ladder/passage"
)

// begin opens a bar.
func (r *reader) begin() {
	r.bars = append(r.bars, &bar{place: r.place})
	r.last = nil
	r.signs, r.letters = map[int]passage.Alter{}, map[passage.Letter]passage.Pitch{}
}

// line reads a bar line, and refuses repeats, endings, chords and fields in
// square brackets.
func (r *reader) line(at Place) {
	c := r.next()
	style := ""
	switch {
	case c == '|' && r.take(']'):
		style = "light-heavy"
	case c == '|' && r.peek(0) == '|' && r.peek(1) != ':':
		r.next()
		style = "light-light"
	case c == '|' && (r.peek(0) == ':' || r.peek(0) == '|' || r.peek(0) >= '0' && r.peek(0) <= '9'), c == ':', c == '[' && r.peek(0) >= '0' && r.peek(0) <= '9':
		for p := r.peek(0); p == ':' || p == '|' || p >= '0' && p <= '9'; p = r.peek(0) {
			r.next()
		}
		r.fail(at, "write the notes out", "repeats and endings are not read")
	case c == '[' && r.take('|'):
		r.fail(at, "write |, || or |]", "there is no such bar line here")
	case c == '[' && r.peek(1) == ':':
		field := r.peek(0)
		if text, closed := r.through(']'); field == 'Q' && closed {
			r.readTempo(at, text[2:])
		} else {
			r.refuseField(at, field)
		}
		return
	case c == '[':
		r.through(']')
		r.length(at)
		r.fail(at, "write one note, or the chord's notes one after another", "chords are not read")
		return
	case c == ']':
		r.fail(at, "write |]", "the bracket belongs to no bar line")
		return
	}
	r.close(at, style)
}

// close ends a bar at its line.
func (r *reader) close(at Place, style string) {
	b := r.bars[len(r.bars)-1]
	r.settled(at)
	switch {
	case len(b.items) > 0:
		b.style = style
	case b.bad:
	case len(r.bars) > 1:
		r.fail(at, "write Z for a bar of rest", "there is nothing between two bar lines")
	default: // a line before the first note
		r.bars = nil
	}
	r.begin()
}

// settled says what should have had its note by the bar's end.
func (r *reader) settled(at Place) {
	switch {
	case r.factor.Sign() > 0:
		r.fail(r.broken, "write it between two notes of a bar", "the dotted rhythm has no second note")
	case len(r.graces) > 0:
		r.fail(r.graces[0].place, "write a note behind it", "a grace note stands before no note")
	case len(r.marks) > 0:
		r.fail(r.marked, "write it before a note of the same bar", "a mark or slur stands before no note")
	case r.tuplet.left > 0:
		r.fail(r.tuplet.place, "write all its notes within the bar", "%s wants %d more notes", r.tuplet, r.tuplet.left)
	}
	r.factor, r.graces, r.marks, r.tuplet = passage.Quarters{}, nil, nil, tuplet{}
}

// String is the tuplet in its full form.
func (t tuplet) String() string { return fmt.Sprintf("(%d:%d", t.ratio.Actual, t.ratio.Normal) }

// finish makes the score of what was read.
func (r *reader) finish() *passage.Score {
	r.settled(r.place)
	if r.tie != nil {
		r.wrong(r.tied, "write the same note behind it, or leave the tie out", "the tie from %s does not reach another", r.tie.note.Pitch)
	}
	for _, t := range r.tempos {
		r.wrong(t.place, "write it before one", "no note follows the tempo")
	}
	for _, s := range r.slurs {
		r.wrong(s.place, "write ) behind its last note", "the slur does not end")
	}
	bars := r.bars
	if last := bars[len(bars)-1]; len(last.items) == 0 && !last.bad {
		bars = bars[:len(bars)-1]
	}
	if len(bars) == 0 {
		r.wrong(Place{1, 1}, "write one bar at least", "there are no notes")
		return nil
	}
	part := &passage.Part{ID: "P1", Staves: 1}
	for i, b := range bars {
		r.fill(part, b, i == 0, i == len(bars)-1)
		if len(part.Bars) > MaxBars {
			r.wrong(b.place, "write a shorter passage", "there are more than %d bars", MaxBars)
			return nil
		}
	}
	if len(r.errs) > 0 {
		return nil
	}
	part.Changes = passage.Opening(part.Notes, r.in.Clef, r.in.Key, part.Bars[0].Meter, r.in.Transpose)
	for i, b := range part.Bars[1:] {
		if b.Meter.String() != part.Bars[i].Meter.String() {
			part.Changes = append(part.Changes, passage.Change{Bar: i + 1, Meter: &b.Meter})
		}
	}
	score := &passage.Score{Parts: []passage.Part{*part}}
	if err := score.Settle(); err != nil {
		r.wrong(Place{1, 1}, "write a shorter passage", "%v", err)
		return nil
	}
	return score
}

// fill puts a bar, or bars of rest, behind those of the part.
func (r *reader) fill(part *passage.Part, b *bar, first, last bool) {
	if len(b.items) > 0 && b.items[0].bars > 0 {
		r.rests(part, b)
		return
	}
	index, meter := len(part.Bars), r.in.meter(r.barNumber(part))
	var now passage.Quarters
	for _, it := range b.items {
		if it.bars > 0 {
			r.wrong(it.place, "write it between bar lines of its own", "a rest of whole bars stands among notes")
			return
		}
		n := it.note
		n.Bar, n.At, n.Voice = index, now, "1"
		if n.Grace == passage.NoGrace {
			var ok bool
			if n.Value, n.Dots, ok = passage.Written(it.written); !ok {
				if !b.bad {
					r.wrong(it.place, "tie two notes that make it up", "a note of %s is not one note in print", whole(it.written))
				}
				return
			}
			n.Duration, n.Tuplet = it.written, r.inTime(it, meter)
			if n.Tuplet != (passage.Ratio{}) {
				n.Duration = scaled(it.written, click.Frac(int64(n.Tuplet.Normal), int64(n.Tuplet.Actual)))
			}
		}
		said(part, it.tempos, index, now)
		if now = now.Add(n.Duration); now.Den() > passage.MaxParts {
			r.wrong(it.place, "write fewer kinds of tuplets in a bar", "the bar is too finely divided")
			return
		}
		if n.Kind == passage.Pitched {
			n.Sounds = n.Pitch.Up(r.in.Transpose.Interval())
		}
		part.Notes = append(part.Notes, n)
	}
	full := meter.Length()
	if full.Sign() > 0 && !b.bad && (full.Less(now) || now.Less(full) && !first && !last) {
		r.wrong(b.place, "write as many, or another meter", "bar %d holds %v of %s, a bar of %s holds %v", r.barNumber(part), r.units(now), whole(r.in.Unit), meter, r.units(full))
	}
	pickup := first && !last && now.Less(full)
	number := r.barNumber(part)
	if pickup {
		number--
	}
	part.Bars = append(part.Bars, passage.Bar{
		Number: strconv.Itoa(number), Implicit: pickup, Length: now, Meter: meter, Right: passage.Barline{Style: b.style},
	})
}

// units is a length in units.
func (r *reader) units(q passage.Quarters) click.Beats {
	return click.Frac(q.Num()*r.in.Unit.Den(), q.Den()*r.in.Unit.Num())
}

// rests puts bars of rest behind those of the part.
func (r *reader) rests(part *passage.Part, b *bar) {
	if len(b.items) > 1 {
		r.wrong(b.items[1].place, "write a bar line before it", "a note stands in a bar of rest")
		return
	}
	for i := range min(b.items[0].bars, MaxBars+1-len(part.Bars)) {
		n, meter := b.items[0].note, r.in.meter(r.barNumber(part))
		full := meter.Length()
		if full.Sign() <= 0 {
			r.wrong(b.items[0].place, "write z with a length", "without a meter a bar of rest has no length")
			return
		}
		if n.Bar, n.Duration, n.Voice = len(part.Bars), full, "1"; i > 0 {
			n.Marks = nil
		} else {
			said(part, b.items[0].tempos, n.Bar, n.At)
		}
		part.Notes = append(part.Notes, n)
		style := ""
		if i == b.items[0].bars-1 {
			style = b.style
		}
		part.Bars = append(part.Bars, passage.Bar{
			Number: strconv.Itoa(r.barNumber(part)), Length: full, Meter: meter, Right: passage.Barline{Style: style},
		})
	}
}

// barNumber is that of the part's next bar, as long as it is no pickup, which has
// the number before the first full bar's.
func (r *reader) barNumber(part *passage.Part) int {
	n := r.in.First + len(part.Bars)
	if n > r.in.First && part.Bars[0].Implicit {
		n--
	}
	return n
}
