package judge

import (
	"math"

	"footing/audio/stat"
)

// A player takes breath, begins again and goes a little faster or slower than
// last time, and none of it is a habit of the hands. So each stretch that was
// played without a break has its own start and its own small tempo, and the slots
// are compared within it.
const (
	// breakSlots slots without a note end a stretch on an endless grid, where
	// there are so many notes on either side.
	breakSlots   = 1.75
	stretchNotes = 4
	// wanderNotes to either side tell where the tempo of a long stretch bends to.
	wanderNotes = 10
	// leastSlopes points make a slope of a stretch.
	leastSlopes = 4
	// mostTempo is the most that a stretch's tempo may differ.
	mostTempo = 0.12
)

// point is a note on its place.
type point struct {
	at, late      float64 // seconds: of the place, and of the note after it
	slot, stretch int
}

// follow finds where each stretch of the take begins and how fast it goes, and
// matches the notes again.
func (a *aligned) follow(t []float64, regular bool) {
	for range 2 {
		a.lean(t, regular)
		a.match(t)
	}
	a.lean(t, regular)
	a.doubles(t)
}

// expected is where the note of a place lies by all that is known of the take.
func (a *aligned) expected(j int) float64 {
	at := a.fit.of(a.places[j].Seconds)
	if a.shift != nil {
		at += a.shift[j]
	}
	return at
}

// lean sets the shifts of all places.
func (a *aligned) lean(t []float64, regular bool) {
	stretches, n := a.stretches(regular)
	var points []point
	slots := 0
	for i, v := range t {
		if j := a.owner[i]; j >= 0 {
			p := a.places[j]
			points = append(points, point{p.Seconds, v - a.fit.of(p.Seconds), p.Slot, stretches[j]})
			slots = max(slots, p.Slot)
		}
	}
	a.shift = make([]float64, len(a.places))
	if len(points) == 0 {
		return
	}
	s := newLeaning(points, n, slots)
	s.offsets()
	s.profile()
	s.slopes()
	s.offsets()
	s.profile()
	if !regular {
		s.tempo()
	}
	s.offsets()
	s.fill()
	var wander []float64
	if regular {
		wander = s.wander()
	}
	k := 0
	for j, p := range a.places {
		a.shift[j] = s.lines[stretches[j]].late(p.Seconds)
		if wander == nil {
			continue
		}
		for k+1 < len(points) && points[k+1].at <= p.Seconds {
			k++
		}
		if points[k].stretch == stretches[j] {
			a.shift[j] += wander[k]
		}
	}
	a.entries = s.starts()
	a.pace = s.common
}

// stretches gives each place its stretch: the rep where the grid has places of
// its own, else what lies between two breaks.
func (a *aligned) stretches(regular bool) (of []int, n int) {
	of = make([]int, len(a.places))
	if !regular {
		number := map[int]int{}
		for j, p := range a.places {
			k, ok := number[p.Rep]
			if !ok {
				k = len(number)
				number[p.Rep] = k
			}
			of[j] = k
		}
		return of, len(number)
	}
	played := make([]bool, len(a.places))
	left := 0
	for _, j := range a.owner {
		if j >= 0 {
			played[j] = true
			left++
		}
	}
	notes, last := 0, -1
	for j := range a.places {
		if played[j] {
			if last >= 0 && float64(j-last) > breakSlots && notes >= stretchNotes && left >= stretchNotes {
				n++
				notes = 0
				for k := (last + j + 1) / 2; k < j; k++ {
					of[k] = n
				}
			}
			notes++
			left--
			last = j
		}
		of[j] = n
	}
	return of, n + 1
}

// tilt is by how much a stretch lies later than the take's line: at its middle,
// and the more the later.
type tilt struct {
	middle, offset, slope float64
	notes                 int
}

func (l tilt) late(at float64) float64 { return l.offset + l.slope*(at-l.middle) }

// leaning is the working of lean: what is late is the slot's own share and the
// stretch's.
type leaning struct {
	points []point
	of     [][]int // points by stretch
	lines  []tilt
	own    []float64 // by slot
	common float64   // slope that all stretches share
}

func newLeaning(points []point, stretches, slots int) *leaning {
	s := &leaning{points: points, of: make([][]int, stretches), lines: make([]tilt, stretches), own: make([]float64, slots+1)}
	for i, p := range points {
		s.of[p.stretch] = append(s.of[p.stretch], i)
	}
	for k, list := range s.of {
		l := &s.lines[k]
		l.notes = len(list)
		for _, i := range list {
			l.middle += points[i].at / float64(len(list))
		}
	}
	return s
}

// offsets are the stretches' starts, by the medians of their notes.
func (s *leaning) offsets() {
	for k, list := range s.of {
		var v []float64
		l := &s.lines[k]
		for _, i := range list {
			p := s.points[i]
			v = append(v, p.late-s.own[p.slot]-l.slope*(p.at-l.middle))
		}
		l.offset = stat.Median(v)
	}
}

// profile is the slots' own share, its median 0.
func (s *leaning) profile() {
	by := make([][]float64, len(s.own))
	for _, p := range s.points {
		by[p.slot] = append(by[p.slot], p.late-s.lines[p.stretch].late(p.at))
	}
	var mid []float64
	for k, v := range by {
		if len(v) > 0 {
			s.own[k] = stat.Median(v)
			mid = append(mid, s.own[k])
		}
	}
	m := stat.Median(mid)
	for k, v := range by {
		if len(v) > 0 {
			s.own[k] -= m
		}
	}
}

// slopes are the stretches' own tempos, as far as they differ by more than their
// notes' scatter has it (an empirical Bayes estimate: Efron & Morris 1975, J. Am.
// Stat. Assoc. 70, 311).
func (s *leaning) slopes() {
	var left []float64
	for _, p := range s.points {
		left = append(left, math.Abs(p.late-s.own[p.slot]-s.lines[p.stretch].late(p.at)))
	}
	scale := 1.4826 * stat.Median(left)
	slope, unsure := make([]float64, len(s.of)), make([]float64, len(s.of))
	var between []float64
	for k, list := range s.of {
		if len(list) < leastSlopes {
			continue
		}
		var v []float64
		spread := 0.0
		step := max(1, len(list)*len(list)/2000)
		n := 0
		for a, i := range list {
			p := s.points[i]
			spread += (p.at - s.lines[k].middle) * (p.at - s.lines[k].middle)
			for _, j := range list[a+1:] {
				q := s.points[j]
				if n++; q.at > p.at && n%step == 0 {
					v = append(v, (q.late-s.own[q.slot]-p.late+s.own[p.slot])/(q.at-p.at))
				}
			}
		}
		slope[k] = stat.Median(v)
		unsure[k] = 1.1 * scale * scale / max(1e-9, spread)
		between = append(between, slope[k]*slope[k]-unsure[k])
	}
	mean, _ := stat.MeanSpread(between)
	mean = max(0, mean)
	for k := range s.lines {
		if unsure[k] > 0 || scale == 0 {
			share := 1.0
			if mean+unsure[k] > 0 {
				share = mean / (mean + unsure[k])
			}
			s.lines[k].slope = max(-mostTempo, min(mostTempo, slope[k]*share))
		}
	}
}

// tempo moves a slope of all slots together, which is a tempo and no habit, from
// the slots to the stretches: where it explains most of what the slots lie off.
func (s *leaning) tempo() {
	at, n := make([]float64, len(s.own)), make([]float64, len(s.own))
	for _, p := range s.points {
		at[p.slot] += p.at - s.lines[p.stretch].middle
		n[p.slot]++
	}
	var x, y []float64
	for k := range s.own {
		if n[k] > 0 {
			x, y = append(x, at[k]/n[k]), append(y, s.own[k])
		}
	}
	if len(x) < leastSlopes {
		return
	}
	var v []float64
	for i := range x {
		for j := range x[:i] {
			if d := x[i] - x[j]; d != 0 {
				v = append(v, (y[i]-y[j])/d)
			}
		}
	}
	slope := max(-mostTempo, min(mostTempo, stat.Median(v)))
	if rest(x, y, slope) > straight*rest(x, y, 0) {
		return
	}
	s.common = slope
	for k := range s.lines {
		s.lines[k].slope += slope
	}
	s.offsets()
	s.profile()
}

// straight is the share of the slots' deviations, or less, that a tempo leaves.
const straight = 0.6

// rest is what a slope leaves of y: the sum of distances from their median, but for
// the largest, which may be a habit or a slip.
func rest(x, y []float64, slope float64) (sum float64) {
	v := make([]float64, len(x))
	for i := range x {
		v[i] = y[i] - slope*x[i]
	}
	m := stat.Median(v)
	most := 0.0
	for _, d := range v {
		sum += math.Abs(d - m)
		most = max(most, math.Abs(d-m))
	}
	return sum - most
}

// fill lends stretches without notes enough the start of the nearest.
func (s *leaning) fill() {
	for k := range s.lines {
		if s.lines[k].notes >= 2 {
			continue
		}
		for d := 1; d < len(s.lines); d++ {
			if k-d >= 0 && s.lines[k-d].notes >= 2 {
				s.lines[k] = tilt{offset: s.lines[k-d].offset}
				break
			}
			if k+d < len(s.lines) && s.lines[k+d].notes >= 2 {
				s.lines[k] = tilt{offset: s.lines[k+d].offset}
				break
			}
		}
	}
}

// wander is what remains of a tempo that bends more than a line does, for each
// point: a running median.
func (s *leaning) wander() []float64 {
	out := make([]float64, len(s.points))
	for k, list := range s.of {
		if len(list) < 2*wanderNotes {
			continue
		}
		v := make([]float64, len(list))
		for a, i := range list {
			p := s.points[i]
			v[a] = p.late - s.own[p.slot] - s.lines[k].late(p.at)
		}
		for a, i := range list {
			// As many to either side, or the ends would be drawn inwards.
			w := min(wanderNotes, max(3, min(a, len(list)-1-a)))
			out[i] = stat.Median(v[max(0, a-w):min(len(v), a+w+1)])
		}
	}
	return out
}

// starts are by how much the stretches begin late, in seconds.
func (s *leaning) starts() (list []float64) {
	for _, l := range s.lines {
		if l.notes >= 2 {
			list = append(list, l.late(l.middle))
		}
	}
	return list
}
