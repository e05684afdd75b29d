package engrave

import (
	"footing/audio/click"
	"footing/ladder/passage"
)

// beats are where the groups of a bar's beams begin, counted from the full bar's
// start, and its end. By beat is always right (common practice, no source): the
// quarter in simple meters, the dotted note in compound ones, the terms of additive
// ones; 5 and 7 without terms are 3+2 and 2+2+3.
func beats(m passage.Meter, length passage.Quarters) []passage.Quarters {
	at := passage.Quarters{}
	out := []passage.Quarters{at}
	add := func(d passage.Quarters) {
		at = at.Add(d)
		out = append(out, at)
	}
	for _, t := range m.Terms {
		unit := click.Frac(4, int64(t.Below))
		for _, n := range t.Above {
			for _, g := range eighths(n, t.Below) {
				add(unit.Times(int64(g)))
			}
		}
	}
	for n := 0; at.Less(length) && n < 4096; n++ {
		add(click.Whole(1))
	}
	return out
}

// eighths is how so many notes of a value are grouped.
func eighths(n, below int) []int {
	var out []int
	chunk := max(1, below/4) // of a quarter's length
	switch {
	case below >= 8 && n <= 3:
		return []int{n}
	case below >= 8 && n%3 == 0:
		for range n / 3 {
			out = append(out, 3)
		}
		return out
	case below >= 8 && n == 5:
		return []int{3, 2}
	case below >= 8 && n == 7:
		return []int{2, 2, 3}
	}
	for ; n >= 2*chunk; n -= chunk {
		out = append(out, chunk)
	}
	return append(out, n)
}
