package judge

import (
	"math"
	"sort"

	"footing/audio/hear"
)

// Start is where a rep was begun, and how fast it was played.
type Start struct {
	// Seconds at which its first note is expected.
	Seconds float64
	// Stretch is how much longer than expected the rep took, as a factor.
	Stretch float64
	// Notes that lie on its places.
	Notes int
}

const (
	// slowest and fastest stretch that are looked for, in steps of stretchStep; and
	// half and double.
	leastStretch, mostStretch, stretchStep = 0.80, 1.26, 0.01
	// A note lies on a place within nearPlace of the least distance of two.
	nearPlace = 0.35
	// A place without a note and a note without a place take so much of the score,
	// and a rep has wellBegun of its full score.
	missedScore, extraScore = 0.3, 0.5
	wellBegun               = 0.5
	// A rep whose first note is missing, which silence goes before, is less likely than
	// one without its last: by so much of the score.
	headless = 0.3
	// askedStretch is by how much a rep at the tempo that most keep is preferred.
	askedStretch = 0.03
)

// Starts finds the reps in a take whatever lies between them, given where a rep's
// notes lie after its first, in seconds: those that together explain the most,
// none overlapping (weighted interval scheduling). Each may be played at a
// tempo of its own: near the one that most keep, or near one of others, which are
// stretches that it may have been played at besides, as on the rungs of a climb.
// Onsets are in order of time; so are the starts.
func Starts(onsets []hear.Onset, rep []float64, others ...float64) []Start {
	if len(rep) < 2 || len(onsets) < 2 {
		return nil
	}
	var stretches []float64
	for f := leastStretch; f <= mostStretch; f += stretchStep {
		stretches = append(stretches, math.Round(f*100)/100)
	}
	stretches = append(stretches, 0.5, 2)
	// The tempo that most of it keeps, by itself.
	usual, best := 1.0, 0.0
	for _, f := range stretches {
		total := 0.0
		for _, s := range schedule(mayBegin(onsets, rep, f, nil)) {
			total += s.score
		}
		if f == 1 {
			total *= 1 + askedStretch
		}
		if total > best {
			usual, best = f, total
		}
	}
	var all []begunRep
	tried := map[int]bool{} // by twohundredths of their logarithm
	try := func(f float64) {
		if k := int(math.Round(math.Log(f) / (stretchStep / 2))); !tried[k] {
			tried[k] = true
			all = mayBegin(onsets, rep, f, all)
		}
	}
	for _, f := range stretches {
		if math.Abs(f-usual) < 0.13*usual || f == 1 {
			try(f)
		}
	}
	for _, f := range others {
		for _, by := range []float64{0, -0.01, 0.01, -0.02, 0.02} {
			try(f * (1 + by))
		}
	}
	for i := range all {
		if all[i].stretch == usual {
			all[i].score *= 1 + askedStretch
		}
	}
	// A click that is heard between the reps makes reps too, but not of this tune.
	tune := tuneOf(schedule(all))
	same := all[:0]
	for _, r := range all {
		if alike(r.midi, tune) >= samePlaces {
			same = append(same, r)
		}
	}
	var out []Start
	for _, r := range schedule(same) {
		out = append(out, Start{r.at, r.stretch, r.notes})
	}
	return out
}

// begunRep is a rep that may be there.
type begunRep struct {
	at, end, stretch, score float64
	notes                   int
	on                      []int // by place its note, -1 without
	midi                    []int // by place, 0 without a note
}

// samePlaces is the share of a rep's notes that are those of the other reps.
const samePlaces = 0.4

// alike is the share of the places of two reps, among those with a note in both,
// that have the same note.
func alike(a, b []int) float64 {
	same, both := 0, 0
	for i := range a {
		if i < len(b) && a[i] > 0 && b[i] > 0 {
			both++
			if a[i] == b[i] {
				same++
			}
		}
	}
	if both == 0 {
		return 1
	}
	return float64(same) / float64(both)
}

// tuneOf is the rep most like the others; the more kinds of notes it has the
// rather.
func tuneOf(reps []begunRep) (tune []int) {
	most := 0.0
	every := 1 + len(reps)/100
	for i, r := range reps {
		if i%every != 0 {
			continue
		}
		kinds := map[int]bool{}
		for _, m := range r.midi {
			kinds[m] = true
		}
		sum := 0.0
		for j := 0; j < len(reps); j += every {
			if j != i {
				sum += alike(r.midi, reps[j].midi)
			}
		}
		if sum *= float64(len(kinds)); sum > most {
			tune, most = r.midi, sum
		}
	}
	return tune
}

// mayBegin appends the reps that may begin at one of the notes, at one stretch.
func mayBegin(onsets []hear.Onset, rep []float64, stretch float64, out []begunRep) []begunRep {
	t := seconds(onsets)
	least := math.MaxFloat64
	for i := range rep[1:] {
		least = min(least, rep[i+1]-rep[i])
	}
	within := nearPlace * least * stretch
	for i := range t {
		for first := range 2 { // its first note may be missing
			r := fitRep(t, i, rep, first, stretch, within)
			r.score -= headless * float64(first)
			if r.score >= wellBegun*float64(len(rep)) {
				r.midi = make([]int, len(rep))
				for k, i := range r.on {
					if i >= 0 {
						r.midi[k] = onsets[i].Midi
					}
				}
				out = append(out, r)
			}
		}
	}
	return out
}

// fitRep sets a rep whose note first is note i of the take.
func fitRep(t []float64, i int, rep []float64, first int, stretch, within float64) begunRep {
	at := t[i] - rep[first]*stretch
	var off, score float64
	notes := 0
	on := make([]int, len(rep))
	for range 2 {
		score, notes = 0, 0
		sum := 0.0
		k := i
		for k > 0 && t[k-1] >= at-within {
			k--
		}
		for n, s := range rep {
			on[n] = -1
			place := at + s*stretch
			for k < len(t) && t[k] < place-within {
				score -= extraScore
				k++
			}
			if k >= len(t) || t[k] > place+within {
				score -= missedScore
				continue
			}
			for k+1 < len(t) && math.Abs(t[k+1]-place) < math.Abs(t[k]-place) {
				score -= extraScore
				k++
			}
			d := (t[k] - place) / within
			score += 1 - d*d
			sum += t[k] - place
			on[n] = k
			notes++
			k++
		}
		off = sum / float64(max(1, notes))
		at += off
	}
	return begunRep{at, at + rep[len(rep)-1]*stretch + within, stretch, score, notes, on, nil}
}

// schedule picks the reps that do not overlap and score the most, in order of
// time.
func schedule(reps []begunRep) []begunRep {
	sort.SliceStable(reps, func(i, j int) bool { return reps[i].end < reps[j].end })
	best := make([]float64, len(reps)+1)
	before := make([]int, len(reps))
	for i, r := range reps {
		// Those that end before this one begins.
		before[i] = sort.Search(i, func(k int) bool { return reps[k].end > r.at })
		best[i+1] = max(best[i], best[before[i]]+r.score)
	}
	var out []begunRep
	for i := len(reps); i > 0; {
		if best[i] == best[i-1] {
			i--
			continue
		}
		out = append(out, reps[i-1])
		i = before[i-1]
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	return out
}
