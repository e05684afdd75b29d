package judge

import (
	"math"

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

// placed is how well the slot's onsets are placed, in milliseconds.
func (e *evenness) placed(slot int) float64 {
	ms := math.Sqrt(e.known[slot] / float64(max(1, len(e.values[slot]))))
	if e.disturbed {
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
