package click

import (
	"fmt"
	"slices"
	"sort"
)

// MeterChange is a bar from which another meter is in force.
type MeterChange struct {
	Bar   int // its number as printed
	Meter Meter
}

// Measures are the bars of a passage. They map beats to bar and beat, and back:
// exactly, in whole numbers and fractions.
//
// Beats are counted from the line of the first full bar, so that every line
// lies on a whole beat; a pickup lies before it, at places below 0. A beat is
// one note value through all meters: where 4/4 goes over to 6/8, an eighth stays
// an eighth (common practice, no source, where a score says nothing else).
//
// Bars are numbered as printed. A pickup is not counted (common practice, no
// source): the first full bar has the first number, and the pickup is the end
// of the bar before, which is bar 0 when that number is 1. So a pickup of a beat
// to 4/4 is beat 4 of that bar.
//
// What lies outside the passage is mapped too, as bars of the first meter
// before it and of the last after it. The zero value is bars of one beat from
// bar 0 on. Measures are a value, which nothing writes to.
type Measures struct {
	from, to int
	pickup   Beats
	runs     []run // in order, none when the value is zero
}

// run is bars of one meter.
type run struct {
	number int // of its first bar
	line   int // beats from the first full bar's line to that of the run
	bar    Bar
}

// A MeasuresError is what keeps bars from being the measures of a passage.
type MeasuresError struct {
	// Key is what is at fault: "bars", "beat", "meters" or "pickup".
	Key string
	// Change is the index of the change of meter at fault, −1 for none.
	Change int
	What   string // what is wrong
	Want   string // what would be right
}

// Error is "what; what would be right".
func (e *MeasuresError) Error() string { return e.What + "; " + e.Want }

// NewMeasures are the bars from first to last, both included, in beats of unit
// u: of meter m, until changes say something else, and with a pickup to the
// first of them. Changes are in order, after bar from and no later than bar to.
// The pickup is shorter than a bar. The error is a [MeasuresError].
func NewMeasures(from, to int, pickup Beats, u Unit, m Meter, changes ...MeterChange) (Measures, error) {
	fault := func(key string, change int, want, what string, args ...any) (Measures, error) {
		return Measures{}, &MeasuresError{key, change, fmt.Sprintf(what, args...), want}
	}
	if to < from {
		return fault("bars", -1, "write the first bar first", "bars %d-%d run backwards", from, to)
	}
	out := Measures{from: from, to: to, pickup: pickup}
	line, last := 0, MeterChange{Bar: from, Meter: m}
	for i := -1; i < len(changes); i++ {
		next := last
		if i >= 0 {
			next = changes[i]
		}
		switch {
		case i >= 0 && (next.Bar <= from || next.Bar > to):
			want := fmt.Sprintf("write a bar from %d to %d (bar %d has meter:)", from+1, to, from)
			if from == to {
				want = fmt.Sprintf("leave the change out (bar %d has meter:)", from)
			}
			return fault("meters", i, want, "the meter changes in bar %d of bars %d-%d", next.Bar, from, to)
		case i >= 0 && next.Bar <= last.Bar:
			return fault("meters", i, "write each bar once, in order", "bar %d stands after bar %d", next.Bar, last.Bar)
		}
		bar, err := next.Meter.Bar(u)
		if err != nil {
			return fault("beat", i, fmt.Sprintf("write beat: %s", CommonUnit(m, changes...)),
				"a bar of %s is not a whole number of %s beats", next.Meter, u)
		}
		if n := len(out.runs); n > 0 {
			line += (next.Bar - last.Bar) * out.runs[n-1].bar.Beats
		}
		out.runs = append(out.runs, run{next.Bar, line, bar})
		last = next
	}
	if first := out.runs[0].bar.Beats; pickup.Sign() < 0 || pickup.Den() > MaxDenominator || !pickup.Less(Whole(first)) {
		return fault("pickup", -1, fmt.Sprintf("write beats from 0 to less than %d, such as 1/2", first),
			"a pickup of %s beats to bars of %d", pickup, first)
	}
	return out, nil
}

// CommonUnit is the beat of a passage when nothing else is written: the longest
// note value of which the beats of all its meters ([Meter.Unit]) are multiples.
// So it is the meter's own where none changes, a quarter through 4/4 and 3/4, a
// dotted quarter through 6/8 and 9/8, and an eighth through 4/4 and 6/8.
func CommonUnit(m Meter, changes ...MeterChange) Unit {
	u := m.Unit()
	for _, c := range changes {
		v := c.Meter.Unit()
		f := Frac(gcd(int64(u.Num*v.Den), int64(v.Num*u.Den)), int64(u.Den*v.Den))
		u = Unit{int(f.Num()), int(f.Den())}
	}
	return u
}

// same reports whether they are the same bars.
func (m Measures) same(o Measures) bool {
	return m.from == o.from && m.to == o.to && m.pickup == o.pickup && slices.Equal(m.runs, o.runs)
}

// From is the number of the first full bar.
func (m Measures) From() int { return m.from }

// To is the number of the last bar.
func (m Measures) To() int { return m.to }

// Pickup is how many beats come before the first full bar.
func (m Measures) Pickup() Beats { return m.pickup }

// Start is the place of the passage's first note: 0, or less with a pickup.
func (m Measures) Start() Beats { return Beats{}.Sub(m.pickup) }

// End is the place of the line after the last bar.
func (m Measures) End() Beats { return Whole(m.Line(m.to + 1)) }

// Length is how many beats the passage has, its pickup included.
func (m Measures) Length() Beats { return m.End().Sub(m.Start()) }

// Bar is the bar of that number, as beats.
func (m Measures) Bar(n int) Bar { return m.of(n).bar }

// Longest is the passage's longest bar, the first of several.
func (m Measures) Longest() Bar {
	longest := m.Bar(m.from)
	for _, r := range m.runs {
		if r.bar.Beats > longest.Beats {
			longest = r.bar
		}
	}
	return longest
}

// Line is the place of the line before bar n.
func (m Measures) Line(n int) int {
	r := m.of(n)
	return r.line + (n-r.number)*r.bar.Beats
}

// Place is the place of what lies at beats from the line before a bar.
func (m Measures) Place(bar int, at Beats) Beats { return Whole(m.Line(bar)).Add(at) }

// Where is the bar in which a place lies, and how many beats, from 0, it lies
// behind that bar's line.
func (m Measures) Where(b Beats) (bar int, at Beats) {
	beat := b.Floor()
	r := m.last(func(r run) bool { return r.line <= beat })
	n := (beat - r.line - floorMod(beat-r.line, r.bar.Beats)) / r.bar.Beats
	return r.number + n, b.Sub(Whole(r.line + n*r.bar.Beats))
}

// Alike is the same measures with all bars like bar n, which stays in its
// place: what a count-in before that bar is counted in.
func (m Measures) Alike(n int) Measures {
	m.runs = []run{{n, m.Line(n), m.Bar(n)}}
	return m
}

// FormatPlace writes a place in a bar as bar:beat, the beat counted from 1:
// "18:2", "18:2+1/2".
func FormatPlace(bar int, at Beats) string {
	beat := at.Floor()
	text := fmt.Sprintf("%d:%d", bar, beat+1)
	if part := at.Sub(Whole(beat)); part.Sign() != 0 {
		text += "+" + part.String()
	}
	return text
}

// of is the run that bar n belongs to.
func (m Measures) of(n int) run { return m.last(func(r run) bool { return r.number <= n }) }

// last is the last run that has begun, or the first, which has no beginning.
func (m Measures) last(begun func(run) bool) run {
	if len(m.runs) == 0 {
		return run{bar: Bar{Beats: 1}}
	}
	i := sort.Search(len(m.runs), func(i int) bool { return !begun(m.runs[i]) })
	return m.runs[max(i-1, 0)]
}
