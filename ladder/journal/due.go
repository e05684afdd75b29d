package journal

import (
	"cmp"
	"slices"

	"footing/audio/click"
	"footing/ladder"
)

// Due is a step that waits to be practised.
type Due struct {
	History
	Days int         // since it was practised, 0 for today
	Best click.Tempo // of the latest day with a clean rep; 0 for none
	// Start is where it starts today, 0 where its ladder is not known.
	Start click.Tempo
}

// Met reports whether the goal was reached.
func (d Due) Met() bool { return d.Goal != 0 && d.Best >= d.Goal }

// asleep is after how many days a step is taken for put aside.
const asleep = 8 * 7

// weight is how urgent a step is: the days since it was practised, counted up to
// double the farther its best is from the goal.
func (d Due) weight() float64 {
	far := 1.0
	if d.Goal != 0 {
		far = 1 - min(float64(d.Best)/float64(d.Goal), 1)
	}
	return float64(d.Days) * (1 + far)
}

// DueOn is every step that was practised, the most urgent first: by how long since,
// and how far from the goal. What was not played for eight weeks comes last: it has
// been put aside.
func DueOn(all []History, rule StartRule, today Day) []Due {
	var out []Due
	for _, h := range all {
		if h.Last == 0 {
			continue
		}
		d := Due{History: h, Days: max(int(today-h.Last), 0)}
		if len(h.Days) > 0 {
			d.Best = h.Days[0].Best
		}
		if l := h.Stood.Ladder; l.Goal.Valid() && l.Goal == h.Goal {
			step := ladder.Step{Tempo: l, Rule: ladder.Rule{Kind: h.Stood.Rule}}
			b, _ := rule.Start(step, h, today)
			d.Start = b.Tempo
		}
		out = append(out, d)
	}
	slices.SortFunc(out, func(x, y Due) int {
		return cmp.Or(
			cmp.Compare(x.Days/asleep, y.Days/asleep), cmp.Compare(y.weight(), x.weight()),
			cmp.Compare(x.Place.Routine, y.Place.Routine), cmp.Compare(x.Place.Step, y.Place.Step),
		)
	})
	return out
}
