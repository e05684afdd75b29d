// Package score compares a list of onsets with the truth, as the onset
// evaluation of the mir_eval project does: one to one, by a maximum matching,
// the window's edge included.
package score

// Pair is one match: indices into the reference and the estimate.
type Pair struct{ Ref, Est int }

// Score is the outcome of a comparison; the three figures run from 0 to 1, and
// are 0 when either list is empty.
type Score struct {
	Matched, Reference, Estimated int
	F, Precision, Recall          float64
}

// Match returns a maximum one-to-one matching of ref and est, in order of the
// reference, where a pair lies at most window seconds apart (inclusive). Both
// lists are in ascending order of seconds.
//
// On a line with one window for all, taking for each reference in turn the
// earliest estimate that is still free and not too early is a maximum
// bipartite matching: swapping any other choice for it never loses a pair.
func Match(ref, est []float64, window float64) []Pair {
	var pairs []Pair
	next := 0
	for i, r := range ref {
		for next < len(est) && est[next] < r && r-est[next] > window {
			next++
		}
		if next < len(est) && abs(est[next]-r) <= window {
			pairs = append(pairs, Pair{Ref: i, Est: next})
			next++
		}
	}
	return pairs
}

// Onsets scores est against ref, both in seconds and in any order, with a
// window in seconds to either side.
func Onsets(ref, est []float64, window float64) Score {
	ref, est = sorted(ref), sorted(est)
	return Of(len(Match(ref, est, window)), len(ref), len(est))
}

// Of is the score for so many matches among so many of each.
func Of(matched, reference, estimated int) Score {
	s := Score{Matched: matched, Reference: reference, Estimated: estimated}
	if reference == 0 || estimated == 0 {
		return s
	}
	s.Precision = float64(matched) / float64(estimated)
	s.Recall = float64(matched) / float64(reference)
	if matched > 0 {
		s.F = 2 * s.Precision * s.Recall / (s.Precision + s.Recall)
	}
	return s
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
