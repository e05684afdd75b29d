package hearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footing/audio/judge"
	"footing/audio/stat"
)

// Climbed is what was heard of a take on one rung, where it was played on several.
type Climbed struct {
	// BPM is the step's rung where it is near one, else about what was played, in beats
	// a minute.
	BPM float64
	// FirstRep and Reps say which reps, the first of the take being 1.
	FirstRep, Reps int
	// LateMs is by how much the note of the weak change usually comes late on this rung
	// (negative: early), and SpreadMs by how much the notes scatter about what they
	// are over all rungs, in milliseconds. LateMs is 0 where there is no weak change.
	LateMs, SpreadMs float64
}

const (
	// otherRung is how far, as a share, tempos of one take lie apart to be of two rungs.
	otherRung = 0.03
	// fewInRep notes are too few to tell a rep's tempo.
	fewInRep = 4
)

// climbed parts the reps of a take by their rungs; nil where it kept to one.
func (r Report) climbed() []Climbed {
	if r.Source != FromRoutine || r.FitsBadly {
		return nil
	}
	var out []Climbed
	rep := r.rung.Grid(1, 0).Places
	byRep := map[int][]judge.Note{}
	last := 0
	for _, n := range r.Notes {
		if n.Kind == judge.Played && n.Slot <= len(rep) {
			byRep[n.Rep] = append(byRep[n.Rep], n)
			last = max(last, n.Rep)
		}
	}
	var tempos []float64
	for k := 1; k <= last; k++ {
		bpm := tempoOf(byRep[k], rep, r.rung.Tempo.BPM())
		i := len(out) - 1
		if bpm == 0 && i < 0 {
			continue
		}
		if i < 0 || bpm > 0 && math.Abs(bpm/stat.Median(tempos)-1) > otherRung {
			out, tempos = append(out, Climbed{FirstRep: k}), nil
			i++
		}
		if bpm > 0 {
			tempos = append(tempos, bpm)
		}
		out[i].Reps = k + 1 - out[i].FirstRep
		out[i].BPM = r.rung.nearest(stat.Median(tempos))
	}
	if len(out) < 2 {
		return nil
	}
	for i := range out {
		c := &out[i]
		var late []float64
		squares, count := 0.0, 0.0
		for k := c.FirstRep; k < c.FirstRep+c.Reps; k++ {
			for _, n := range byRep[k] {
				if w := r.Weak; w != nil && n.Slot == w.ToSlot {
					late = append(late, n.DeviationMs)
				}
				for _, s := range r.Slots {
					if s.Slot == n.Slot {
						squares += (n.DeviationMs - s.MeanMs) * (n.DeviationMs - s.MeanMs)
						count++
					}
				}
			}
		}
		c.SpreadMs = math.Sqrt(squares / max(1, count))
		if len(late) > 0 {
			c.LateMs = stat.Median(late)
		}
	}
	return out
}

// tempoOf is at what tempo a rep was played whose places are of a tempo of bpm: the
// median slope of its notes (Theil 1950, Sen 1968); 0 where there are too few.
func tempoOf(notes []judge.Note, places []judge.Place, bpm float64) float64 {
	if len(notes) < fewInRep {
		return 0
	}
	var slopes []float64
	for i, n := range notes {
		for _, m := range notes[:i] {
			if d := places[n.Slot-1].Seconds - places[m.Slot-1].Seconds; d > 0 {
				slopes = append(slopes, (n.Seconds-m.Seconds)/d)
			}
		}
	}
	if s := stat.Median(slopes); s > 0 {
		return bpm / s
	}
	return 0
}

// tempoWords is the tempo of the take, or from which to which it went.
func (r Report) tempoWords() string {
	if len(r.Climbed) == 0 {
		return hundredths(r.Grid.BPM) + " bpm"
	}
	least := slices.MinFunc(r.Climbed, byTempo)
	most := slices.MaxFunc(r.Climbed, byTempo)
	return fmt.Sprintf("%s to %s bpm", tenths(least.BPM), tenths(most.BPM))
}

func byTempo(a, b Climbed) int { return cmp.Compare(a.BPM, b.BPM) }

// climbedWords says that a take was played on several rungs.
func (r Report) climbedWords() string {
	return fmt.Sprintf("The take was played on several rungs, %s; each rep is heard at its own tempo.", r.tempoWords())
}

// climbTable is a line for each rung.
func (r Report) climbTable() string {
	return table(func(row func(cells ...string)) {
		head := []string{"tempo", "reps", "spread"}
		if r.Weak != nil {
			head = append(head, "the weak change")
		}
		row(head...)
		for _, c := range r.Climbed {
			cells := []string{tenths(c.BPM) + " bpm", fmt.Sprint(c.Reps), fmt.Sprintf("%.0f ms", c.SpreadMs)}
			if r.Weak != nil {
				cells = append(cells, signedMs(c.LateMs))
			}
			row(cells...)
		}
	})
}
