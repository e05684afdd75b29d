package follow

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawWants are notes of a rep, at unlike distances.
func drawWants(t *rapid.T, least int) []Want {
	out := make([]Want, rapid.IntRange(least, 12).Draw(t, "notes"))
	at := 1.0
	for i := range out {
		at += rapid.SampledFrom([]float64{0.12, 0.2, 0.25, 0.5, 1, 5}).Draw(t, "long")
		out[i] = Want{Seconds: at, Sounds: []float64{float64(rapid.IntRange(40, 80).Draw(t, "key"))}}
	}
	return out
}

// drawHeard is what might be heard of them: some left out, some put in, some of
// another pitch or none, all a little off.
func drawHeard(t *rapid.T, wants []Want) []Heard {
	var out []Heard
	for _, w := range wants {
		h := Heard{w.Seconds + rapid.Float64Range(-0.1, 0.1).Draw(t, "late"), w.Sounds[0] + rapid.Float64Range(-0.3, 0.3).Draw(t, "cents")}
		switch rapid.IntRange(0, 7).Draw(t, "how") {
		case 0:
			continue
		case 1:
			h.Note = float64(rapid.IntRange(40, 80).Draw(t, "other"))
		case 2:
			h.Note = 0
		case 3:
			out = append(out, Heard{h.Seconds + rapid.SampledFrom([]float64{-0.3, -0.05, 0.05, 4}).Draw(t, "beside"), float64(rapid.IntRange(40, 80).Draw(t, "extra"))})
		}
		out = append(out, h)
	}
	slices.SortFunc(out, func(a, b Heard) int {
		if a.Seconds < b.Seconds {
			return -1
		}
		return 1
	})
	return out
}

// costOf is what an alignment costs.
func costOf(wants []Want, heard []Heard, owner []int) float64 {
	s, sum, used := spans(wants), 0.0, 0
	for i, j := range owner {
		if j < 0 {
			sum += missedCost
			continue
		}
		used++
		sum += pair(wants[i], s[i], heard[j])
	}
	return sum + extraCost*float64(len(heard)-used)
}

// least is the cost of the best alignment, found by trying all.
func least(wants []Want, heard []Heard) float64 {
	best := math.Inf(1)
	owner := make([]int, len(wants))
	var try func(i, from int)
	try = func(i, from int) {
		if i == len(wants) {
			best = min(best, costOf(wants, heard, owner))
			return
		}
		owner[i] = -1
		try(i+1, from)
		for j := from; j < len(heard); j++ {
			owner[i] = j
			try(i+1, j+1)
		}
	}
	try(0, 0)
	return best
}

// No alignment costs less.
func TestAlignCostsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wants := drawWants(t, 0)
		wants = wants[:min(len(wants), 6)]
		heard := drawHeard(t, wants)
		heard = heard[:min(len(heard), 7)]
		owner := Align(wants, heard)
		if got, want := costOf(wants, heard, owner), least(wants, heard); math.Abs(got-want) > 1e-9 {
			t.Fatalf("%v costs %.6f, least is %.6f", owner, got, want)
		}
	})
}

// Wants have notes of their own, in order; a take moved in time, or in pitch with
// its notes, is aligned alike.
func TestAlignKeepsOrderAndDoesNotMind(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wants := drawWants(t, 0)
		heard := drawHeard(t, wants)
		owner := Align(wants, heard)
		last := -1
		for _, j := range owner {
			if j >= 0 && j <= last || j >= len(heard) {
				t.Fatalf("%v", owner)
			}
			last = max(last, j)
		}
		by, up := float64(rapid.IntRange(-64, 64).Draw(t, "quarters"))/4, float64(rapid.IntRange(-20, 20).Draw(t, "up"))
		moved, other := slices.Clone(wants), slices.Clone(heard)
		for i := range moved {
			moved[i].Seconds += by
			moved[i].Sounds = []float64{moved[i].Sounds[0] + up}
		}
		for j := range other {
			other[j].Seconds += by
			if other[j].Note != 0 {
				other[j].Note += up
			}
		}
		if got := Align(moved, other); math.Abs(costOf(moved, other, got)-costOf(wants, heard, owner)) > 1e-9 {
			t.Fatalf("moved by %v s and %v semitones: %v, want %v", by, up, got, owner)
		}
	})
}

// What belongs to what, where time alone or pitch alone would err.
func TestAlign(t *testing.T) {
	const n = 0.25 // from note to note
	row := func(keys ...float64) (out []Want) {
		for i, k := range keys {
			out = append(out, Want{Seconds: 1 + n*float64(i), Sounds: []float64{k}})
		}
		return out
	}
	at := func(i, key float64) Heard { return Heard{1 + n*i, key} }
	for name, tt := range map[string]struct {
		wants []Want
		heard []Heard
		want  []int
	}{
		"as written":           {row(60, 62, 64), []Heard{at(0, 60), at(1, 62), at(2, 64)}, []int{0, 1, 2}},
		"a wrong one":          {row(60, 62, 64), []Heard{at(0, 60), at(1.1, 63), at(2, 64)}, []int{0, 1, 2}},
		"one left out":         {row(60, 62, 64), []Heard{at(0, 60), at(2, 64)}, []int{0, -1, 1}},
		"one put in":           {row(60, 62, 64), []Heard{at(0, 60), at(0.5, 61), at(1, 62), at(2, 64)}, []int{0, 2, 3}},
		"one put in, and late": {row(60, 62, 64), []Heard{at(0, 60), at(0.9, 61), at(1.3, 62), at(2, 64)}, []int{0, 2, 3}},
		"left out, and early":  {row(60, 62, 64, 65, 67), []Heard{at(0, 60), at(1, 64), at(2, 65), at(3, 67)}, []int{0, -1, 1, 2, 3}},
		"very late":            {row(60, 62, 64), []Heard{at(0, 60), at(1.7, 62), at(2, 64)}, []int{0, 1, 2}},
		"an octave heard":      {row(60, 62, 64), []Heard{at(0, 60), at(1.3, 74), at(2, 64)}, []int{0, 1, 2}},
		"no pitch":             {row(60, 62, 64), []Heard{at(0, 60), at(1, 0), at(2, 64)}, []int{0, 1, 2}},
		"nothing":              {row(60, 62), nil, []int{-1, -1}},
		"nothing asked":        {nil, []Heard{at(0, 60)}, []int{}},
		"long after":           {row(60), []Heard{at(100, 60)}, []int{-1}},
		"a chord":              {[]Want{{Seconds: 1, Sounds: []float64{67, 60}}}, []Heard{at(0, 60)}, []int{0}},
	} {
		if got := Align(tt.wants, tt.heard); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", name, got, tt.want)
		}
	}
}
