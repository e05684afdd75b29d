package hear

import "math"

// A note let go is no beginning, but it stands out just as one does: its dying
// away is not predicted either. What follows tells them apart. After a release
// the sound is still the old note, only less of it; after a beginning there is
// something else in it.
const (
	// After a release the new note comes up out of the old one's residual by
	// releaseRise in power; there it begins where it leaves it by releaseFoot.
	releaseRise = 3.5
	releaseFoot = 1.4
	// It comes up within releaseSeconds.
	releaseSeconds = 0.035
	// The log odds of a release are linear in the logarithm (to base ten) of the
	// share of the sound that is not the old note, and in the dB by which it falls.
	// They come from a logistic regression over 1 800 pairs of places on five sampled instruments
	// with gaps of 5 to 150 ms, and were rounded by hand for the best timing there.
	releasePerShare = 2.7
	releasePerDB    = 0.3
	releaseOdds     = 5.2  // in the first look
	releaseSurely   = 6.8  // in the second, which knows the old note as it was let go
	releaseMostDB   = 15.0 // dB
	// A release may be seen in a few steps, as its harmonics die one by one.
	releaseSteps = 3
)

// pastRelease is by how many steps of samples a beginning moves on for as long
// as it is only where the note of period old was let go; envelope is the onset
// envelope from there on, and odds are what a release must surpass.
func (p *placer) pastRelease(envelope []float64, begin, step int, old, odds float64) (moved int) {
	rate := p.hz / float64(step)
	for range releaseSteps {
		n := nextRise(envelope[moved:], rate)
		if n < 0 || float64(begin+(moved+n)*step) > p.bounds.last || !p.released(begin+moved*step, begin+(moved+n)*step, old, odds) {
			break
		}
		moved += n
	}
	return moved
}

// nextRise is where an onset envelope comes up clearly over what it has been
// since its beginning; -1 when it does not do so soon.
func nextRise(e []float64, rate float64) int {
	lag, least := int(0.003*rate), int(0.004*rate)
	sum, n := 0.0, 0.0
	for i := int(0.002*rate) + lag + 1; i < min(len(e), int(releaseSeconds*rate)); i++ {
		sum += e[i-lag]
		n++
		if i <= least || e[i] <= releaseRise*sum/n {
			continue
		}
		for i > 0 && e[i] > releaseFoot*sum/n {
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
	fall = max(-releaseMostDB/3, min(releaseMostDB, fall))
	return -releasePerShare*math.Log10(p.unlike(from, to, old)+1e-12)+releasePerDB*fall > odds
}

// A note that was let go may ring on for half a second, and what wavers in that
// is no note. It lies dyingUnder below the usual note and comes up over the sound
// before it by no more than dyingOver, and the sound goes on falling: by dyingFall
// since dyingSeconds before, and in itself. What lies more than dyingFar below
// the usual note may waver more, by 1 dB for every dyingSlack. All but the seconds
// are in dB. Of 4 200 notes of sampled instruments none lay so far below the
// others, but those were played about equally loud: it is the falling that spares
// a sudden piano.
const (
	dyingUnder   = 12.0
	dyingOver    = 1.0
	dyingFall    = 5.0
	dyingSeconds = 0.120
	dyingFar     = 20.0
	dyingSlack   = 3.0
)

// dying tells whether what seems to begin at a place, in seconds, and is as loud
// as told, in dB, is only a note dying away.
func (p *placer) dying(at, loud float64) bool {
	level := func(from float64) float64 {
		return decibels(p.power(int((at+from)*p.hz), int((at+from+0.025)*p.hz)))
	}
	usual, known := p.loud.median()
	under := usual - loud
	if !known || under < dyingUnder {
		return false
	}
	slack := max(0, under-dyingFar) / dyingSlack
	late := level(0.075)
	return loud < level(-0.025)+dyingOver+slack &&
		late < level(-dyingSeconds)-dyingFall && late < level(0.005)
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
