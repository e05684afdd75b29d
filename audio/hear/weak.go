package hear

import "math"

// standing is how far one slot stands out.
type standing struct {
	slot int
	mean float64
	p    float64 // over all slots together
	n    int
}

// name looks for the slot that stands out most and names the change into it.
func (e *evenness) name() {
	s, ok := e.foremost()
	if !ok || e.r.Reps <= fewReps || s.n <= fewReps || s.p > nameBelow || math.Abs(s.mean) < e.bound(s.slot) {
		return
	}
	into := e.into(s.slot)
	if into == nil {
		return
	}
	w := &WeakChange{FromSlot: into.FromSlot, ToSlot: into.ToSlot, LateMs: into.MeanMs, Effect: into.Effect, P: s.p}
	// The change may be small although the note is out of place, when the note
	// before is out of place as well.
	if w.LateMs*s.mean <= 0 || math.Abs(w.LateMs) < e.r.JNDMs {
		w.LateMs = s.mean
		_, sd := meanSpread(e.values[s.slot])
		w.Effect = effect(s.mean, sd)
	}
	if after := e.outOf(s.slot); after != nil && after.MeanMs*w.LateMs < 0 &&
		math.Abs(after.MeanMs) > max(e.r.JNDMs, 0.4*math.Abs(w.LateMs)) {
		w.CatchesUp = true
	}
	e.r.Weak = w
	e.r.Cut = e.cut(w)
}

// foremost is the slot furthest out of place; of two equally far ones the late one.
func (e *evenness) foremost() (standing, bool) {
	tests, df := 0, 0
	for s := 1; s <= e.slotN; s++ {
		if n := len(e.values[s]); n > 0 {
			tests++
			df += n - 1
		}
	}
	best := standing{}
	for s := 1; s <= e.slotN; s++ {
		v := e.values[s]
		if len(v) == 0 || e.into(s) == nil {
			continue
		}
		m, sd := meanSpread(v)
		if math.Abs(m) < math.Abs(best.mean)-1e-9 && best.slot != 0 {
			continue
		}
		if best.slot != 0 && math.Abs(math.Abs(m)-math.Abs(best.mean)) < 0.1*math.Abs(m) && m < best.mean {
			continue
		}
		root := math.Sqrt(float64(len(v)))
		// Against the spread of all slots together, which is known best, and
		// against the slot's own, which may be larger: the worse of the two.
		p := twoSided(m/(e.r.InstabilityMs+1e-9)*root, float64(df))
		if len(v) > 1 {
			p = max(p, twoSided(m/(sd+1e-9)*root, float64(len(v)-1)))
		}
		best = standing{slot: s, mean: m, p: min(1, p*float64(tests)), n: len(v)}
	}
	return best, best.slot != 0
}

// bound is the deviation from which a slot may be named: what an ear can tell,
// and what the placing of its onsets can be trusted for.
func (e *evenness) bound(slot int) float64 {
	u := placedMs
	if 2*e.slurred[slot] > len(e.values[slot]) {
		u = slurredMs
	}
	return math.Hypot(e.r.JNDMs, 2*u)
}

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
func (e *evenness) cut(w *WeakChange) *Chunk {
	perBeat := e.r.Grid.SlotsPerBeat
	from, to := w.FromSlot, w.ToSlot
	if len(e.r.Grid.Places) == 0 && to <= from {
		to += e.slotN
	}
	c := &Chunk{FromSlot: from, ToSlot: to, Landing: to + 1}
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
