package click

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Unit is the note value of one beat, as a fraction of a whole note: a quarter
// is 1/4, a dotted quarter 3/8. The zero value is no unit.
type Unit struct{ Num, Den int }

// units are the note values that a beat can have, by their trade names.
var units = []struct {
	name string
	unit Unit
}{
	{"whole", Unit{1, 1}}, {"dotted half", Unit{3, 4}}, {"half", Unit{1, 2}},
	{"dotted quarter", Unit{3, 8}}, {"quarter", Unit{1, 4}},
	{"dotted eighth", Unit{3, 16}}, {"eighth", Unit{1, 8}}, {"sixteenth", Unit{1, 16}},
}

// UnitNames lists the words that [ParseUnit] knows, longest note first.
func UnitNames() []string {
	names := make([]string, len(units))
	for i, u := range units {
		names[i] = u.name
	}
	return names
}

// ParseUnit reads a note value such as "quarter" or "dotted quarter".
func ParseUnit(s string) (Unit, error) {
	for _, u := range units {
		if s == u.name {
			return u.unit, nil
		}
	}
	return Unit{}, fmt.Errorf("%q is not a beat; write one of %s", s, strings.Join(UnitNames(), ", "))
}

// String is the trade name of the unit.
func (u Unit) String() string {
	for _, known := range units {
		if u == known.unit {
			return known.name
		}
	}
	return fmt.Sprintf("%d/%d", u.Num, u.Den)
}

// Dotted reports whether the beat divides by three.
func (u Unit) Dotted() bool { return u.Num%3 == 0 }

// Meter is a time signature: the note value below (4 for a quarter) and what
// stands above, in groups where it is additive (3+2/8).
type Meter struct {
	groups string // the numbers above as written, "4" or "3+2", so that meters compare with ==
	below  int
}

// MakeMeter returns above/below, such as 4/4.
func MakeMeter(above, below int) Meter { return Meter{strconv.Itoa(above), below} }

// ParseMeter reads "4/4", "6/8" or an additive "3+2/8". Each number above is 1
// to 64, the sum at most 64; the number below is 1, 2, 4, 8, 16 or 32.
func ParseMeter(s string) (Meter, error) {
	bad := fmt.Errorf("%q is not a meter; write one such as 4/4, 6/8 or 3+2/8", s)
	above, below, ok := strings.Cut(strings.ReplaceAll(s, " ", ""), "/")
	if !ok {
		return Meter{}, bad
	}
	d, err := strconv.Atoi(below)
	if err != nil || !slices.Contains([]int{1, 2, 4, 8, 16, 32}, d) || below[0] == '+' {
		return Meter{}, bad
	}
	sum, groups := 0, strings.Split(above, "+")
	for i, g := range groups {
		n, err := strconv.Atoi(g)
		if err != nil || n < 1 || n > 64 {
			return Meter{}, bad
		}
		groups[i] = strconv.Itoa(n)
		sum += n
	}
	if sum > 64 {
		return Meter{}, bad
	}
	return Meter{strings.Join(groups, "+"), d}, nil
}

// String writes the meter as it stands in a score.
func (m Meter) String() string { return fmt.Sprintf("%s/%d", m.groups, m.below) }

// Below is the note value under the line: 4 for a quarter.
func (m Meter) Below() int { return m.below }

// Groups are the numbers above the line: [4] for 4/4, [3 2] for 3+2/8.
func (m Meter) Groups() []int {
	out := make([]int, 0, 1+strings.Count(m.groups, "+"))
	for g := range strings.SplitSeq(m.groups, "+") {
		n, _ := strconv.Atoi(g)
		out = append(out, n)
	}
	return out
}

func sum(groups []int) int {
	all := 0
	for _, g := range groups {
		all += g
	}
	return all
}

// Unit is the beat that theory handbooks give the meter when nothing else is
// written (common practice, no source): the dotted note in a compound meter
// (6, 9 or 12 over 8 or 16), else the note value below the line.
func (m Meter) Unit() Unit {
	groups := m.Groups()
	if n := groups[0]; len(groups) == 1 && m.below >= 8 && n%3 == 0 && n != 3 {
		return Unit{3, m.below}
	}
	return Unit{1, m.below}
}

// Bar returns how many beats of unit u a bar has, or an error when that is not
// a whole number.
func (m Meter) Bar(u Unit) (Bar, error) {
	groups := m.Groups()
	beats := Frac(int64(sum(groups))*int64(u.Den), int64(m.below)*int64(u.Num))
	if beats.Den() != 1 || beats.num < 1 {
		return Bar{}, fmt.Errorf("a bar of %s is not a whole number of %s beats; write beat: %s", m, u, m.Unit())
	}
	bar := Bar{Beats: int(beats.num)}
	switch {
	case u.Dotted():
		bar.kind = compound
	case len(groups) > 1 && u == (Unit{1, 8}):
		bar.kind = additive
	}
	at := 0
	for _, g := range groups {
		start := Frac(int64(at)*int64(u.Den), int64(m.below)*int64(u.Num))
		if start.Den() == 1 {
			bar.starts |= 1 << start.Floor() // none past beat 63
		}
		at += g
	}
	return bar, nil
}

// Bar is a bar as beats: how many, and which of them begin a group.
type Bar struct {
	Beats  int    // at least 1, at most 64·32
	starts uint64 // bit i is set when beat i (from 0) begins a group
	kind   barKind
}

// barKind is what the beats of a bar are: simple, dotted, or the eighths of an
// additive meter, whose beats proper are its groups.
type barKind uint8

const (
	simple barKind = iota
	compound
	additive
)

// group is the group in which a beat lies: the beat that it begins with, and how
// many it has.
func (b Bar) group(beat int) (from, length int) {
	from = beat
	for !b.GroupStart(from) {
		from--
	}
	end := beat + 1
	for end < b.Beats && !b.GroupStart(end) {
		end++
	}
	return from, end - from
}

// GroupStart reports whether the beat (from 0) begins a group of the meter.
// Beat 0 always does.
func (b Bar) GroupStart(beat int) bool { return beat == 0 || b.starts>>beat&1 == 1 }
