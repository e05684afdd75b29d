package judge

import (
	"cmp"
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
	// trusted is how well its onsets are placed, all told, in milliseconds.
	trusted float64
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
	return e.r.Reps > FewReps && s.n > FewReps && s.p <= nameBelow && math.Abs(s.late) >= e.bound(s) && !e.strayed(s)
}

// What lies farther off than strayedFar of the way to the next note, and was not
// heard once and for all in strayedReps of the reps or spreads by strayedWide of that
// way, is a note taken for another rather than a habit.
const strayedFar, strayedReps, strayedWide = 0.25, 0.25, 0.15

func (e *evenness) strayed(s standing) bool {
	way := 1000 * e.ioi
	if math.Abs(s.late) < strayedFar*way {
		return false
	}
	at := e.r.Slots[s.slot-1]
	return float64(at.Missed+at.Doubled) >= strayedReps*float64(e.r.Reps) || s.spread > strayedWide*way
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

// standings are the slots against the middle of the others, so that one slot
// out of place moves no other. Slots that are no measure stay out of it.
func (e *evenness) standings(noMeasure ...int) []standing {
	list, df := e.centres()
	var heard, errors []float64
	for _, c := range list {
		heard = append(heard, float64(c.n))
		errors = append(errors, c.errorOf())
	}
	usual, floor := stat.Median(heard), stat.Median(errors)
	var out []standing
	for i, c := range list {
		var others []centre
		for j, o := range list {
			// A slot that was hardly ever heard is no measure for the others.
			if j != i && 2*float64(o.n) > usual && !slices.Contains(noMeasure, o.slot) {
				others = append(others, o)
			}
		}
		s := standing{slot: c.slot, late: c.mean, spread: math.Sqrt(c.variance), p: 1, n: c.n, trusted: math.Hypot(e.placed(c.slot), c.wavering)}
		if len(others) > 0 {
			middle, unsure := middleOf(others, floor)
			s.late -= middle
			if df > 0 {
				variance := c.errorOf() + unsure
				known := max(borneOut(others, middle)*variance, c.variance/float64(c.n))
				s.p = min(1, float64(len(list))*stat.TwoSided(s.late/math.Sqrt(known+1e-12), degrees(c, variance, df, len(others)-1)))
			}
		}
		out = append(out, s)
	}
	return out
}

// mostWeight is the most that one slot counts for in the middle of the others, as a
// share of what all but it count for: so none decides by itself.
const mostWeight = 0.8

// middleOf is the weighted median of slots' means and its variance. A slot that is
// known badly counts for less, one that is known better than to the floor, a
// variance, for no more than that.
func middleOf(others []centre, floor float64) (middle, variance float64) {
	slices.SortFunc(others, func(a, b centre) int { return cmp.Compare(a.mean, b.mean) })
	weights := make([]float64, len(others))
	all := 0.0
	for i, c := range others {
		weights[i] = 1 / (max(c.errorOf(), floor) + 1e-12)
		if len(others) <= 2 {
			weights[i] = 1 // neither outvotes the other
		}
		all += weights[i]
	}
	for range 99 { // each pass takes a fifth at least off what is too much
		k := slices.Index(weights, slices.Max(weights))
		rest := all - weights[k]
		if len(others) <= 2 || weights[k] <= mostWeight*rest {
			break
		}
		weights[k] = mostWeight * rest
		all = rest + weights[k]
	}
	before := 0.0
	found := false
	for i, c := range others {
		w := weights[i]
		variance += w * w * c.errorOf() / (all * all)
		switch after := before + w; {
		case found:
		case math.Abs(after-all/2) < 1e-9*all && i+1 < len(others):
			middle, found = (c.mean+others[i+1].mean)/2, true
		case after > all/2:
			middle, found = c.mean, true
		}
		before += w
	}
	if len(others) > 2 {
		variance *= math.Pi / 2 // a median's, of a mean's; of two it is their mean
	}
	return middle, variance
}

// borneOut is by what factor the slots lie farther from their middle, or less far,
// than the variances of their means have it: as far as these few can tell, beside
// biasDf that say that it is 1 (an empirical Bayes estimate, as in Smyth 2004). Slots
// that lie off by themselves, beyond what is usual, count for no more than that.
func borneOut(others []centre, middle float64) float64 {
	sum := 0.0
	for _, o := range others {
		d := o.mean - middle
		sum += min(tightness*tightness, d*d/(o.errorOf()+1e-12))
	}
	return (biasDf + sum) / (biasDf + float64(len(others)-1))
}

// biasDf is how well the size of a slot's placing bias is known, in degrees of
// freedom. Chosen by hand.
const biasDf = 14

// degrees is the number of degrees of freedom of a centre's variance, of which the
// bias is a part (Satterthwaite 1946, Biometrics Bull. 2, 110); others tell of the
// bias as well.
func degrees(c centre, variance, df float64, others int) float64 {
	bias := min(c.bias*variance/max(c.errorOf(), 1e-12), variance)
	chance := variance - bias
	return variance * variance / (chance*chance/df + bias*bias/(biasDf+float64(others)) + 1e-12)
}

// bound is the deviation from which a slot may be named: what an ear can tell,
// and what the placing of its onsets can be trusted for.
func (e *evenness) bound(s standing) float64 { return math.Hypot(e.r.JNDMs, 2*s.trusted) }

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
