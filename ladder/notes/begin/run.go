package begin

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strconv"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
)

// run is bars of a part, by index, that the click can count in one go.
type run struct {
	first, full, last int // its first bar, its first that is no pickup, its last
	measures          click.Measures
	unit              click.Unit
	ends              error // why it does not go on; nil at the part's end
}

// runOf is the first run of bars of a line's part in which the line has a note.
// The error says why there is none.
func runOf(l passage.Line) (run, error) {
	p := l.Part
	var none error
	for i := 0; i < len(p.Bars); i++ {
		if p.Bars[i].Offset.Sign() > 0 {
			continue // the pickup, or the rest of a bar that was split
		}
		r, err := from(p, i)
		if err != nil {
			if none == nil {
				none = err
			}
			continue
		}
		if slices.ContainsFunc(l.Between(r.first, r.last), sounds) {
			return r, nil
		}
		i = r.last
	}
	if none == nil {
		none = errors.New("there is no note in a bar that can be counted")
	}
	return run{}, none
}

// from is the longest run that has a bar for its first full one.
func from(p *passage.Part, i int) (run, error) {
	b := p.Bars[i]
	n, err := strconv.Atoi(b.Number)
	twin := func(o passage.Bar) bool { return o.Offset.Sign() == 0 && o.Number == b.Number }
	switch {
	case err != nil || n < 1 || n > ladder.MaxBar:
		return run{}, fmt.Errorf("bar %s has no number to count from, from 1 to %d", printed(b), ladder.MaxBar)
	case slices.IndexFunc(p.Bars, twin) < i:
		return run{}, fmt.Errorf("bar %s is there twice", printed(b))
	}
	r := run{first: i, full: i}
	if i == 1 && p.Bars[0].Offset.Sign() > 0 {
		r.first = 0
	}
	most := len(p.Bars) - i
	count := func(k int) error { // as many full bars
		if number, err := strconv.Atoi(p.Bars[i+k-1].Number); err == nil && number > ladder.MaxBar {
			return fmt.Errorf("bars are counted up to %d", ladder.MaxBar)
		}
		var err error
		r.measures, r.unit, err = p.Measures(r.first, i+k-1, click.Unit{})
		return err
	}
	// A bar that cannot be counted ends all that would go on over it.
	k := sort.Search(most, func(k int) bool { return count(k+1) != nil })
	if k == 0 {
		return run{}, count(1)
	}
	if k < most {
		r.ends = count(k + 1)
	}
	r.last = i + k - 1
	return r, count(k)
}

// printed is a bar's number in a sentence.
func printed(b passage.Bar) string {
	if name := ladder.Name(b.Number); name != "" {
		return name
	}
	return fmt.Sprintf("at index %d", b.Index)
}

// meters are the meter of a run's first bar and those of the bars in which it
// changes.
func (r run) meters(p *passage.Part) (first click.Meter, changes []click.MeterChange) {
	var now click.Meter
	number := r.measures.From() - 1
	for i := r.full; i <= r.last; i++ {
		if p.Bars[i].Offset.Sign() > 0 {
			continue
		}
		number++
		m, _ := p.Bars[i].Meter.Click()
		switch {
		case i == r.full:
			first = m
		case m != now:
			changes = append(changes, click.MeterChange{Bar: number, Meter: m})
		}
		now = m
	}
	return first, changes
}

// number is the printed number of a bar of the run, by its index.
func (r run) number(p *passage.Part, bar int) int {
	number := r.measures.From() - 1
	for i := r.full; i <= min(bar, r.last); i++ {
		if p.Bars[i].Offset.Sign() == 0 {
			number++
		}
	}
	return number
}
