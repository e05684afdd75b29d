package angle

import (
	"math/rand/v2"
	"slices"
)

// Draw is one of some angles for each of a row of reps, from 0: always the same for
// a seed, each as often as the others, and never one twice running where there are
// two or more.
func Draw(all []Angle, seed uint64, rep int) Angle {
	n := len(all)
	if n == 0 {
		return Angle{}
	}
	if n == 2 {
		return shuffled(all, seed, 0)[rep%2] // by turns
	}
	round := rep / n
	order := shuffled(all, seed, round)
	if before := shuffled(all, seed, round-1); round > 0 && n > 1 && order[0] == before[n-1] {
		order[0], order[1] = order[1], order[0] // which leaves the last of a round where it is
	}
	return order[rep%n]
}

func shuffled(all []Angle, seed uint64, round int) []Angle {
	out := slices.Clone(all)
	r := rand.New(rand.NewPCG(seed, uint64(round)))
	r.Shuffle(len(out), func(i, k int) { out[i], out[k] = out[k], out[i] })
	return out
}
