package hearing

import (
	"math"
	"slices"

	"footing/audio/hear"
	"footing/audio/judge"
)

// What sounds in a take beside what is played over and over (a voice in the breaths, a
// hummed note, a chair) is told apart by this: runs of inRun notes that come back
// cameBack times, each distance a few slots, are the player's. When they make up
// mostPlayed of the take, others are strangers if most of them have none of the player's
// pitches, by a semitone or an octave that ears mistake, and they keep less than
// strangePace, of 1, to the slots, or lie parted, by partedBy slots on either side and
// partedInAll on both. Whatever their pitches, one alone is that lies parted by
// farInAll, and longStrange on end are that keep nothing to the slots.
const (
	inRun, cameBack = 3, 3
	mostPlayed      = 0.5
	partedBy        = 1.75
	partedInAll     = 6.0
	strangePace     = 0.7
	farInAll        = 8.0
	longStrange     = 5
	farInRun        = 4 // slots between two notes of a run
	nearSlots       = 0.2
)

// strangers tells which notes of a take with so many seconds a slot are none of what is
// played over and over; none where nothing is.
func strangers(onsets []hear.Onset, slot float64) (strange []bool, any bool) {
	strange = make([]bool, len(onsets))
	if slot <= 0 || len(onsets) <= inRun {
		return strange, false
	}
	apart := func(i int) float64 { // from note i-1 to note i, in slots
		if i == 0 || i == len(onsets) {
			return partedInAll / 2 // the take's end
		}
		return (onsets[i].Seconds - onsets[i-1].Seconds) / slot
	}
	type run [2*inRun - 1]int
	at := map[run][]int{}
	for i := 0; i+inRun <= len(onsets); i++ {
		var r run
		steady := true
		for k := range inRun {
			r[k] = onsets[i+k].Midi
			if k > 0 {
				d := apart(i + k)
				whole := math.Round(d)
				steady = steady && whole >= 1 && whole <= farInRun && math.Abs(d-whole) < nearSlots
				r[inRun+k-1] = int(min(whole, farInRun+1))
			}
		}
		if steady {
			at[r] = append(at[r], i)
		}
	}
	known, count := make([]bool, len(onsets)), 0
	pitches := map[int]bool{}
	for _, places := range at {
		if len(places) < cameBack {
			continue
		}
		for _, i := range places {
			for k := i; k < i+inRun; k++ {
				if !known[k] {
					known[k], count = true, count+1
					for _, d := range []int{0, 1, -1, 12, -12} {
						pitches[onsets[k].Midi+d] = true
					}
				}
			}
		}
	}
	if float64(count) < mostPlayed*float64(len(onsets)) {
		return strange, false
	}
	for from := 0; from < len(onsets); from++ {
		if known[from] {
			continue
		}
		to, pace, foreign := from, 0.0, 0
		for ; to < len(onsets) && !known[to]; to++ {
			if !pitches[onsets[to].Midi] {
				foreign++
			}
			if to > 0 {
				pace += math.Cos(2 * math.Pi * apart(to))
			}
		}
		n := to - from
		before, after := apart(from), apart(to)
		parted := min(before, after) > partedBy && before+after > partedInAll
		pace /= float64(max(1, to-max(1, from)))
		others := 2*foreign > n
		if others && (parted || n > 1 && pace < strangePace) ||
			n == 1 && parted && before+after > farInAll || n >= longStrange && pace < 0 {
			for k := from; k < to; k++ {
				strange[k], any = true, true
			}
		}
		from = to
	}
	return strange, any
}

// apartFrom parts the notes of a take from its strangers, by the grid that was told or
// found in all of them.
func apartFrom(onsets []hear.Onset, f judge.Finding) (played []hear.Onset, others []judge.Note) {
	var strange []bool
	any := false
	for _, g := range []judge.Grid{f.Told, f.Candidates[0].Grid} {
		if !any && g.BPM > 0 && g.SlotsPerBeat > 0 {
			strange, any = strangers(onsets, 60/g.BPM/float64(g.SlotsPerBeat))
		}
	}
	if !any {
		return onsets, nil
	}
	for i, o := range onsets {
		if strange[i] {
			others = append(others, judge.Note{Onset: o, Kind: judge.Extra})
		} else {
			played = append(played, o)
		}
	}
	return played, others
}

// beside adds notes to a report that are set against nothing but lie outside the reps.
func (r *Report) beside(others []judge.Note) {
	r.Extra += len(others)
	r.Outside += len(others)
	r.Notes = append(r.Notes, others...)
	slices.SortStableFunc(r.Notes, func(a, b judge.Note) int {
		switch {
		case a.Seconds < b.Seconds:
			return -1
		case a.Seconds > b.Seconds:
			return 1
		}
		return 0
	})
}

// The mains hum at mains Hz, or twice that, and are heard as a note of that pitch to
// humCents; none of equal temperament at A = 440 Hz lies nearer than 34. It is a note
// that is seldom heard, in a share of mostHum, and humBelow semitones or more under the
// others.
const (
	humCents = 15.0
	mostHum  = 0.15
	humBelow = 7
)

var mains = [...]float64{50, 60, 100, 120}

// withoutHum leaves out what is the mains' and no note, and tells how many Hz they hum
// at; 0 where they do not.
func withoutHum(onsets []hear.Onset) ([]hear.Onset, float64) {
	for _, hz := range mains {
		pitch := 69 + 12*math.Log2(hz/440)
		hum := func(o hear.Onset) bool {
			return o.Midi > 0 && math.Abs(float64(o.Midi)+o.Cents/100-pitch) < humCents/100
		}
		n, low := 0, 0
		for _, o := range onsets {
			switch {
			case hum(o):
				n++
			case o.Midi > 0 && float64(o.Midi) < pitch+humBelow:
				low++
			}
		}
		if n > 0 && low == 0 && float64(n) <= max(2, mostHum*float64(len(onsets))) && len(onsets) > n+inRun {
			return slices.DeleteFunc(slices.Clone(onsets), hum), hz
		}
	}
	return onsets, 0
}
