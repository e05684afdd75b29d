package hear

import "math"

// A note let go is no beginning, but it stands out just as one does: the old
// note's dying away is not foretold either. What follows tells them apart. After
// a release the sound is still the old note, only less of it; after a beginning
// there is something else in it.
const (
	// After a release the new note comes up out of what is unforetold of the old
	// one by riseOver in power; there it begins where it leaves it by riseFoot.
	riseOver = 3.5
	riseFoot = 1.4
	// It comes up within releaseSeconds.
	releaseSeconds = 0.035
	// The log odds of a release are linear in the share of the sound that is not
	// the old note, as a power of ten, and in by how many dB it falls. They come of
	// a logistic regression over 1 800 pairs of places on five sampled instruments
	// with gaps of 5 to 150 ms, and were rounded by hand for the best timing there.
	releasePerShare = 2.7
	releasePerDB    = 0.3
	releaseOdds     = 5.2  // in the first look
	surelyReleased  = 6.8  // in the second, which knows the old note as it was let go
	mostFall        = 15.0 // dB
	// A release may be seen in a few steps, as its harmonics die one by one.
	releaseSteps = 3
)

// pastRelease is by how many steps of samples a beginning moves on for as long
// as it is only where the note of period old was let go; e is the power of the
// unforetold from there on, and odds are what a release must surpass.
func (p *placer) pastRelease(e []float64, begin, step int, old, odds float64) (moved int) {
	rate := p.hz / float64(step)
	for range releaseSteps {
		n := nextRise(e[moved:], rate)
		if n < 0 || !p.released(begin+moved*step, begin+(moved+n)*step, old, odds) {
			break
		}
		moved += n
	}
	return moved
}

// nextRise is where e comes up clearly over what it was since its beginning, -1
// when it does not soon.
func nextRise(e []float64, rate float64) int {
	lag, least := int(0.003*rate), int(0.004*rate)
	sum, n := 0.0, 0.0
	for i := int(0.002*rate) + lag + 1; i < min(len(e), int(releaseSeconds*rate)); i++ {
		sum += e[i-lag]
		n++
		if i <= least || e[i] <= riseOver*sum/n {
			continue
		}
		for i > 0 && e[i] > riseFoot*sum/n {
			i--
		}
		return i
	}
	return -1
}

// released tells whether the sound between two samples is only the note of
// period old, dying away.
func (p *placer) released(from, to int, old, odds float64) bool {
	t := int(max(1, several(old, p.hz)))
	fall := decibels(p.power(from-t, from)) - decibels(p.power(to-t, to))
	fall = max(-mostFall/3, min(mostFall, fall))
	return -releasePerShare*math.Log10(p.unlike(from, to, old)+1e-12)+releasePerDB*fall > odds
}

// A note that was let go may ring on for half a second, and what wavers in that is
// no note. It lies farUnder the usual note, comes up over the sound before it by
// no more than overBefore, and the sound goes on falling: by stillFalling since
// fallSeconds before, and in itself. All are in dB. What lies more than wellUnder
// the usual note may waver more, by a dB for slackPer. Of 4 200 notes of sampled
// instruments none lay so far under the others, but those were played about
// equally loud: it is the falling that spares a sudden piano.
const (
	farUnder     = 12.0
	overBefore   = 1.0
	stillFalling = 5.0
	fallSeconds  = 0.120
	wellUnder    = 20.0
	slackPer     = 3.0
)

// dying tells whether what seems to begin at a place, in seconds, and is as loud
// as told, in dB, is only a note dying away.
func (p *placer) dying(at, loud float64) bool {
	level := func(from float64) float64 {
		return decibels(p.power(int((at+from)*p.hz), int((at+from+0.025)*p.hz)))
	}
	usual, known := p.loud.median()
	under := usual - loud
	if !known || under < farUnder {
		return false
	}
	slack := max(0, under-wellUnder) / slackPer
	late := level(0.075)
	return loud < level(-0.025)+overBefore+slack &&
		late < level(-fallSeconds)-stillFalling && late < level(0.005)
}

// loudness of what begins at a place, in seconds: the most, in dB, within 100 ms.
func (p *placer) loudness(at float64) float64 {
	most, w := 0.0, int(0.020*p.hz)
	for n := int(at * p.hz); n <= int((at+0.080)*p.hz); n += w / 2 {
		most = max(most, p.power(n, n+w))
	}
	return decibels(most)
}

// unlike is the share of the sound between two samples that is not what sounded
// some periods before, whatever has become of its level and its brightness: what
// the best mixture of three neighbouring samples back then leaves of it.
func (p *placer) unlike(from, to int, period float64) float64 {
	back := several(period, p.hz)
	x, start := p.fine.span(from-int(back)-8, to+8)
	var a [3][4]float64
	whole := 1e-12
	for n := max(from, start) - start; n < min(to-start, len(x)); n++ {
		v := float64(x[n])
		at := float64(n) - back
		row := [4]float64{between(x, at-2), between(x, at), between(x, at+2), v}
		whole += v * v
		for i := range a {
			for j := range row {
				a[i][j] += row[i] * row[j]
			}
		}
	}
	// The power that a least-squares fit explains, by elimination.
	explained := 0.0
	for i := range a {
		a[i][i] += 1e-4*a[i][i] + 1e-12
	}
	for i := range a {
		explained += a[i][3] * a[i][3] / a[i][i]
		for j := i + 1; j < len(a); j++ {
			f := a[j][i] / a[i][i]
			for k := i; k < len(a[i]); k++ {
				a[j][k] -= f * a[i][k]
			}
		}
	}
	return max(0, whole-explained) / whole
}
