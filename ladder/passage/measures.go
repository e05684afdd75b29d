package passage

import (
	"fmt"
	"strconv"

	"footing/audio/click"
)

// Measures are the part's bars from first to last, by index and both included, as
// the click counts them in beats of the unit u; the zero unit stands for the one
// that all their meters share ([click.CommonUnit]). A first bar that begins behind
// its full bar's start is their pickup, the halves of a split bar are one, and the
// last may be short. The error says which bar the click cannot count, and why.
func (p *Part) Measures(first, last int, u click.Unit) (click.Measures, click.Unit, error) {
	if first < 0 || last >= len(p.Bars) || first > last {
		return click.Measures{}, u, fmt.Errorf("there are no bars from index %d to %d; the part has %d", first, last, len(p.Bars))
	}
	bars := p.Bars[first : last+1]
	var pickup Quarters
	if bars[0].Offset.Sign() > 0 && len(bars) > 1 {
		pickup, bars = bars[0].Length, bars[1:]
	}
	var from, to int
	var meter, now click.Meter
	var changes []click.MeterChange
	for i := 0; i < len(bars); {
		b := bars[i]
		filled := b.Offset.Add(b.Length)
		for i++; i < len(bars) && bars[i].Offset.Sign() > 0; i++ {
			filled = filled.Add(bars[i].Length)
		}
		m, ok := b.Meter.Click()
		number, err := strconv.Atoi(b.Number)
		full := b.Meter.Length()
		switch {
		case !ok && !b.Meter.Known():
			return click.Measures{}, u, fmt.Errorf("bar %s has no meter", b.called())
		case !ok:
			return click.Measures{}, u, fmt.Errorf("bar %s stands in %s, which has no beats to count", b.called(), b.Meter)
		case err != nil:
			return click.Measures{}, u, fmt.Errorf("bar %s has no number to count from", b.called())
		case b.Index != bars[0].Index && number != to+1:
			return click.Measures{}, u, fmt.Errorf("bar %s comes after bar %d; the numbers must follow each other", b.called(), to)
		case filled != full && (i < len(bars) || full.Less(filled)):
			return click.Measures{}, u, fmt.Errorf("bar %s holds %s quarters where %s has %s", b.called(), filled, b.Meter, full)
		}
		switch to = number; {
		case b.Index == bars[0].Index:
			from, meter = number, m
		case m != now:
			changes = append(changes, click.MeterChange{Bar: number, Meter: m})
		}
		now = m
	}
	if u == (click.Unit{}) {
		u = click.CommonUnit(meter, changes...)
	}
	out, err := click.NewMeasures(from, to, InBeats(pickup, u), u, meter, changes...)
	return out, u, err
}

// called is what the bar is called in a sentence.
func (b Bar) called() string {
	if n := oneLine(b.Number); n != "" {
		return n
	}
	return fmt.Sprintf("at index %d", b.Index)
}
