package passage

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"math/big"

	"footing/audio/click"
)

// partReader reads the measures of one part.
type partReader struct {
	*reader
	part *Part

	divisions Quarters // of a quarter, 0 where the file has not said
	meter     Meter    // in force
	transpose Transposition
	ways      []way
	// notes are the part's notes until it is finished, in blocks that never grow:
	// a score's notes are the most that a reader holds.
	notes [][]Note

	// In the current bar:
	bar    *Bar
	cursor Quarters // from the bar's start
	reach  Quarters // the furthest that anything goes
	last   Quarters // where the last note that is not of a chord begins
	begun  bool     // a note has been read
	// chordable says that a chord's note can go with the note at last.
	chordable bool
}

// measure reads one measure, behind its start e.
func (p *partReader) measure(e xml.StartElement) error {
	err := p.addBar(Bar{
		Index:    len(p.part.Bars),
		Number:   attr(e, "number"),
		Implicit: attr(e, "implicit") == "yes",
	})
	if err != nil {
		return err
	}
	p.bar = &p.part.Bars[len(p.part.Bars)-1]
	p.cursor, p.reach, p.last = Quarters{}, Quarters{}, Quarters{}
	p.begun, p.chordable = false, false
	if err := p.children(p.music); err != nil {
		if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) || errors.Is(err, errTooLarge) {
			return err
		}
		return fmt.Errorf("%s: %w", place(p.barName(), p.name()), err)
	}
	if !p.begun {
		p.bar.Meter = p.meter
	}
	p.bar.Length = p.reach
	return nil
}

// addBar adds a bar to the part, as far as the limits go.
func (p *partReader) addBar(b Bar) error {
	p.bars++
	if all := 10 * p.limits.Bars; len(p.part.Bars) >= p.limits.Bars || p.bars > all {
		return p.at("there are too many bars in %s; at most %d a part are read, and %d in all", p.name(), p.limits.Bars, all)
	}
	p.part.Bars = append(p.part.Bars, b)
	return nil
}

// count counts one sign more; when there are too many, nothing more is read.
func (r *reader) count() {
	if most := 2 * r.limits.Notes; r.signs >= most {
		r.full = r.at("the score has too many marks and signs; at most %d are read", most)
	}
	r.signs++
}

// music reads one element of a measure.
func (p *partReader) music(e xml.StartElement) error {
	switch e.Name.Local {
	case "note":
		return p.note(e)
	case "backup":
		return p.move(-1)
	case "forward":
		return p.move(1)
	case "attributes":
		return p.attributes()
	case "direction":
		return p.direction(e)
	case "sound":
		return p.sound(e)
	case "barline":
		return p.barline(e)
	}
	return p.skip()
}

// move reads a backup or forward.
func (p *partReader) move(way int64) error {
	var by Quarters
	err := p.children(func(e xml.StartElement) error {
		if e.Name.Local != "duration" {
			return p.skip()
		}
		var err error
		by, err = p.duration()
		return err
	})
	if err != nil {
		return err
	}
	to, err := p.plus(p.cursor, by.Times(way))
	if err != nil {
		return err
	}
	if to.Sign() < 0 {
		p.remark("a backup goes %s quarters back from %s; the bar's start is taken", by, p.cursor)
		to = Quarters{}
	}
	p.cursor = to
	p.reach = longer(p.reach, to)
	return nil
}

// duration reads a duration's text as quarters.
func (p *partReader) duration() (Quarters, error) {
	text, err := p.text()
	if err != nil {
		return Quarters{}, err
	}
	d, ok := parseDecimal(text)
	if !ok || d.Sign() < 0 {
		return Quarters{}, fmt.Errorf("duration %s is not a plain number of 0 or more", quoted(text))
	}
	q, ok := ratio(d, p.quarter())
	if !ok {
		return Quarters{}, fmt.Errorf("duration %s at divisions %s is too long or too finely divided; at most %d quarters and parts of 1/%d of a quarter are read", quoted(text), p.divisions, MaxQuarters, MaxParts)
	}
	return q, nil
}

// quarter is how many divisions a quarter has.
func (p *partReader) quarter() Quarters {
	if p.divisions.Sign() == 0 {
		p.remark("notes stand before any divisions; 1 a quarter is taken")
		p.divisions = click.Whole(1)
	}
	return p.divisions
}

// plus is a place some way on, as far as a score goes.
func (p *partReader) plus(at, by Quarters) (Quarters, error) {
	sum := at.Add(by)
	if !holds(sum) {
		return sum, fmt.Errorf("the bar is too long or too finely divided; at most %d quarters and parts of 1/%d of a quarter are read", MaxQuarters, MaxParts)
	}
	return sum, nil
}

// holds reports whether a length is one that a score can have.
func holds(q Quarters) bool {
	return q.Den() <= MaxParts && q.Num()/q.Den() < MaxQuarters && q.Num()/q.Den() > -MaxQuarters
}

// ratio is a/b, false where a score cannot hold it.
func ratio(a, b Quarters) (Quarters, bool) {
	const small = 1 << 31
	if a.Den() == 1 && b.Den() == 1 && a.Num() < small && b.Num() < small {
		q := click.Frac(a.Num(), b.Num())
		return q, holds(q)
	}
	q := new(big.Rat).Quo(big.NewRat(a.Num(), a.Den()), big.NewRat(b.Num(), b.Den()))
	if !q.Num().IsInt64() || !q.Denom().IsInt64() {
		return Quarters{}, false
	}
	out := click.Frac(q.Num().Int64(), q.Denom().Int64())
	return out, holds(out)
}

// name is what the part is called in a sentence.
func (p *partReader) name() string {
	if p.part.Name != "" {
		return oneLine(p.part.Name)
	}
	return "part " + p.part.ID
}

// barName is what the bar is called in a sentence.
func (p *partReader) barName() string { return p.numberOf(p.bar.Index) }

func (p *partReader) remark(format string, args ...any) {
	p.remarks.add(p.name(), p.barName(), format, args...)
}

// keep adds a note to the part.
func (p *partReader) keep(n Note) {
	const block = 1024
	last := len(p.notes) - 1
	if last < 0 || len(p.notes[last]) == cap(p.notes[last]) {
		size := block
		if last < 0 {
			size = 32 // most parts of most scores are short
		}
		p.notes = append(p.notes, make([]Note, 0, size))
		last++
	}
	p.notes[last] = append(p.notes[last], n)
}
