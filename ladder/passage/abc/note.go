package abc

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder/passage"
)

// rest reads a rest: "z3", "Z", "Z4".
func (r *reader) rest(at Place) {
	c := r.next()
	if len(r.graces) > 0 {
		r.fail(r.graces[0].place, "write a note behind it", "a grace note stands before a rest")
	}
	it := &item{place: at, note: passage.Note{Kind: passage.Rest}}
	if c == 'Z' {
		digit := r.peek(0) >= '0' && r.peek(0) <= '9'
		if it.bars = r.number(); !digit {
			it.bars = 1
		}
		it.note.WholeBar = true
		if it.bars == 0 || it.bars > MaxBars {
			r.fail(at, fmt.Sprintf("write 1 to %d", MaxBars), "a rest of so many bars is not read")
			it.bars = 1
		}
	} else if n, ok := r.length(at); ok {
		it.written = scaled(r.in.Unit, n)
	}
	r.add(it)
}

// note reads a note: accidental, letter, octave, length.
func (r *reader) note(at Place) {
	p, accidental, ok := r.pitch(at)
	if !ok {
		return
	}
	n, ok := r.length(at)
	if !ok {
		return
	}
	it := &item{place: at, written: scaled(r.in.Unit, n), note: passage.Note{Pitch: p, Accidental: accidental}}
	r.add(it)
}

// pitch reads accidental, letter and octave. What has no accidental is as the tie
// before it, the bar or the key says.
func (r *reader) pitch(at Place) (p passage.Pitch, accidental string, ok bool) {
	alter, signed, ok := r.accidental(at)
	if !ok {
		return p, "", false
	}
	c := r.peek(0)
	if !isLetter(c) {
		r.fail(at, "write it right before a letter, such as ^F", "an accidental belongs to no note")
		return p, "", false
	}
	r.next()
	octave := 4
	if c >= 'a' {
		c, octave = c-'a'+'A', 5
	}
	for r.peek(0) == '\'' || r.peek(0) == ',' {
		if r.next() == ',' {
			octave--
		} else {
			octave++
		}
	}
	p.Letter, _ = passage.ParseLetter(string(c))
	if octave < 0 || octave > 9 {
		r.fail(at, "write at most four commas or apostrophes", "the note lies outside the octaves 0 to 9")
		return p, "", false
	}
	p.Octave = int8(octave)
	steps := p.Steps()
	if signed {
		p.Alter = alter
		r.signs[steps], r.letters[p.Letter] = alter, p
		return p, passage.AccidentalName(alter), true
	}
	p.Alter = r.in.Key.Of(p.Letter)
	if a, known := r.signs[steps]; known {
		p.Alter = a
	} else if other, known := r.letters[p.Letter]; known && other.Alter != p.Alter && (r.tie == nil || r.tie.note.Pitch.Steps() != steps) {
		r.fail(at, fmt.Sprintf("write the accidental here, too, such as =%s or that of %s", p.Letter, other), "%s in another octave stands before this %s in the bar, and readers differ on what it does here", other, p.Letter)
	}
	if r.tie != nil && r.tie.note.Pitch.Steps() == steps {
		p.Alter = r.tie.note.Pitch.Alter
	}
	return p, "", true
}

// accidental reads ^, ^^, _, __ or =, if one is there.
func (r *reader) accidental(at Place) (a passage.Alter, signed, ok bool) {
	c := r.peek(0)
	switch c {
	case '^':
		a = passage.Sharp
	case '_':
		a = passage.Flat
	case '=':
	default:
		return 0, false, true
	}
	r.next()
	if c != '=' && r.take(c) {
		a *= 2
	}
	if d := r.peek(0); d == '^' || d == '_' || d == '=' || d == '/' {
		for r.peek(0) == '^' || r.peek(0) == '_' || r.peek(0) == '=' || r.peek(0) == '/' {
			r.next()
		}
		r.fail(at, "write one of ^ ^^ _ __ =", "there is no such accidental")
		return 0, false, false
	}
	return a, true, true
}

// length reads "2", "3/2", "/", "//", "/4": so many units, 1 where there is
// nothing.
func (r *reader) length(at Place) (click.Beats, bool) {
	digits := func() (int, bool) {
		if r.peek(0) < '0' || r.peek(0) > '9' {
			return 1, true
		}
		n := r.number()
		return n, n > 0 && n < 1000
	}
	num, ok := digits()
	den := 1
	if r.take('/') {
		slashes := 1
		for r.take('/') {
			slashes++
		}
		if d := r.peek(0); d < '0' || d > '9' {
			den = 1 << min(slashes, 10)
		} else {
			var fine bool
			den, fine = digits()
			ok = ok && fine && slashes == 1
		}
		ok = ok && slashes <= 10
	}
	if !ok {
		r.fail(at, "write one such as 2, 3/2 or /2", "this is not a length")
	}
	return click.Frac(int64(num), int64(den)), ok
}

// scaled is a length times a fraction.
func scaled(q passage.Quarters, by click.Beats) passage.Quarters {
	return click.Frac(q.Num()*by.Num(), q.Den()*by.Den())
}

// add puts a note or rest into the bar, with all that stood before it and awaits
// a note.
func (r *reader) add(it *item) {
	b := r.bars[len(r.bars)-1]
	r.joinTie(it)
	if len(b.items) == 0 {
		b.place = it.place
	}
	b.items = append(b.items, r.graces...)
	r.graces = nil
	it.note.Marks = append(it.note.Marks, r.marks...)
	it.tempos, r.marks, r.tempos = r.tempos, nil, nil
	r.begins(it)
	if r.factor.Sign() > 0 {
		it.written, it.dotted = scaled(it.written, r.factor), true
		if it.bars > 0 {
			r.fail(r.broken, "write it between two notes", "a whole bar's rest has no dotted rhythm")
		}
		r.factor = passage.Quarters{}
	}
	r.count(it)
	b.items = append(b.items, it)
	r.last = it
}

// grace reads grace notes: "{g}", "{/gab}".
func (r *reader) grace(at Place) {
	r.next()
	kind := passage.PlainGrace
	if r.take('/') {
		kind = passage.SlashedGrace
	}
	first := len(r.graces)
	for {
		c := r.peek(0)
		switch {
		case c == '}':
			r.next()
			if len(r.graces) == first {
				r.fail(at, "write them as {g}", "there are no grace notes in the brackets")
			}
			r.graceValues(first)
			return
		case c == ' ' || c == '\t':
			r.next()
		case isLetter(c) || c == '^' || c == '_' || c == '=':
			place := r.place
			p, accidental, ok := r.pitch(place)
			n, fine := r.length(place)
			if ok && fine {
				it := &item{place: place, written: n, note: passage.Note{Pitch: p, Accidental: accidental, Grace: kind}}
				r.begins(it)
				r.graces = append(r.graces, it)
			}
		default:
			if !r.more() || c == '\n' {
				r.fail(at, "close the bracket with }", "the grace notes do not end")
				return
			}
			place := r.place
			r.next()
			r.fail(place, "write notes alone between the brackets", "%q is not read among grace notes", c)
		}
	}
}

// graceValues finds how the grace notes from the first on are printed: one as an
// eighth, several as sixteenths (common practice, no source), times what is
// typed. They last no time.
func (r *reader) graceValues(first int) {
	unit := click.Frac(1, 2)
	if len(r.graces)-first > 1 {
		unit = click.Frac(1, 4)
	}
	for _, g := range r.graces[first:] {
		v, dots, ok := passage.Written(scaled(unit, g.written))
		if !ok {
			r.fail(g.place, "write it without a number", "a grace note of this length cannot be printed as one note")
		}
		g.note.Value, g.note.Dots, g.written = v, dots, passage.Quarters{}
	}
}

// dot reads ">", ">>", "<" and so on: the note before and the note after share
// their time by three to one, seven to one, fifteen to one.
func (r *reader) dot(at Place) {
	c := r.next()
	n := 1
	for r.take(c) {
		n++
	}
	switch {
	case n > 3:
		r.fail(at, "write one to three", "so many signs of dotted rhythm are not read")
	case r.last == nil || r.last.bars > 0:
		r.fail(at, "write it between two notes of a bar", "%q stands behind no note", string(c))
	case r.last.dotted:
		r.fail(at, "pair the notes, or write their lengths", "the note before belongs to another dotted rhythm")
	default:
		short := click.Frac(1, 1<<n)
		long := click.Whole(2).Sub(short)
		if c == '<' {
			long, short = short, long
		}
		r.last.written, r.last.dotted = scaled(r.last.written, long), true
		r.factor, r.broken = short, at
	}
}
