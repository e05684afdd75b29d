package hearing

import (
	"math"

	"footing/audio/hear"
)

// mostShifts is how many notes of a rep a lay is shifted by at most.
const mostShifts = 64

// layByNotes finds whether a lay that fits in time fits the pitches better when it
// begins some notes earlier or later: where the same note is missing in every rep, the
// others lie on their neighbours' places as well. Without notes the lay stays.
func (r Rung) layByNotes(onsets []hear.Onset, laid Laid) Laid {
	if len(r.wants) == 0 || laid.Reps == 0 {
		return laid
	}
	m := r.matcher(onsets)
	first, most := laid.First, r.agreement(m, laid.First, laid.Reps)
	for _, at := range m.rep[1:min(len(m.rep), mostShifts)] {
		for _, by := range []float64{-at, at} {
			// What is in doubt stays as it was.
			if n := r.agreement(m, laid.First+by, laid.Reps); n > 1.3*most+1 {
				first, most = laid.First+by, n
			}
		}
	}
	if first == laid.First {
		return laid
	}
	return m.laid(m.back(first))
}

// agreement counts the notes of reps that begin at first which have the pitch that is
// written, or, as of an instrument that sounds otherwise, lie as far from it as most.
func (r Rung) agreement(m *matcher, first float64, reps int) float64 {
	apart := map[int]int{}
	for rep := range reps {
		for i, at := range m.rep {
			at += first + float64(rep)*m.period
			best, note := m.within, 0
			for k := m.after(at - m.within); k < len(m.onsets) && m.onsets[k].Seconds <= at+m.within; k++ {
				if d := math.Abs(m.onsets[k].Seconds - at); d <= best {
					best, note = d, m.onsets[k].Midi
				}
			}
			if note != 0 {
				apart[note-int(math.Round(float64(r.wants[i].Sounds[0])/100))]++
			}
		}
	}
	other := 0
	for d, n := range apart {
		if d != 0 {
			other = max(other, n)
		}
	}
	return max(float64(apart[0]), 0.8*float64(other))
}
