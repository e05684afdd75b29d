package hear

import "math"

// fit is how much a period leaves unexplained of a sound, as a log, and by how
// much more other periods do: 0 when they are as good, less when they are
// better. A note's period is as good as twice that period, and better than
// half of it.
type fit struct {
	whole    float64
	halves   float64 // half the period
	thirds   float64 // a third or two thirds of it, whichever is better
	double   float64 // twice the period
	between  float64 // one and a half times
	quarters float64 // a quarter or three
	fifths   float64 // some fifths or sevenths of it
}

func (f fit) sum(w fit) float64 {
	return f.whole*w.whole + f.halves*w.halves + f.thirds*w.thirds +
		f.double*w.double + f.between*w.between + f.quarters*w.quarters + f.fifths*w.fifths
}

// mostUnlike is the most that counts of a difference.
const mostUnlike = 2.0

// unlike is how far two fits lie apart, part by part.
func (f fit) unlike(o fit) fit {
	return f.with(o, func(a, b float64) float64 { return min(mostUnlike, math.Abs(a-b)) })
}

// toward is a fit some share of the way to another.
func (f fit) toward(o fit, share float64) fit {
	return f.with(o, func(a, b float64) float64 { return a + share*(b-a) })
}

func (f fit) with(o fit, join func(a, b float64) float64) fit {
	return fit{
		join(f.whole, o.whole), join(f.halves, o.halves), join(f.thirds, o.thirds),
		join(f.double, o.double), join(f.between, o.between), join(f.quarters, o.quarters), join(f.fifths, o.fifths),
	}
}

// fit is how a place fits, of a curve's sound.
func (v curve) fit(at float64) fit {
	own := v.unexplained(at)
	return fit{
		whole:    own,
		halves:   v.against(own, at/2),
		thirds:   v.against(own, at/3, at*2/3),
		double:   v.against(own, at*2),
		between:  v.against(own, at*3/2),
		quarters: v.against(own, at/4, at*3/4),
		fifths:   v.against(own, at/5, at*2/5, at*3/5, at*4/5, at/7, at*2/7, at*3/7, at*4/7, at*5/7, at*6/7),
	}
}

// against is how much more the best of some places leaves unexplained than one
// that leaves own; 0 when they are not known.
func (v curve) against(own float64, places ...float64) float64 {
	const most = 4.5
	least := math.Inf(1)
	for _, p := range places {
		if v.reaches(p) {
			least = min(least, v.unexplained(p))
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return max(-most, min(most, least-own))
}

// unexplained is the log of what the highest value near a place leaves
// unexplained.
func (v curve) unexplained(at float64) float64 {
	const floor = 0.015
	from, to := around(at)
	most := -1.0
	for i := max(0, from); i < min(len(v), to); i++ {
		most = max(most, v[i])
	}
	return math.Log(max(0, 1-most) + floor)
}

// reaches tells whether the curve is known all around a place.
func (v curve) reaches(at float64) bool {
	_, to := around(at)
	return to <= len(v)
}

// around is 2 % to either side of a place, or 0.4 lags.
func around(at float64) (from, to int) {
	w := max(0.02*at, 0.4*fineSteps)
	return int(at - w), int(at+w) + 2
}
