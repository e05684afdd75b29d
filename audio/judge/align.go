package judge

import (
	"math"
	"sort"

	"footing/audio/hear"
	"footing/audio/stat"
)

// line is what a take's own offset and drift do to a time of the grid:
// heard = at + offset + rate·at.
type line struct{ offset, rate float64 }

func (l line) of(at float64) float64 { return at + l.offset + l.rate*at }

// aligned is the notes of a take on a list of places.
type aligned struct {
	places []Place // the slots within the take, in order of time
	spans  []float64
	owner  []int // for each onset the index of its place, or -1
	double []int // for each unowned onset the place it doubles, or -1
	fit    line
	// shift is by how much later the notes of each place lie than on the line, in
	// seconds, nil before that is known; entries by how much each stretch begins
	// late, and pace how much slower than the grid all of them go, as a share.
	shift   []float64
	entries []float64
	pace    float64
}

// The costs of the alignment, in squared slots: a late note is a late note up
// to half a slot and a little more, before it is a missed one and an extra one;
// and a note has its place before it is extra.
const (
	missedCost = 0.16
	extraCost  = 0.17
	farthest   = 0.6
	doubleNear = 0.4
)

// align matches onsets to the grid one to one and in order, at least cost.
func align(onsets []hear.Onset, g Grid) aligned {
	t := seconds(onsets)
	places, fit := g.over(t)
	a := aligned{places: places, spans: spans(places), fit: fit}
	a.settle(t, robustLine)
	a.follow(t, g.Regular())
	if g.Regular() {
		a.trim()
	}
	return a
}

// seconds are the times of onsets.
func seconds(onsets []hear.Onset) []float64 {
	t := make([]float64, len(onsets))
	for i, o := range onsets {
		t[i] = o.Seconds
	}
	return t
}

// settle matches and fits in turn: each pass lays the take's line, by fit,
// through what the last one matched.
func (a *aligned) settle(t []float64, fit func(x, y []float64, slot []int) line) {
	for range 3 {
		a.match(t)
		a.refit(t, fit)
	}
	a.doubles(t)
}

// trim cuts an endless grid to the slots from the first note to the last, and
// counts the reps from there.
func (a *aligned) trim() {
	first, last := len(a.places), -1
	for _, j := range a.owner {
		if j >= 0 {
			first, last = min(first, j), max(last, j)
		}
	}
	if last < 0 {
		return
	}
	a.places, a.spans, a.shift = a.places[first:last+1], a.spans[first:last+1], a.shift[first:last+1]
	for i := range a.owner {
		if a.owner[i] >= 0 {
			a.owner[i] -= first
		}
		if a.double[i] >= 0 {
			a.double[i] -= first
		}
	}
	before := a.places[0].Rep - 1
	for j := range a.places {
		a.places[j].Rep -= before
	}
}

// over lists the places of the grid that the take covers, and a first guess of
// how the take lies on them.
func (g Grid) over(t []float64) ([]Place, line) {
	if len(g.Places) > 0 {
		return g.Places, line{offset: offsetOf(t, g.Places)}
	}
	p := g.slotSeconds()
	index, jumps, drift := track(t, g.First, p)
	// A slot more at either end, so that a first or last note far out of
	// place still has its own.
	var places []Place
	k := 0
	for i := index[0] - 1; i <= index[len(index)-1]+1; i++ {
		for k+1 < len(index) && i >= index[k+1] {
			k++
		}
		places = append(places, Place{
			Seconds: g.First + float64(i)*p + jumps[k],
			Slot:    mod(i, g.cycle()) + 1,
			Rep:     floorDiv(i, g.cycle()) - floorDiv(index[0], g.cycle()) + 1,
		})
	}
	return places, drift
}

func (g Grid) slotSeconds() float64 { return 60 / g.BPM / float64(g.SlotsPerBeat) }

// track follows the notes along a regular grid from the first to the last,
// letting the phase and the period give way slowly, and returns the slot
// nearest to each, by how many seconds the grid was begun anew after breaths, and
// the line through them.
func track(t []float64, first, p float64) (index []int, jumps []float64, fit line) {
	index, jumps = make([]int, len(t)), make([]float64, len(t))
	phase, rate, jump := 0.0, 0.0, 0.0
	for i, v := range t {
		if i > 0 {
			phase += rate * (v - t[i-1]) / p
		}
		u := (v-first)/p - phase
		index[i] = int(math.Round(u))
		r := u - float64(index[i])
		if i > 0 && v-t[i-1] > breakSlots*p && begun(t[i:], u, p) {
			phase += r
			jump += r * p
			r = 0
		}
		jumps[i] = jump
		if math.Abs(r) < 0.4 {
			phase += 0.2 * r
			if i > 3 {
				rate += 0.02 * r
			}
		}
	}
	var x, y []float64
	for i, v := range t {
		at := first + float64(index[i])*p + jumps[i]
		x, y = append(x, at), append(y, v-at)
	}
	return index, jumps, robustLine(x, y, make([]int, len(x)))
}

// begun tells whether the notes from the first of t on, which lies at slot u, were
// begun anew: the next ones lie as far off the grid as it does, and that is far.
func begun(t []float64, u, p float64) bool {
	const notes, far, alike = 4, 0.15, 0.15
	r := u - math.Round(u)
	if len(t) < notes || math.Abs(r) < far {
		return false
	}
	for _, v := range t[1:notes] {
		q := u + (v-t[0])/p - r
		if math.Abs(q-math.Round(q)) > alike {
			return false
		}
	}
	return true
}

// offsetOf is by how much the take lies later than the places: the shift with
// the most notes near their places, the smallest one among equals.
func offsetOf(t []float64, places []Place) float64 {
	const heads = 24
	s := spans(places)
	best, bestScore := 0.0, -1.0
	try := func(shift float64) {
		score := -1e-6 * math.Abs(shift)
		j := 0
		for _, v := range t {
			for j < len(places)-1 && math.Abs(places[j+1].Seconds+shift-v) <= math.Abs(places[j].Seconds+shift-v) {
				j++
			}
			if d := math.Abs(places[j].Seconds+shift-v) / s[j]; d < 0.5 {
				score += 1 - 2*d
			}
		}
		if score > bestScore {
			best, bestScore = shift, score
		}
	}
	try(0)
	for i := 0; i < len(t) && i < heads; i++ {
		for j := 0; j < len(places) && j < heads; j++ {
			try(t[i] - places[j].Seconds)
		}
	}
	return best
}

// spans is for each place the distance to its nearer neighbour, in seconds.
func spans(places []Place) []float64 {
	s := make([]float64, len(places))
	for i := range places {
		s[i] = 1
		if i > 0 {
			s[i] = places[i].Seconds - places[i-1].Seconds
		}
		if i+1 < len(places) {
			if d := places[i+1].Seconds - places[i].Seconds; i == 0 || d < s[i] {
				s[i] = d
			}
		}
		s[i] = max(s[i], 1e-3)
	}
	return s
}

// match finds the cheapest alignment by dynamic programming over a band around
// the present fit.
func (a *aligned) match(t []float64) {
	n, m := len(t), len(a.places)
	const band = 12
	type cell struct {
		cost float64
		from int8 // 0 start, 1 match, 2 missed, 3 extra
	}
	centre := make([]int, n+1)
	for i, v := range t {
		centre[i+1] = sort.Search(m, func(j int) bool { return a.expected(j) >= v }) + 1
	}
	width := 2*band + 1
	rows := make([]cell, (n+1)*width)
	at := func(i, j int) *cell {
		k := j - centre[i] + band
		if k < 0 || k >= width || j < 0 || j > m {
			return nil
		}
		return &rows[i*width+k]
	}
	for i := range rows {
		rows[i].cost = math.Inf(1)
	}
	for i := 0; i <= n; i++ {
		for j := max(0, centre[i]-band); j <= min(m, centre[i]+band); j++ {
			c := at(i, j)
			// Slots before the first note and after the last cost nothing
			// extra here: they are not missed, the take does not hold them.
			if i == 0 {
				c.cost, c.from = 0, 0
				continue
			}
			if p := at(i-1, j-1); j > 0 && p != nil {
				d := (t[i-1] - a.expected(j-1)) / a.spans[j-1]
				if math.Abs(d) <= farthest && p.cost+d*d < c.cost {
					c.cost, c.from = p.cost+d*d, 1
				}
			}
			if p := at(i, j-1); j > 0 && p != nil && p.cost+missedCost < c.cost {
				c.cost, c.from = p.cost+missedCost, 2
			}
			if p := at(i-1, j); p != nil && p.cost+extraCost < c.cost {
				c.cost, c.from = p.cost+extraCost, 3
			}
		}
	}
	a.owner = make([]int, n)
	for i := range a.owner {
		a.owner[i] = -1
	}
	i, j, best := n, 0, math.Inf(1)
	for k := max(0, centre[n]-band); k <= min(m, centre[n]+band); k++ {
		if c := at(n, k); c.cost < best {
			best, j = c.cost, k
		}
	}
	for i > 0 {
		c := at(i, j)
		if c == nil || math.IsInf(c.cost, 1) {
			break
		}
		switch c.from {
		case 1:
			a.owner[i-1] = j - 1
			i, j = i-1, j-1
		case 2:
			j--
		case 3:
			i--
		default:
			return
		}
	}
}

// refit lays the take's line through the matched notes.
func (a *aligned) refit(t []float64, fit func(x, y []float64, slot []int) line) {
	var x, y []float64
	var slot []int
	for i, v := range t {
		if j := a.owner[i]; j >= 0 {
			x, y = append(x, a.places[j].Seconds), append(y, v-a.places[j].Seconds)
			slot = append(slot, a.places[j].Slot)
		}
	}
	if len(x) > 0 {
		a.fit = fit(x, y, slot)
	}
}

// doubles tells which of the notes without a slot are second notes on one.
func (a *aligned) doubles(t []float64) {
	a.double = make([]int, len(t))
	taken := make([]bool, len(a.places))
	for _, j := range a.owner {
		if j >= 0 {
			taken[j] = true
		}
	}
	for i, v := range t {
		a.double[i] = -1
		if a.owner[i] >= 0 {
			continue
		}
		j := sort.Search(len(a.places), func(j int) bool { return a.expected(j) >= v })
		for _, k := range []int{j - 1, j} {
			if k >= 0 && k < len(a.places) && taken[k] &&
				math.Abs(v-a.expected(k)) < doubleNear*a.spans[k] {
				a.double[i] = k
			}
		}
	}
}

// robustLine is the line of medians (Theil 1950, Sen 1968) through y over x,
// with slopes between points of the same kind only, so that a slot that is
// always late makes no drift; with fewer than eight points, or with a slope
// that no player keeps (over 10 %), the median alone.
func robustLine(x, y []float64, kind []int) line {
	n := len(x)
	if n == 0 {
		return line{}
	}
	slope := 0.0
	if n >= 8 {
		s := slopes(x, y, kind)
		if len(s) < 4 {
			s = slopes(x, y, make([]int, n))
		}
		if len(s) > 0 {
			slope = stat.Median(s)
		}
		if math.Abs(slope) > 0.1 {
			slope = 0
		}
	}
	r := make([]float64, n)
	for i := range x {
		r[i] = y[i] - slope*x[i]
	}
	return line{offset: stat.Median(r), rate: slope}
}

// slopes are those between points of one kind that lie half the take apart:
// they hold nearly all there is to know of the line, and there are only half
// as many of them as points.
func slopes(x, y []float64, kind []int) []float64 {
	of := map[int][]int{}
	for i, k := range kind {
		of[k] = append(of[k], i)
	}
	var s []float64
	for i, k := range kind {
		same := of[k]
		h := len(same) / 2
		if h == 0 || i != same[0] {
			continue
		}
		for p := 0; p+h < len(same); p++ {
			a, b := same[p], same[p+h]
			if d := x[b] - x[a]; d > 0 {
				s = append(s, (y[b]-y[a])/d)
			}
		}
	}
	return s
}

func mod(a, b int) int { return ((a % b) + b) % b }

func floorDiv(a, b int) int { return (a - mod(a, b)) / b }
