package follow

import (
	"math"
	"slices"

	"footing/audio/hear"
)

// Fate is what became of a note that was to be played.
type Fate string

// The fates.
const (
	Right  Fate = "right"
	Wrong  Fate = "wrong"  // another was played in its place
	Missed Fate = "missed" // none was
	Unsure Fate = "unsure" // the ears cannot tell
)

// Played is what was played for a want.
type Played struct {
	Fate Fate
	// Onset is its index among the rep's onsets, −1 for none.
	Onset int
	// Note is what was heard, as tuned to the wants; 0 for nothing.
	Note float64
}

// Extra is a note that belongs to no want.
type Extra struct {
	Onset int // its index among the rep's onsets
	// After is the want that it comes after, −1 before the first.
	After int
	Note  float64 // as Played.Note
	// Sure is true where it was certainly played: it is neither the note before nor
	// the one after, and sounded long enough.
	Sure bool
}

// Rep is a rep as it was played.
type Rep struct {
	Wants  []Played // for each want
	Extras []Extra  // in order of time; what may be heard beside a want is none
}

// Follower knows a take. It may be used by several goroutines at once.
type Follower struct {
	pitches hear.Pitches
	tuning  float64
	quiet   float64 // dB under which nothing is played
}

// What a fault must show. Chosen on the takes of package planted, by hand.
const (
	settles    = 0.02 // seconds after an onset until its pitch stands
	before     = 0.01 // seconds before the next onset that it no longer does
	steady     = 0.35 // semitones to either side of its pitch, a held note moves: one that is drawn up moves more
	leastExact = 2    // moments of the very pitch, and
	leastSame  = 5    // of it or of a harmonic of it, make it sure,
	mostly     = 0.6  // if so many of the moments with a pitch have it,
	hardly     = 0.15 // and hardly any speak for what was to be played
	leastEmpty = 8    // moments without a note make a missed one sure,
	mostEmpty  = 0.6  // if they are most
	fallsDB    = 6    // by which a note that is over has fallen, in a room
	quietDB    = 26   // under the notes of the take, nothing is played
	// What comes so shortly before a note, and so near its pitch in semitones, may be how
	// that is begun.
	drawnSeconds, drawnUp = 0.12, 1.2
	early, late           = 0.3, 0.1 // spans before a place, and before the next one, to look for its note
)

// NewFollower follows through a take in which these pitches sounded, tuned so many
// semitones higher than the wants.
func NewFollower(p hear.Pitches, tuning float64) *Follower {
	f := &Follower{pitches: p, tuning: tuning}
	var levels []float64
	for _, m := range p.Between(0, math.Inf(1)) {
		if m.Note > 0 {
			levels = append(levels, m.Level)
		}
	}
	if len(levels) > 0 {
		slices.Sort(levels)
		f.quiet = levels[len(levels)*3/4] - quietDB
	}
	return f
}

// Heard are onsets as they are set against wants.
func (f *Follower) Heard(onsets []hear.Onset) []Heard {
	out := make([]Heard, len(onsets))
	for i, o := range onsets {
		out[i].Seconds = o.Seconds
		if o.Midi != 0 {
			out[i].Note = float64(o.Midi) + o.Cents/100 - f.tuning
		}
	}
	return out
}

// Rep says what was played in a rep: wants are its notes and onsets what was heard
// of it, both in order of time.
func (f *Follower) Rep(wants []Want, onsets []hear.Onset) Rep {
	heard := f.Heard(onsets)
	r := Rep{Wants: make([]Played, len(wants))}
	s := spans(wants)
	owner := Align(wants, heard)
	taken := make([]int, len(heard)) // the want of each, from 1
	for i, j := range owner {
		if j >= 0 {
			taken[j] = i + 1
		}
	}
	next := func(j int) float64 {
		if j+1 < len(heard) {
			return heard[j+1].Seconds
		}
		return math.Inf(1)
	}
	for i, w := range wants {
		p := Played{Fate: Unsure, Onset: owner[i]}
		from := w.Seconds - early*s[i]
		if owner[i] >= 0 {
			h := heard[owner[i]]
			p.Note = h.Note
			switch how(w, h.Note) {
			case same:
				p.Fate = Right
			case other:
				if f.sounds(h.Note, h.Seconds, next(owner[i])) && f.absent(wants, i, h.Note, min(from, h.Seconds), next(owner[i])) {
					p.Fate = Wrong
				}
			}
		} else if f.empty(wants, i, from, f.until(wants, owner, heard, s, i)) {
			p.Fate = Missed
		}
		r.Wants[i] = p
	}
	after := -1
	for j, h := range heard {
		if taken[j] > 0 {
			after = taken[j] - 1
			continue
		}
		e := Extra{Onset: j, After: after, Note: h.Note}
		around := wants[max(0, after):min(len(wants), nextOwned(owner, after)+1)]
		if !slices.ContainsFunc(around, func(w Want) bool { return h.Note != 0 && of(h.Note, w.Beside) }) {
			drawn := next(j) <= h.Seconds+drawnSeconds && taken[j+1] > 0 && wants[taken[j+1]-1].off(h.Note) <= drawnUp
			e.Sure = h.Note != 0 && !drawn && f.sounds(h.Note, h.Seconds, next(j)) &&
				!slices.ContainsFunc(around, func(w Want) bool { return of(h.Note, w.Sounds) })
			r.Extras = append(r.Extras, e)
		}
	}
	return r
}

// nextOwned is the first want after one for which something was played.
func nextOwned(owner []int, after int) int {
	for i := after + 1; i < len(owner); i++ {
		if owner[i] >= 0 {
			return i
		}
	}
	return len(owner)
}

// until is how far a want that has no onset may sound.
func (f *Follower) until(wants []Want, owner []int, heard []Heard, s []float64, i int) float64 {
	end := wants[i].Seconds + 0.7*s[i]
	if i+1 < len(wants) {
		end = wants[i+1].Seconds - late*s[i]
		if j := owner[i+1]; j >= 0 {
			end = min(end, heard[j].Seconds-before)
		}
	}
	return end
}

// sounds reports whether a pitch surely sounded after an onset.
func (f *Follower) sounds(note, onset, next float64) bool {
	exactly, n, of := 0, 0, 0
	for _, m := range f.moments(onset+settles, min(next-before, onset+longestSpan)) {
		if m.Note == 0 {
			continue
		}
		of++
		switch {
		case math.Abs(m.Note-note) <= steady:
			exactly++
			n++
		case liken(m.Note, note) == harmonic:
			n++
		}
	}
	return exactly >= leastExact && n >= leastSame && float64(n) >= mostly*float64(of)
}

// absent reports whether hardly a moment speaks for a want rather than for what was
// heard instead.
func (f *Follower) absent(wants []Want, i int, instead, from, to float64) bool {
	n, of := 0, 0
	for _, m := range f.moments(from, min(to, from+2*longestSpan)) {
		if m.Note == 0 {
			continue
		}
		of++
		if how(wants[i], m.Note) != other && (liken(m.Note, instead) == other || wants[i].off(m.Note) < math.Abs(m.Note-instead)) {
			n++
		}
	}
	return float64(n) <= hardly*float64(of)
}

// empty reports whether a want surely did not sound from one time to another: what
// did was another note, or nothing.
func (f *Follower) empty(wants []Want, i int, from, to float64) bool {
	for _, m := range f.moments(from, to) {
		if m.Note != 0 && how(wants[i], m.Note) != other {
			return false
		}
	}
	n, all, loud := 0, 0, math.Inf(1)
	for _, m := range f.moments(wants[i].Seconds, to) {
		if all == 0 {
			loud = m.Level - fallsDB
		}
		all++
		switch {
		case i > 0 && m.Level > loud && how(wants[i-1], m.Note) == same:
			// The note before goes on, or seems to: under a slur a moment's pitch clings to it.
		case m.Note != 0 || m.Level < f.quiet:
			n++
		}
	}
	return n >= leastEmpty && float64(n) >= mostEmpty*float64(all)
}

// moments are those from one time to another, as tuned to the wants.
func (f *Follower) moments(from, to float64) []hear.Moment {
	list := f.pitches.Between(from, to)
	for i := range list {
		if list[i].Note != 0 {
			list[i].Note -= f.tuning
		}
	}
	return list
}
