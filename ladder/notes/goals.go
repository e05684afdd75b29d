package notes

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
	"footing/ladder/passage/pace"
)

// Goal is what a score says of its tempo, and the goals that a step can take by it.
type Goal struct {
	Says string // "Andante in bar 17: tables go from 60 to 108"
	// Tempos are in beats of the step, slowest first: one, or, of a word, the slowest, a
	// mark in the middle, and the fastest.
	Tempos []click.Tempo
}

// MostGoals is the most goals that are told of a passage.
const MostGoals = 4

// Goals are what the score says of the tempo where the step's passage begins, and then
// within it. Numbers that no click can play are left out.
func (n *Notes) Goals(s ladder.Step) []Goal {
	all, bar := pace.Of(n.Score), n.First
	for bar < n.Last && n.Part.Bars[bar].Offset.Sign() > 0 {
		bar++ // what stands over a pickup holds in the bar after it
	}
	var said []pace.Pace
	if now, ok := pace.InForce(all, bar); ok {
		said = append(said, now)
	}
	said = append(said, pace.Later(all, bar, n.Last)...)
	var out []Goal
	for _, p := range said {
		if g := goalOf(p, s.Unit, n.Part.Bars); len(g.Tempos) > 0 && len(out) < MostGoals {
			out = append(out, g)
		}
	}
	return out
}

func goalOf(p pace.Pace, unit click.Unit, bars []passage.Bar) Goal {
	low, high := p.Beats(unit)
	g := Goal{Says: fmt.Sprintf("%s in bar %s", ladder.Name(p.String()), ladder.Name(bars[p.Bar].Number))}
	between := []int64{low}
	if p.Source == pace.Word {
		g.Says += fmt.Sprintf(": tables go from %d to %d", low, high)
		between = []int64{low, middle(low, high), high}
	}
	for _, bpm := range between {
		if t := click.Tempo(bpm) * 1000; t == t.Clamp() && !slices.Contains(g.Tempos, t) {
			g.Tempos = append(g.Tempos, t)
		}
	}
	return g
}

// middle is the traditional mark that is nearest to the middle of two tempos.
func middle(low, high int64) int64 {
	best := (low + high) / 2
	for i, m := range ladder.Marks() {
		off := func(m int64) int64 { return max(2*m-low-high, low+high-2*m) }
		if i == 0 || off(int64(m)) < off(best) {
			best = int64(m)
		}
	}
	return best
}
