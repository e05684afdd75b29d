package judge

import (
	"math"
	"sort"

	"footing/audio/hear"
	"footing/audio/stat"
)

const (
	// FewReps or fewer are too few to tell a habit from chance.
	FewReps = 3
	// nameBelow is the chance of naming a change in an even take that is
	// accepted, over all slots together (Bonferroni).
	nameBelow = 0.01
	// placedMs is how well an onset is taken to be placed that does not tell.
	placedMs = 4.0
)

// jnd is the just noticeable difference for one displaced note in an even row, in
// milliseconds: 2.5 % of the inter-onset interval, which is in seconds, and 6 ms
// at the short end (Friberg & Sundberg 1995, J. Acoust. Soc. Am. 98, 2524).
func jnd(ioi float64) float64 { return max(6, 25*ioi) }

// Evenness sets the onsets, in order of time, against the grid and judges
// every slot and every change between neighbours. The zero grid gives a report
// of the notes alone, without an outcome. Offset and drift of the take are removed by robust fits;
// what remains is split, after van Vugt, Jabusch & Altenmüller (2012, Front.
// Psychol. 3:495), into what comes back in every rep and what changes from rep
// to rep.
func Evenness(onsets []hear.Onset, grid Grid) Report {
	r := Report{Grid: grid}
	for _, o := range onsets {
		r.Notes = append(r.Notes, Note{Onset: o})
	}
	r.HasGrid = grid.usable()
	if !r.HasGrid || len(onsets) == 0 {
		return r
	}
	a := align(onsets, grid)
	if grid.Regular() {
		a = a.byFigure(onsets, &r.Grid)
	}
	e := newEvenness(&r, a)
	e.place()
	e.slots()
	e.drift()
	e.changes()
	e.name()
	e.conclude()
	return r
}

func (g Grid) usable() bool {
	if !g.Regular() {
		return true
	}
	// Beyond these nothing is music, and arithmetic leaves the numbers.
	const slowest, fastest = 1, 10_000
	return g.BPM >= slowest && g.BPM <= fastest && g.SlotsPerBeat > 0
}

// evenness is the working of one report.
type evenness struct {
	r      *Report
	a      aligned
	noteAt []int // for each place its note, or -1
	slotN  int
	values [][]float64 // deviations by slot
	// known sums up, by slot, the variances in square milliseconds to which the
	// notes' places are known.
	known []float64
	// meeting counts, by slot, how often each note came after which other, by
	// their MIDI numbers.
	meeting []map[[2]int]int
	ioi     float64 // usual inter-onset interval, in seconds
	// disturbed is true when so much is heard beside the notes that they may be
	// drawn to it.
	disturbed bool
}

func newEvenness(r *Report, a aligned) *evenness {
	e := &evenness{r: r, a: a}
	e.noteAt = make([]int, len(a.places))
	for i := range e.noteAt {
		e.noteAt[i] = -1
	}
	for i, j := range a.owner {
		if j >= 0 {
			e.noteAt[j] = i
		}
	}
	for _, p := range a.places {
		e.slotN = max(e.slotN, p.Slot)
	}
	e.values = make([][]float64, e.slotN+1)
	e.known = make([]float64, e.slotN+1)
	e.meeting = make([]map[[2]int]int, e.slotN+1)
	for i := range e.meeting {
		e.meeting[i] = map[[2]int]int{}
	}
	s := append([]float64(nil), a.spans...)
	e.ioi = stat.Median(s)
	return e
}

// place gives every note its slot and deviation.
func (e *evenness) place() {
	r, a := e.r, e.a
	first, last := -1, -1
	for j, i := range e.noteAt {
		if i < 0 {
			continue
		}
		if first < 0 {
			first = j
		}
		last = j
	}
	r.OffsetMs = a.fit.offset * 1000
	if first >= 0 {
		// The offset in the middle of the take, where the line is known best.
		mid := (a.places[first].Seconds + a.places[last].Seconds) / 2
		r.OffsetMs = (a.fit.of(mid) - mid) * 1000
	}
	for j, i := range e.noteAt {
		p := a.places[j]
		if i < 0 {
			if j > first && j < last {
				r.Missed = append(r.Missed, Missed{Slot: p.Slot, Rep: p.Rep, Seconds: a.expected(j)})
			}
			continue
		}
		n := &r.Notes[i]
		n.Kind, n.Slot, n.Rep = Played, p.Slot, p.Rep
		n.GridSeconds = a.expected(j)
	}
	e.recentre()
	reps := map[int]bool{}
	for i := range r.Notes {
		n := &r.Notes[i]
		switch {
		case n.Kind == Played:
			reps[n.Rep] = true
		case a.double[i] >= 0:
			p := a.places[a.double[i]]
			n.Kind, n.Slot, n.Rep = Doubled, p.Slot, p.Rep
			n.GridSeconds = a.expected(a.double[i])
			n.DeviationMs = (n.Seconds - n.GridSeconds) * 1000
			r.Doubled++
		default:
			n.Kind = Extra
			r.Extra++
			if e.apart(n.Seconds) {
				r.Outside++
			}
		}
	}
	r.Reps = len(reps)
	r.Clicks = e.clicks()
	e.disturbed = r.Clicks || float64(r.Extra+r.Doubled) > mostBeside*float64(len(r.Notes)-r.Extra-r.Doubled)
	r.EntryMs = e.entries()
}

// apart tells whether a time lies more than a slot from every place.
func (e *evenness) apart(at float64) bool {
	n := len(e.a.places)
	k := sort.Search(n, func(j int) bool { return e.a.expected(j) >= at })
	return (k == 0 || at-e.a.expected(k-1) > 1.2*e.ioi) && (k == n || e.a.expected(k)-at > 1.2*e.ioi)
}

// freeBreath is the spread of the reps' starts, as a share of their distance, from
// which breaths are free and follow no pulse.
const freeBreath = 0.03

// entries is the spread of the reps' starts about a line.
func (e *evenness) entries() float64 {
	if e.r.Grid.Regular() {
		return 0
	}
	var x, y []float64
	rep := 0
	for j, p := range e.a.places {
		if p.Rep != rep && e.r.Reps > FewReps {
			x, y = append(x, float64(p.Rep)), append(y, e.a.expected(j))
		}
		rep = p.Rep
	}
	if len(x) <= FewReps {
		return 0
	}
	var slopes []float64
	for i := range x {
		for j := range x[:i] {
			slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
		}
	}
	slope := stat.Median(slopes)
	for i := range y {
		y[i] -= slope * x[i]
	}
	_, spread := stat.MeanSpread(y)
	if spread > freeBreath*slope {
		return 0
	}
	return 1000 * spread
}

const (
	// What is heard beside the notes are clicks when there are fewestClicks of it
	// or more, fewClicks kinds of it make up nearly all, and it keeps to the slots.
	fewestClicks = 10
	fewClicks    = 3
	clickKinds   = 0.6
	// clickPhase of them lie within clickNear of a slot of one place in it. More
	// than mostBeside as many as the notes are as bad, whatever they are.
	clickPhase = 0.45
	clickNear  = 0.12
	mostBeside = 0.5
	// clickMs is how far, in milliseconds, the notes may be drawn to what is heard
	// beside them.
	clickMs = 6.0
)

// clicks tells whether what was heard beside the notes is a metronome.
func (e *evenness) clicks() bool {
	kinds := map[int]int{}
	var phases []float64
	k := 0
	for _, v := range e.r.Notes {
		if v.Kind != Extra {
			continue
		}
		for k+1 < len(e.a.places) && e.a.expected(k+1) <= v.Seconds {
			k++
		}
		u := (v.Seconds - e.a.expected(k)) / e.ioi
		phases = append(phases, u-math.Floor(u))
		kinds[v.Midi]++
	}
	n := len(phases)
	if n < fewestClicks {
		return false
	}
	together := 0
	for _, u := range phases {
		near := 0
		for _, v := range phases {
			if d := math.Abs(u - v); min(d, 1-d) < clickNear {
				near++
			}
		}
		together = max(together, near)
	}
	if float64(together) < clickPhase*float64(n) {
		return false
	}
	var counts []int
	for _, c := range kinds {
		counts = append(counts, c)
	}
	sort.Sort(sort.Reverse(sort.IntSlice(counts)))
	most := 0
	for _, c := range counts[:min(len(counts), fewClicks)] {
		most += c
	}
	return float64(most) >= clickKinds*float64(n)
}

// recentre moves the grid so that the slots' own medians lie about zero: one
// slot that is late in every rep must not make the others early.
func (e *evenness) recentre() {
	by := make([][]float64, e.slotN+1)
	for _, n := range e.r.Notes {
		if n.Kind == Played {
			by[n.Slot] = append(by[n.Slot], n.Seconds-n.GridSeconds)
		}
	}
	var mid []float64
	for _, v := range by {
		if len(v) > 0 {
			mid = append(mid, stat.Median(v))
		}
	}
	c := stat.Median(mid)
	e.a.fit.offset += c
	e.r.OffsetMs += c * 1000
	for i := range e.r.Notes {
		n := &e.r.Notes[i]
		if n.Kind != Played {
			continue
		}
		n.GridSeconds += c
		n.DeviationMs = (n.Seconds - n.GridSeconds) * 1000
		e.values[n.Slot] = append(e.values[n.Slot], n.DeviationMs)
		before := 0
		if i > 0 {
			before = e.r.Notes[i-1].Midi
		}
		e.meeting[n.Slot][[2]int{before, n.Midi}]++
		ms := n.PlacedMs
		if ms == 0 {
			ms = placedMs
		}
		e.known[n.Slot] += ms * ms
	}
}

// slots sums up the slots, and splits the whole into systematic unevenness and
// instability.
func (e *evenness) slots() {
	r := e.r
	missed, doubled := make([]int, e.slotN+1), make([]int, e.slotN+1)
	for _, m := range r.Missed {
		missed[m.Slot]++
	}
	for _, n := range r.Notes {
		if n.Kind == Doubled {
			doubled[n.Slot]++
		}
	}
	var means []float64
	within, df := 0.0, 0
	scale := e.scale()
	for s := 1; s <= e.slotN; s++ {
		v := e.values[s]
		m, sd := stat.MeanSpread(v)
		if len(v) > 0 {
			m, _ = huber(v, scale) // as the weak change has it
		}
		r.Slots = append(r.Slots, SlotStat{
			Slot: s, Notes: len(v), MeanMs: m, SpreadMs: sd, Missed: missed[s], Doubled: doubled[s],
		})
		if len(v) > 0 {
			means = append(means, m)
			within += sd * sd * float64(len(v)-1)
			df += len(v) - 1
		}
	}
	_, r.SystematicMs = stat.MeanSpread(means)
	if df > 0 {
		r.InstabilityMs = math.Sqrt(within / float64(df))
	}
	r.JNDMs = jnd(e.ioi)
}

// changes sums up the inter-onset intervals between neighbouring slots.
func (e *evenness) changes() {
	type key struct{ from, to int }
	by := map[key][]float64{}
	order := map[key]int{}
	for j := 0; j+1 < len(e.noteAt); j++ {
		p, q := e.a.places[j], e.a.places[j+1]
		if p.Rep != q.Rep && (!e.r.Grid.Regular() || q.Seconds-p.Seconds > breakSlots*e.ioi) {
			continue // a breath lies between them
		}
		k := key{p.Slot, q.Slot}
		if _, ok := order[k]; !ok {
			order[k] = p.Slot
			by[k] = nil
		}
		i, n := e.noteAt[j], e.noteAt[j+1]
		if i >= 0 && n >= 0 {
			by[k] = append(by[k], e.r.Notes[n].DeviationMs-e.r.Notes[i].DeviationMs)
		}
	}
	keys := make([]key, 0, len(by))
	for k := range by {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		if keys[i].from != keys[j].from {
			return keys[i].from < keys[j].from
		}
		return keys[i].to < keys[j].to
	})
	tests := 0
	for _, k := range keys {
		if len(by[k]) > 0 {
			tests++
		}
	}
	for _, k := range keys {
		v := by[k]
		m, sd := stat.MeanSpread(v)
		c := ChangeStat{FromSlot: k.from, ToSlot: k.to, Count: len(v), MeanMs: m, SpreadMs: sd, P: 1}
		if len(v) > 1 {
			c.Effect = effect(m, sd)
			c.P = min(1, float64(tests)*stat.TwoSided(m/(sd+1e-9)*math.Sqrt(float64(len(v))), float64(len(v)-1)))
		}
		c.Audible = math.Abs(m) > e.r.JNDMs
		e.r.Changes = append(e.r.Changes, c)
	}
}

// effect is a mean over its spread, bounded so that a machine's zero spread
// stays a number.
func effect(mean, spread float64) float64 {
	if mean == 0 {
		return 0
	}
	return max(-99, min(99, mean/max(spread, 1e-9)))
}
