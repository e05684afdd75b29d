package judge

import (
	"math"
	"slices"

	"footing/audio/stat"
)

// standing is how far one slot stands out from the others.
type standing struct {
	slot int
	// late is how far the slot's notes lie behind the grid of the others, in
	// milliseconds, and spread their standard deviation.
	late, spread float64
	// p is the chance that a slot of an even take stands out as far, over all
	// slots together.
	p float64
	n int
}

// name looks for the slot that stands out most and names the change into it.
func (e *evenness) name() {
	s, ok := e.foremost()
	if !ok || !e.surely(s) {
		return
	}
	s = e.origin(s)
	into := e.into(s.slot)
	w := &WeakChange{FromSlot: into.FromSlot, ToSlot: into.ToSlot, LateMs: s.late, Effect: effect(s.late, s.spread), P: s.p}
	if after := e.outOf(s.slot); after != nil && after.MeanMs*w.LateMs < 0 &&
		math.Abs(after.MeanMs) > max(e.r.JNDMs, 0.4*math.Abs(w.LateMs)) {
		w.CatchesUp = true
	}
	e.r.Weak = w
	e.r.Cut = e.cut(w)
	if also, ok := e.second(w); ok {
		e.r.Also = e.departure(also)
	}
}

// surely reports whether a slot stands out enough, and surely enough, to be named.
func (e *evenness) surely(s standing) bool {
	return e.r.Reps > FewReps && s.n > FewReps && s.p <= nameBelow && math.Abs(s.late) >= e.bound(s.slot)
}

// origin is where a slot's lateness begins: notes that follow a late one at an
// even pace are late as well, but the change to work on is the first.
func (e *evenness) origin(s standing) standing {
	all := e.standings()
	for range all {
		into := e.into(s.slot)
		if into == nil || math.Abs(into.MeanMs) > e.r.JNDMs {
			return s
		}
		i := slices.IndexFunc(all, func(o standing) bool { return o.slot == into.FromSlot })
		if i < 0 || all[i].late*s.late <= 0 || !e.surely(all[i]) || e.into(all[i].slot) == nil {
			return s
		}
		s = all[i]
	}
	return s
}

// second is the slot that stands out most beside the weak change, about as far
// and by a change of its own.
func (e *evenness) second(w *WeakChange) (standing, bool) {
	const about = 0.6
	best := standing{}
	for _, s := range e.standings(w.ToSlot) {
		into := e.into(s.slot)
		if s.slot == w.ToSlot || into == nil || !e.surely(s) || math.Abs(s.late) < about*math.Abs(w.LateMs) ||
			into.MeanMs*s.late < 0 || math.Abs(into.MeanMs) < e.r.JNDMs {
			continue
		}
		if best.slot == 0 || s.before(best) {
			best = s
		}
	}
	return best, best.slot != 0
}

// foremost is the slot furthest off the grid that the others make, among those
// heard often enough to judge, or among all when there are none; of two
// equally far ones the late one. It is false without any change to name.
func (e *evenness) foremost() (standing, bool) {
	best := standing{}
	for _, s := range e.standings() {
		if e.into(s.slot) != nil && (best.slot == 0 || s.before(best)) {
			best = s
		}
	}
	return best, best.slot != 0
}

// before orders the slots by how much they are worth naming.
func (s standing) before(o standing) bool {
	if enough := s.n > FewReps; enough != (o.n > FewReps) {
		return enough
	}
	a, b := math.Abs(s.late), math.Abs(o.late)
	if s.late*o.late < 0 && math.Abs(a-b) < 0.1*max(a, b) {
		return s.late > 0
	}
	return a > b
}

// standings are the slots against the median of the others, so that one slot
// out of place moves no other. Slots that are no measure stay out of the median.
func (e *evenness) standings(noMeasure ...int) []standing {
	list, df := e.centres()
	var heard []float64
	for _, c := range list {
		heard = append(heard, float64(c.n))
	}
	usual := stat.Median(heard)
	var out []standing
	for i, c := range list {
		var others []float64
		unsure := 0.0
		for j, o := range list {
			// A slot that was hardly ever heard is no measure for the others.
			if j != i && 2*float64(o.n) > usual && !slices.Contains(noMeasure, o.slot) {
				others = append(others, o.mean)
				unsure += o.errorOf()
			}
		}
		s := standing{slot: c.slot, late: c.mean, spread: math.Sqrt(c.variance), p: 1, n: c.n}
		variance := c.errorOf()
		k := float64(len(others))
		if k > 0 {
			s.late -= stat.Median(others)
			// The median of many means has π/2 times their mean's variance.
			variance += math.Pi / 2 * unsure / (k * k)
		}
		if df > 0 && k > 0 {
			s.p = min(1, float64(len(list))*stat.TwoSided(s.late/math.Sqrt(variance+1e-12), degrees(c, variance, df)))
		}
		out = append(out, s)
	}
	return out
}

// biasDf is how well the size of a slot's placing bias is known, in degrees of
// freedom. Chosen by hand.
const biasDf = 14

// degrees is the number of degrees of freedom of a centre's variance, of which the bias is a
// part (Satterthwaite 1946, Biometrics Bull. 2, 110).
func degrees(c centre, variance, df float64) float64 {
	bias := min(c.bias*variance/max(c.errorOf(), 1e-12), variance)
	chance := variance - bias
	return variance * variance / (chance*chance/df + bias*bias/biasDf + 1e-12)
}

// bound is the deviation from which a slot may be named: what an ear can tell,
// and what the placing of its onsets can be trusted for.
func (e *evenness) bound(slot int) float64 { return math.Hypot(e.r.JNDMs, 2*e.placed(slot)) }

func (e *evenness) into(slot int) *ChangeStat {
	for i := range e.r.Changes {
		if c := &e.r.Changes[i]; c.ToSlot == slot && c.Count > 0 {
			return c
		}
	}
	return nil
}

func (e *evenness) outOf(slot int) *ChangeStat {
	for i := range e.r.Changes {
		if c := &e.r.Changes[i]; c.FromSlot == slot && c.Count > 0 {
			return c
		}
	}
	return nil
}

// cut is the chunk around a change: the beats that hold its two notes, and the
// first note of the beat after as the landing.
func (e *evenness) cut(w *WeakChange) *Cut {
	perBeat := e.r.Grid.SlotsPerBeat
	from, to := w.FromSlot, w.ToSlot
	if e.r.Grid.Regular() && to <= from {
		to += e.slotN
	}
	c := &Cut{FromSlot: from, ToSlot: to, Landing: to + 1}
	if perBeat <= 0 {
		return c
	}
	first, last := (from-1)/perBeat, (to-1)/perBeat
	if e.r.Grid.Landing && w.ToSlot == e.slotN {
		// The second note is the landing itself.
		c.ToSlot, c.Landing = from, to
		last = first
	} else {
		c.Landing = (last+1)*perBeat + 1
	}
	c.FirstBeat, c.Beats = first+1, last-first+1
	return c
}
