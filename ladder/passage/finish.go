package passage

import (
	"errors"
	"maps"
	"slices"
	"strconv"
)

// finish puts the parts together once all is read.
func (r *reader) finish() error {
	for _, p := range r.parts {
		p.part.Notes = slices.Concat(p.notes...)
		p.notes = nil
		if len(p.part.Bars) > 0 {
			r.score.Parts = append(r.score.Parts, *p.part)
		}
	}
	if len(r.score.Parts) == 0 {
		return errors.New("the score has no bars")
	}
	r.compareParts()
	r.checkNumbers()
	r.checkLengths()
	r.checkTies()
	if err := r.score.settle(r.limits.Played); err != nil {
		return err
	}
	if r.score.Unsure != "" {
		r.remarks.add("", "", "the playing order is not certain: %s", r.score.Unsure)
	}
	r.checkWays()
	return nil
}

// compareParts says where the part-list and the parts differ.
func (r *reader) compareParts() {
	listed := map[string]bool{}
	for _, l := range r.listed {
		listed[l.ID] = true
	}
	for _, p := range r.parts {
		switch {
		case len(p.part.Bars) == 0:
			r.remarks.add(p.name(), "", "the part has no bars; it is left out")
		case !listed[p.part.ID]:
			r.remarks.add(p.name(), "", "the part is not in the part-list; it is read all the same")
		}
		delete(listed, p.part.ID)
	}
	for _, l := range r.listed {
		if listed[l.ID] {
			r.remarks.add(oneLine(l.Name), "", "the part-list has the part %s, but there is no music for it", quoted(l.ID))
		}
	}
}

// checkNumbers says where printed numbers cannot name a bar, or leave some out.
func (r *reader) checkNumbers() {
	for _, p := range r.parts {
		seen := map[string]int{}
		last, skipped := 0, false
		for i, b := range p.part.Bars {
			if seen[b.Number]++; seen[b.Number] == 2 && b.Number != "" {
				r.remarks.add(p.name(), oneLine(b.Number), "more than one bar has this number; they are told apart by their place")
			}
			n, err := strconv.Atoi(b.Number)
			if err != nil {
				continue
			}
			if i > 0 && n > last+1 && !skipped {
				skipped = true
				r.remarks.add(p.name(), oneLine(b.Number), "the numbers before leave some out: %d is followed by %d", last, n)
			}
			last = n
		}
	}
}

// checkLengths says where a bar does not fill its meter. A short bar is as it
// should be before the rest of a split bar, and at the end where a pickup has
// what it lacks.
func (r *reader) checkLengths() {
	for _, p := range r.parts {
		bars := p.part.Bars
		for i, b := range bars {
			full := b.Meter.Length()
			if b.Length.Sign() == 0 || full.Sign() == 0 {
				continue
			}
			switch c := b.Length.Cmp(full); {
			case c > 0:
				r.remarks.add(p.name(), p.numberOf(i), "holds %s quarters, more than the %s of %s", b.Length, full, b.Meter)
			case c == 0 || b.Implicit || i+1 < len(bars) && bars[i+1].Implicit:
			case i > 0 && i+1 == len(bars) && bars[0].pickup() && b.Length.Add(bars[0].Length) == full:
			case i == 0 && b.pickup():
			default:
				r.remarks.add(p.name(), p.numberOf(i), "holds %s quarters, fewer than the %s of %s, and is not marked implicit", b.Length, full, b.Meter)
			}
		}
	}
}

// checkTies says where a tie leads nowhere. A grace note between tied notes is in
// nobody's way.
func (r *reader) checkTies() {
	for _, p := range r.parts {
		type strand struct { // of notes that a tie could join
			voice string
			cents int
		}
		open := map[strand]int{} // → the index of a note that is tied on
		for i, n := range p.part.Notes {
			if n.Kind != Pitched || n.Cue || n.Grace != NoGrace && !n.TieTo && !n.TieFrom {
				continue
			}
			k := strand{n.Voice, n.Pitch.Cents()}
			if from, ok := open[k]; ok && !n.TieFrom {
				before := p.part.Notes[from]
				r.remarks.add(p.name(), p.numberOf(before.Bar), "a tie from %s is not ended by the next %s", before.Pitch, n.Pitch)
			}
			delete(open, k)
			if n.TieTo {
				open[k] = i
			}
		}
		for _, i := range slices.Sorted(maps.Values(open)) {
			n := p.part.Notes[i]
			r.remarks.add(p.name(), p.numberOf(n.Bar), "a tie from %s is not ended", n.Pitch)
		}
	}
}

// checkWays says which texts of jumps are not followed, as nothing in the file
// says what they mean.
func (r *reader) checkWays() {
	for _, p := range r.parts {
		for _, w := range p.ways {
			if len(p.part.Bars[w.bar].Jumps) == 0 {
				r.remarks.add(p.name(), p.numberOf(w.bar), "%s is not followed in the playing order: the file has no sound element for it", quoted(w.text))
			}
		}
	}
}

// numberOf is what a bar is called in a sentence.
func (p *partReader) numberOf(bar int) string { return p.part.Bars[bar].called() }
