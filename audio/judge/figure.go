package judge

import (
	"math"
	"slices"

	"footing/audio/hear"
	"footing/audio/stat"
)

// What is looped is often longer than a beat, and what comes back is then the
// figure's and not the beat's: its own notes are judged where that explains the
// take better.
const (
	longestFigure = 32 // slots
	// samePitch is the share of the notes that are the same a figure later.
	samePitch = 0.85
	// So large a share of them must have one a figure later that was heard as well.
	ofStretch = 0.4
	// A figure is judged by its own notes when it was played figureReps times, or as
	// often as there are stretches, fewStretches at least.
	figureReps   = 4
	fewStretches = 3
	// figureBelow is the chance, at most, that a beat's slots alone scatter so much
	// more than the figure's.
	figureBelow = 0.01
)

// figure finds how many slots what is played over and over has, and in which of
// them each stretch begins; 0 where the pitches do not come back.
func (a *aligned) figure(midi []int) (n int, begins map[int]int) {
	stretches, count := a.stretches(true)
	pitch, held := make([]int, len(a.places)), 0
	first, last := make([]int, count), make([]int, count)
	for k := range first {
		first[k] = -1
	}
	for i, j := range a.owner {
		if j < 0 {
			continue
		}
		pitch[j] = midi[i]
		held++
		k := stretches[j]
		if first[k] < 0 {
			first[k] = j
		}
		last[k] = j
	}
	same := func(n int) (share float64, pairs int) {
		hits := 0
		for j := range len(pitch) - n {
			if pitch[j] > 0 && pitch[j+n] > 0 && stretches[j] == stretches[j+n] {
				pairs++
				if pitch[j] == pitch[j+n] {
					hits++
				}
			}
		}
		return float64(hits) / float64(max(1, pairs)), pairs
	}
	best := 0.0
	for k := 2; k <= longestFigure; k++ {
		// A few notes at the end of each stretch that are those of its beginning make no
		// figure of the rest.
		share, pairs := same(k)
		if pairs >= 2*k && float64(pairs) > ofStretch*float64(held) && share > best+0.03 {
			n, best = k, share
		}
	}
	if best < samePitch {
		// Perhaps each stretch is one rep.
		n = 0
		var lengths []float64
		for k := range count {
			if first[k] >= 0 {
				lengths = append(lengths, float64(last[k]-first[k]+1))
			}
		}
		if len(lengths) < fewStretches {
			return 0, nil
		}
		n = int(stat.Median(lengths))
		if n < 2 || n > longestFigure {
			return 0, nil
		}
	}
	// What is played on each slot, by the longest stretch, and where the others
	// begin in it.
	longest := 0
	for k := range count {
		if first[k] >= 0 && (first[longest] < 0 || last[k]-first[k] > last[longest]-first[longest]) {
			longest = k
		}
	}
	if first[longest] < 0 {
		return 0, nil
	}
	tune := make([]int, n)
	for j := first[longest]; j <= min(last[longest], first[longest]+n-1); j++ {
		tune[j-first[longest]] = pitch[j]
	}
	begins = map[int]int{}
	hits, notes := 0, 0
	for k := range count {
		if first[k] < 0 {
			continue
		}
		most, in := -1, 0
		for phase := range n {
			fits := 0
			for j := first[k]; j <= last[k]; j++ {
				if pitch[j] > 0 && pitch[j] == tune[mod(j-first[k]+phase, n)] {
					fits++
				}
			}
			if fits > most {
				most, in = fits, phase
			}
		}
		begins[k] = in
		hits += most
		for j := first[k]; j <= last[k]; j++ {
			if pitch[j] > 0 {
				notes++
			}
		}
	}
	if float64(hits) < samePitch*float64(notes) {
		return 0, nil
	}
	// The take's first note begins the figure.
	for k := range count {
		if first[k] >= 0 {
			on := begins[k]
			for k := range begins {
				begins[k] = mod(begins[k]-on, n)
			}
			break
		}
	}
	return n, begins
}

// regrouped counts the slots by a figure of n, of which each stretch begins in
// some slot; what lies between two stretches is no place at all. With from, slot
// 1 is a place of that many slots after the first note.
func (a *aligned) regrouped(n int, begins map[int]int) aligned {
	stretches, count := a.stretches(true)
	b := aligned{fit: a.fit}
	first, last := make([]int, count), make([]int, count)
	for k := range first {
		first[k] = -1
	}
	for _, j := range a.owner {
		if j >= 0 {
			k := stretches[j]
			if first[k] < 0 || j < first[k] {
				first[k] = j
			}
			last[k] = max(last[k], j)
		}
	}
	// A note that is only missing parts nothing: the figure goes on in time.
	for k := range count - 1 {
		if first[k] < 0 || first[k+1] < 0 || first[k+1]-last[k] > n {
			continue
		}
		if mod(first[k+1]-first[k]+begins[k], n) == begins[k+1] {
			last[k] = first[k+1] - 1
		}
	}
	in := make([]int, len(a.places))
	for j := range in {
		in[j] = stretches[j]
		if k := in[j]; k > 0 && first[k] >= 0 && j < first[k] && j <= last[k-1] {
			in[j]--
		}
	}
	to := make([]int, len(a.places))
	rep, before := 0, -1
	for j, p := range a.places {
		k := in[j]
		to[j] = -1
		if first[k] < 0 || j < first[k] || j > last[k] {
			continue
		}
		slot := mod(j-first[k]+begins[k], n)
		if before < 0 || slot == 0 || j == first[k] && slot <= before {
			rep++
		}
		before = slot
		to[j] = len(b.places)
		p.Slot, p.Rep = slot+1, rep
		b.places = append(b.places, p)
		b.spans = append(b.spans, a.spans[j])
		b.shift = append(b.shift, a.shift[j])
	}
	b.owner, b.double = slices.Clone(a.owner), slices.Clone(a.double)
	for i := range b.owner {
		if b.owner[i] >= 0 {
			b.owner[i] = to[b.owner[i]]
		}
		if b.double[i] >= 0 {
			b.double[i] = to[b.double[i]]
		}
	}
	b.entries, b.pace = a.entries, a.pace
	return b
}

// left is by how much the notes lie off their slots' medians, by slot.
func (a *aligned) left(t []float64) map[int][]float64 {
	by := map[int][]float64{}
	for i, j := range a.owner {
		if j >= 0 {
			by[a.places[j].Slot] = append(by[a.places[j].Slot], t[i]-a.expected(j))
		}
	}
	for k, v := range by {
		m := stat.Median(v)
		for i := range v {
			by[k][i] -= m
		}
	}
	return by
}

// better tells whether a figure's own slots hold much less scatter than the
// beat's: by an F test, in which no single slip counts for much.
func (a *aligned) better(by aligned, t []float64) bool {
	beat, figure := a.left(t), by.left(t)
	var all []float64
	for _, v := range figure {
		for _, d := range v {
			all = append(all, math.Abs(d))
		}
	}
	most := tightness * 1.4826 * stat.Median(all)
	scatter := func(by map[int][]float64) (sum, df float64) {
		for _, v := range by {
			for _, d := range v {
				d = min(math.Abs(d), 2*most)
				sum += d * d
			}
			df += float64(len(v) - 1)
		}
		return sum, df
	}
	wide, dfWide := scatter(beat)
	narrow, df := scatter(figure)
	if df < 3 || dfWide <= df {
		return false
	}
	f := (wide - narrow) / (dfWide - df) / max(narrow/df, 1e-9)
	return stat.Over(f, dfWide-df, df) < figureBelow
}

// byFigure is a with its slots counted by the figure that is played over and over,
// where there is one and that explains the take better, or stretches are parted by
// breaths. The grid then has its cycle.
func (a aligned) byFigure(onsets []hear.Onset, g *Grid) aligned {
	if g.Cycle > 0 {
		return a // the player said so
	}
	midi := make([]int, len(onsets))
	for i, o := range onsets {
		midi[i] = o.Midi
	}
	n, begins := a.figure(midi)
	_, stretches := a.stretches(true)
	if n == 0 || n == g.SlotsPerBeat && stretches == 1 {
		return a
	}
	if n%g.SlotsPerBeat == 0 {
		// The figure's beats are the grid's.
		on := 0
		for j := range a.places {
			if slices.Contains(a.owner, j) {
				on = a.places[j].Slot - 1
				break
			}
		}
		for k := range begins {
			begins[k] = mod(begins[k]+on, n)
		}
	}
	b := a.regrouped(n, begins)
	least := figureReps
	if stretches > 1 {
		least = stretches // breaths tell where each begins
	}
	if len(b.places) == 0 || b.places[len(b.places)-1].Rep < least {
		return a
	}
	t := seconds(onsets)
	b.lean(t, true)
	if stretches < fewStretches && !a.better(b, t) {
		return a
	}
	g.Cycle = n
	return b
}
