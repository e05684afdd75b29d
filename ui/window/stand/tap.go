package stand

import (
	"slices"
	"time"

	"footing/audio/click"
)

// tapper finds a tempo from taps: the median of the intervals, of at least
// four taps, so that one tap that went astray does no harm.
type tapper struct {
	taps []time.Time
}

// leastTaps is how many taps make a tempo.
const leastTaps = 4

// mostTaps is how many of the latest taps count.
const mostTaps = 9

// tap takes a tap at a time. taps is how many there are now; tempo, in whole
// bpm, is 0 while there are too few. A pause of more than the longest beat, or
// of more than two and a half times the interval so far, begins anew.
func (t *tapper) tap(at time.Time) (tempo click.Tempo, taps int) {
	if t.over(at) {
		t.taps = nil
	}
	t.taps = append(t.taps, at)
	if len(t.taps) > mostTaps {
		t.taps = t.taps[1:]
	}
	if len(t.taps) < leastTaps {
		return 0, len(t.taps)
	}
	beat := t.median()
	if beat <= 0 {
		return click.MaxTempo, len(t.taps)
	}
	bpm := (int64(time.Minute) + int64(beat)/2) / int64(beat)
	return (click.Tempo(bpm) * 1000).Clamp(), len(t.taps)
}

// over reports whether a tap at a time comes too late to belong to those before.
func (t *tapper) over(at time.Time) bool {
	n := len(t.taps)
	if n == 0 {
		return false
	}
	gap := at.Sub(t.taps[n-1])
	return gap > 6*time.Second || n > 2 && gap > 2*t.median()+t.median()/2
}

// median of the intervals between the taps.
func (t *tapper) median() time.Duration {
	var gaps []time.Duration
	for i := 1; i < len(t.taps); i++ {
		gaps = append(gaps, t.taps[i].Sub(t.taps[i-1]))
	}
	slices.Sort(gaps)
	n := len(gaps)
	if n%2 == 1 {
		return gaps[n/2]
	}
	return (gaps[n/2-1] + gaps[n/2]) / 2
}
