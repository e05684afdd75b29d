// Package pace finds what a score says of its tempo: metronome marks, tempos that only
// programs are told, and tempo words. It is pure.
package pace

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder/passage"
)

// Source is where a tempo is said.
type Source uint8

// The sources, from what tells most: what is printed as a number, what only a program that
// plays the file is told, and a word.
const (
	Printed Source = iota
	Told
	Word
)

// Pace is a tempo that a score asks for from a place on.
type Pace struct {
	Bar    int              // its index in the part
	At     passage.Quarters // from the bar's start
	Source Source
	// Text is what is printed: "quarter = 104", "Allegro ma non troppo"; empty where a
	// tempo is only told.
	Text string
	// Low and High are in thousandths of a quarter a minute, above 0; they are the same
	// but for words.
	Low, High int64
}

// Of are the paces of a score in order of their places, of one place what tells most
// first: a tempo that one part has holds for all.
func Of(s *passage.Score) []Pace {
	var out []Pace
	for i := range s.Parts {
		out = appendOf(out, &s.Parts[i])
	}
	slices.SortStableFunc(out, func(a, b Pace) int { return cmp.Or(cmpPlace(a, b), cmp.Compare(a.Source, b.Source)) })
	return slices.CompactFunc(out, func(a, b Pace) bool { return cmpPlace(a, b) == 0 })
}

func cmpPlace(a, b Pace) int { return cmp.Or(cmp.Compare(a.Bar, b.Bar), a.At.Cmp(b.At)) }

func appendOf(out []Pace, p *passage.Part) []Pace {
	for _, d := range p.Directions {
		switch d.Kind {
		case passage.Metronome:
			if q := printed(d); q > 0 {
				text := strings.Repeat("dotted ", d.Dots) + strings.Replace(d.Text, "=", " = ", 1)
				out = append(out, Pace{Bar: d.Bar, At: d.At, Source: Printed, Text: text, Low: q, High: q})
			}
		case passage.Words:
			if s, ok := word(d.Text); ok {
				beat := beatOf(p.Bars[d.Bar].Meter)
				out = append(out, Pace{Bar: d.Bar, At: d.At, Source: Word, Text: d.Text, Low: int64(s.low) * beat, High: int64(s.high) * beat})
			}
		}
	}
	for _, t := range p.Tempos {
		if t.MilliQuarters > 0 {
			out = append(out, Pace{Bar: t.Bar, At: t.At, Source: Told, Low: t.MilliQuarters, High: t.MilliQuarters})
		}
	}
	return out
}

// beatOf is the beat of a meter that tempo words mean, in thousandths of a quarter.
func beatOf(m passage.Meter) int64 {
	c, ok := m.Click()
	if !ok {
		return 1000
	}
	u := c.Unit()
	return 4000 * int64(u.Num) / int64(max(u.Den, 1))
}

// InForce is what is in force at the start of a bar. What is printed goes before what only
// programs are told, and a word before a number that was said earlier. It is false where
// there is nothing.
func InForce(all []Pace, bar int) (Pace, bool) {
	var now [Word + 1]*Pace
	for i := range all {
		if p := &all[i]; p.Bar < bar || p.Bar == bar && p.At.Sign() <= 0 {
			now[p.Source] = p
		}
	}
	out := now[Printed]
	if out == nil {
		out = now[Told]
	}
	if w := now[Word]; w != nil && (out == nil || cmpPlace(*out, *w) < 0) {
		out = w
	}
	if out == nil {
		return Pace{}, false
	}
	return *out, true
}

// Later are the paces that are printed, as numbers or words, after the start of a bar and
// up to another, that included.
func Later(all []Pace, bar, last int) []Pace {
	var out []Pace
	for _, p := range all {
		after := p.Bar > bar || p.Bar == bar && p.At.Sign() > 0
		if after && p.Bar <= last && p.Source != Told {
			out = append(out, p)
		}
	}
	return out
}

// Beats are the bounds of a pace in whole beats of a unit a minute: nobody sets a
// metronome finer. They are not kept within what the click can play.
func (p Pace) Beats(u click.Unit) (low, high int64) {
	per := 4000 * int64(max(u.Num, 1))
	in := func(quarters int64) int64 { return (quarters*int64(u.Den) + per/2) / per }
	return in(p.Low), in(p.High)
}

// String is "quarter = 104", "Andante", or "104 quarters a minute".
func (p Pace) String() string {
	if p.Source == Told {
		return strconv.FormatFloat(float64(p.Low)/1000, 'f', -1, 64) + " quarters a minute"
	}
	return p.Text
}

// printed is the tempo of a metronome mark such as "quarter=c. 72", of a range
// the lower, in thousandths of a quarter a minute; 0 for all else.
func printed(d passage.Direction) int64 {
	unit, text, ok := strings.Cut(d.Text, "=")
	value, known := passage.ParseValue(strings.TrimSpace(unit))
	if d.Kind != passage.Metronome || !ok || !known {
		return 0
	}
	digit := func(r rune) bool { return r >= '0' && r <= '9' }
	if i := strings.IndexFunc(text, digit); i >= 0 {
		text = text[i:]
	}
	if i := strings.IndexFunc(text, func(r rune) bool { return !digit(r) }); i >= 0 {
		text = text[:i]
	}
	n, err := strconv.ParseInt(text, 10, 32)
	if err != nil {
		return 0
	}
	length := value.Length(d.Dots)
	return n * 1000 * length.Num() / length.Den()
}
