package judge

import (
	"math"
	"slices"

	"footing/audio/stat"
)

// tightness is where Huber's estimator begins to hold a value back, in
// standard deviations: a slip in one rep must not become a habit, nor hide one.
const tightness = 2

// centre is the middle of one slot's deviations and how well it is known.
type centre struct {
	slot int
	n    int
	// mean in milliseconds, and variance of a single value about it, with the
	// degrees of freedom that the variance rests on.
	mean, variance, df float64
	// bias is the variance of the placing of the slot's onsets, as far as it
	// does not average out over the reps.
	bias float64
	// wavering is the part of that which the slot's own scatter tells of, in
	// milliseconds.
	wavering float64
}

// errorOf is the variance of the centre's mean.
func (c centre) errorOf() float64 { return c.variance/float64(c.n) + c.bias }

// centres are the slots' centres, for the slots that were heard. Each one's
// variance is drawn towards that of all slots together, which is known better
// (the moderated variance of Smyth 2004, Stat. Appl. Genet. Mol. Biol. 3:3,
// with a prior worth three times the slot's own notes).
func (e *evenness) centres() (list []centre, df float64) {
	const prior = 3
	scale := e.scale()
	pooled := 0.0
	for s := 1; s <= e.slotN; s++ {
		v := e.values[s]
		if len(v) == 0 {
			continue
		}
		c := centre{slot: s, n: len(v), df: float64(len(v) - 1)}
		c.mean, c.variance = huber(v, scale)
		u := e.placed(s)
		c.bias = u * u * e.recurrence(s)
		if e.into(s) == nil {
			c.bias += entryMs * entryMs
		}
		pooled += c.variance * c.df
		df += c.df
		list = append(list, c)
	}
	if df == 0 {
		return list, 0
	}
	pooled /= df
	for i := range list {
		c := &list[i]
		c.wavering = wavering(e.values[c.slot], pooled)
		c.bias += c.wavering * c.wavering
		worth := max(1, prior*c.df)
		c.variance = (worth*pooled + c.df*c.variance) / (worth + c.df)
	}
	return list, df
}

// scale is the usual spread within a slot, from medians alone (the median
// absolute deviation, which is 1/1.4826 of a standard deviation).
func (e *evenness) scale() float64 {
	const least = 1 // ms: finer than any onset is placed
	var r []float64
	for _, v := range e.values {
		if len(v) < 2 {
			continue
		}
		m := stat.Median(v)
		for _, x := range v {
			r = append(r, math.Abs(x-m))
		}
	}
	return max(least, 1.4826*stat.Median(r))
}

// recurrence is the share, 0 to 1, of an onset's placing error that stays in
// the mean of a slot: all of it where the same two notes meet in every rep, a
// part where they differ, since how late a soft attack is heard hangs on its
// note and on the one still ringing.
func (e *evenness) recurrence(slot int) float64 {
	n, sum := 0, 0
	for _, c := range e.meeting[slot] {
		n += c
		sum += c * c
	}
	return float64(sum) / float64(max(1, n*n))
}

// entryMs is by how much, in milliseconds, a note that begins out of silence may be
// heard otherwise than those that others lead into: it has an attack and they may be
// slurs, and no tail lies over it.
const entryMs = 4.0

// wavers is the share of the variance by which a slot's onsets scatter more than
// those of all slots that stands for a bias of theirs: where the ear takes now this
// moment for a beginning and now that one, its mean lies between the two.
const wavers = 0.25

// wavering is that bias, in milliseconds, of a slot's values, where the variance of
// all slots is pooled. What a slip or two do counts for nothing.
func wavering(v []float64, pooled float64) float64 {
	own := stat.Middle(v)
	return math.Sqrt(wavers * max(0, own*own-pooled))
}

// farMisheard is how many times the usual spread a slot has whose notes were misheard,
// or played otherwise each time, more than a slip: then the others are less sure too.
const farMisheard = 5

// misheard tells whether a slot other than this one was.
func (e *evenness) misheard(slot int) bool {
	var spreads []float64
	most := 0.0
	for s, v := range e.values {
		if len(v) <= FewReps {
			continue
		}
		spread := spreadBarSlip(v)
		spreads = append(spreads, spread)
		if s != slot {
			most = max(most, spread)
		}
	}
	return most > max(farMisheard*stat.Median(spreads), 2*e.r.JNDMs)
}

// spreadBarSlip is the standard deviation of v but for the value farthest from the rest.
func spreadBarSlip(v []float64) float64 {
	m := stat.Median(v)
	far := 0
	for i, x := range v {
		if math.Abs(x-m) > math.Abs(v[far]-m) {
			far = i
		}
	}
	_, spread := stat.MeanSpread(slices.Delete(slices.Clone(v), far, far+1))
	return spread
}

// placed is how well the slot's onsets are placed, in milliseconds.
func (e *evenness) placed(slot int) float64 {
	ms := math.Sqrt(e.known[slot] / float64(max(1, len(e.values[slot]))))
	if e.disturbed || e.misheard(slot) {
		return math.Hypot(ms, clickMs)
	}
	return ms
}

// huber is Huber's estimate of the middle of v (1964, Ann. Math. Stat. 35, 73)
// with the scale given, and the variance that a plain mean would need for the
// same error.
func huber(v []float64, scale float64) (mean, variance float64) {
	bound := tightness * scale
	n := float64(len(v))
	mean = stat.Median(v)
	held := func(x float64) float64 { return max(-bound, min(bound, x-mean)) }
	inside := func() (share float64) {
		for _, x := range v {
			if math.Abs(x-mean) < bound {
				share += 1 / n
			}
		}
		return max(share, 0.5)
	}
	for range 30 {
		step := 0.0
		for _, x := range v {
			step += held(x) / n
		}
		mean += step / inside()
		if math.Abs(step) < 1e-6 {
			break
		}
	}
	if len(v) < 2 {
		return mean, 0
	}
	for _, x := range v {
		variance += held(x) * held(x) / (n - 1)
	}
	share := inside()
	return mean, variance / (share * share)
}
