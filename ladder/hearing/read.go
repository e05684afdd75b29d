package hearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footing/audio/hear"
	"footing/audio/judge"
	"footing/audio/stat"
	"footing/ladder/hearing/follow"
	"footing/ladder/passage"
)

// Reading is a take set against its notes: what was played as written, and what was
// not. What the ears are not sure of is no fault.
type Reading struct {
	Tuned follow.Tuned
	// Reps that were followed: those in which at least half of the notes were heard.
	Reps int
	// Right counts notes played as written, and Unsure those of which the ears cannot
	// tell.
	Right, Unsure int
	// Faults are in order of time.
	Faults []Fault
}

// FaultKind is what is wrong with a note.
type FaultKind string

// The kinds of fault.
const (
	WrongNote  FaultKind = "wrong"
	MissedNote FaultKind = "missed"
	ExtraNote  FaultKind = "extra"
)

// Fault is a note that was surely not played as written.
type Fault struct {
	Kind FaultKind
	// Slot is the note in its rep and Rep the rep, both from 1. An extra note is on the
	// slot before it, 0 before the first.
	Slot, Rep int
	// Seconds of the take: where the note was heard, or a missed one expected.
	Seconds float64
	// Written is the pitch that was to be played, that of the slot; zero for an extra
	// note before the first.
	Written passage.Pitch
	// Heard is what was played, as the player reads it; zero for a missed note.
	Heard passage.Pitch
	// Note is the note number heard, with its fraction; 0 for a missed note.
	Note float64
}

// leastHeard is the share of a rep's notes that must be heard for it to be followed:
// one that was broken off is no rep with many notes missed.
const leastHeard = 0.5

// read sets the notes of the reps against those that were to be played.
func (r *Report) read(laid Laid, onsets []hear.Onset) {
	if r.rung.known == nil || !r.HasGrid {
		return
	}
	if r.Weak != nil {
		r.Cut = r.rung.cutAround(*r.Weak)
	}
	places := r.placesOf(laid)
	r.Reading = &Reading{Tuned: follow.Tuning(r.differences())}
	f := follow.NewFollower(r.Recording.Pitches, r.Reading.Tuned.Semitones)
	for rep, at := range places {
		r.readRep(f, rep+1, at, within(onsets, places, rep))
	}
	if said := r.Reading.shifted(); said != "" {
		r.Remarks = append(r.Remarks, said)
	}
	slices.SortStableFunc(r.Reading.Faults, func(a, b Fault) int {
		return cmp.Compare(a.Seconds, b.Seconds)
	})
}

// readRep sets a rep against its notes, whose places are at.
func (r *Report) readRep(f *follow.Follower, rep int, at []float64, onsets []hear.Onset) {
	wants := make([]follow.Want, len(at))
	for i, w := range r.rung.wants {
		wants[i] = follow.Want{Seconds: at[i], Sounds: numbers(w.Sounds), Beside: numbers(w.Beside)}
	}
	played := f.Rep(wants, onsets)
	heard := 0
	for _, p := range played.Wants {
		if p.Onset >= 0 {
			heard++
		}
	}
	if float64(heard) < leastHeard*float64(len(wants)) || heard == 0 {
		return
	}
	out := r.Reading
	out.Reps++
	name := func(slot int, note float64) passage.Pitch {
		w := r.rung.wants[max(0, slot-1)]
		return r.rung.known.Spell(w, int(math.Round(100*note)))
	}
	for i, p := range played.Wants {
		fault := Fault{Slot: i + 1, Rep: rep, Seconds: at[i], Written: r.rung.wants[i].Pitch}
		switch p.Fate {
		case follow.Right:
			out.Right++
			continue
		case follow.Unsure:
			out.Unsure++
			continue
		case follow.Wrong:
			fault.Kind, fault.Seconds = WrongNote, onsets[p.Onset].Seconds
			fault.Note, fault.Heard = p.Note, name(i+1, p.Note)
		case follow.Missed:
			fault.Kind = MissedNote
		}
		out.Faults = append(out.Faults, fault)
	}
	for _, e := range played.Extras {
		if !e.Sure {
			continue
		}
		fault := Fault{
			Kind: ExtraNote, Slot: e.After + 1, Rep: rep, Seconds: onsets[e.Onset].Seconds,
			Note: e.Note, Heard: name(e.After+1, e.Note),
		}
		if e.After >= 0 {
			fault.Written = r.rung.wants[e.After].Pitch
		}
		out.Faults = append(out.Faults, fault)
	}
}

// placesOf are where the notes of each rep lie in the take, as the player took them.
func (r *Report) placesOf(laid Laid) [][]float64 {
	n := len(r.rung.wants)
	found := map[[2]int]float64{}
	for _, note := range r.Notes {
		if note.Kind == judge.Played {
			found[[2]int{note.Rep, note.Slot}] = note.GridSeconds
		}
	}
	for _, m := range r.Missed {
		found[[2]int{m.Rep, m.Slot}] = m.Seconds
	}
	var off []float64
	for _, p := range laid.Grid.Places {
		if at, ok := found[[2]int{p.Rep, p.Slot}]; ok {
			off = append(off, at-p.Seconds)
		}
	}
	all := stat.Median(off)
	out := make([][]float64, laid.Reps)
	for _, p := range laid.Grid.Places {
		at, ok := found[[2]int{p.Rep, p.Slot}]
		if !ok {
			at = p.Seconds + all
		}
		if p.Rep >= 1 && p.Rep <= laid.Reps && len(out[p.Rep-1]) < n {
			out[p.Rep-1] = append(out[p.Rep-1], at)
		}
	}
	return out
}

// besideSeconds is how long before a rep's first note and after its last one what is
// heard belongs to it.
const besideSeconds = 0.35

// within are the onsets of a rep, by the places of all.
func within(onsets []hear.Onset, places [][]float64, rep int) []hear.Onset {
	at := places[rep]
	if len(at) == 0 {
		return nil
	}
	from, to := at[0]-besideSeconds, at[len(at)-1]+besideSeconds
	if rep > 0 && len(places[rep-1]) > 0 {
		from = max(from, (places[rep-1][len(places[rep-1])-1]+at[0])/2)
	}
	if rep+1 < len(places) && len(places[rep+1]) > 0 {
		to = min(to, (at[len(at)-1]+places[rep+1][0])/2)
	}
	first := func(t float64) int {
		i, _ := slices.BinarySearchFunc(onsets, t, func(o hear.Onset, t float64) int { return cmp.Compare(o.Seconds, t) })
		return i
	}
	return onsets[first(from):first(to)]
}

// differences are how far the notes of the take lie above those to be played, in
// semitones.
func (r *Report) differences() (out []float64) {
	for _, note := range r.Notes {
		w, ok := r.rung.want(note.Slot)
		if note.Kind != judge.Played || note.Midi == 0 || !ok {
			continue
		}
		best := math.Inf(1)
		for _, s := range w.Sounds {
			if d := float64(note.Midi) + note.Cents/100 - float64(s)/100; math.Abs(d) < math.Abs(best) {
				best = d
			}
		}
		out = append(out, best)
	}
	return out
}

func numbers(cents []int) []float64 {
	out := make([]float64, len(cents))
	for i, c := range cents {
		out[i] = float64(c) / 100
	}
	return out
}

// A is where the player's A lies, in Hz, what is no tuning left out.
func (r Reading) A() float64 {
	return 440 * math.Exp2((r.Tuned.Semitones-float64(r.Tuned.Shift))/12)
}

// shifted says that a take is another's than was thought; empty where it is not.
func (r Reading) shifted() string {
	s := r.Tuned.Shift
	if s == 0 {
		return ""
	}
	way := "higher"
	if s < 0 {
		way, s = "lower", -s
	}
	return fmt.Sprintf("the whole take sounds %s %s than the notes, and is set against them as moved: is the instrument right?",
		things(s, "semitone", "semitones"), way)
}
