package engrave

import (
	"math"
	"slices"
)

// stretch is the factor k for which Σ max(rod, k·spring) is the width: exact, as
// the sum is piecewise linear in k. It is 0 where the rods alone are wider, and 1
// where nothing can stretch.
func stretch(links []link, width float64) float64 {
	var fixed, soft float64 // rods that hold, springs that do not touch theirs
	type knee struct{ k, rod, spring float64 }
	var knees []knee
	for _, l := range links {
		fixed += l.rod
		if l.spring > 0 {
			knees = append(knees, knee{l.rod / l.spring, l.rod, l.spring})
		}
	}
	if len(knees) == 0 {
		return 1
	}
	if fixed >= width {
		return 0
	}
	slices.SortFunc(knees, func(a, b knee) int {
		if a.k < b.k {
			return -1
		}
		return 1
	})
	for i, n := range knees {
		fixed -= n.rod
		soft += n.spring
		k := (width - fixed) / soft
		if i+1 == len(knees) || k <= knees[i+1].k {
			return k
		}
	}
	return 1
}

func (l link) at(k float64) float64 { return max(l.rod, k*l.spring) }

// badness is what a line costs whose springs are stretched or pressed by a share
// of their length (Knuth and Plass 1981, from memory).
func badness(ratio float64) float64 {
	b := 1 + 100*math.Pow(math.Abs(ratio), 3)
	return b * b
}

// Costs of lines besides their badness, ours.
const (
	overfull = 1e12 // a space too wide
	parted   = 1e6  // the chunk broken in its middle
	lonely   = 100  // a last line under half full
)

// breaks parts n units into lines so that the sum of their costs is least; it
// returns the first unit of each line. cost is of the line of the units from i up to
// j, and called for lines of up to reach units only.
func breaks(n, reach int, cost func(i, j int) float64) []int {
	best := make([]float64, n+1)
	from := make([]int, n+1)
	for j := 1; j <= n; j++ {
		best[j] = math.Inf(1)
		for i := j - 1; i >= max(0, j-reach); i-- {
			if c := best[i] + cost(i, j); c < best[j] {
				best[j], from[j] = c, i
			}
		}
	}
	var out []int
	for j := n; j > 0; j = from[j] {
		out = append(out, from[j])
	}
	slices.Reverse(out)
	return out
}
