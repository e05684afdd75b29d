package journal

import (
	"cmp"
	"slices"
	"time"

	"footing/audio/click"
	"footing/ladder"
)

// History is what is known of a step at a glance.
type History struct {
	Place  Place // where it was met last
	Piece  string
	From   int // bars, both included; 0 while nothing is known of them
	To     int
	Goal   click.Tempo // 0 while it is not known
	Stood  ladder.Bookmark
	LeftAt time.Time // zero when the step was never left
	// Days are the latest days with a clean rep, the latest first: as many as
	// Glance, today's included.
	Days []DayTally
	Last Day // the latest day with any rep, 0 when there is none
}

// Glance is how many days a [History] holds.
const Glance = 2

// Before is the latest day before today that has a clean rep.
func (h History) Before(today Day) (DayTally, bool) {
	for _, d := range h.Days {
		if d.Day < today {
			return d, true
		}
	}
	return DayTally{}, false
}

// about reports whether the history is of the passage of the step.
func (h History) about(s ladder.Step) bool {
	return h.Piece == s.Passage.Piece && h.From == s.Passage.From && h.To == s.Passage.To
}

// Book holds the histories of all steps, in memory, so that where the player stood
// is known at once. It takes in every [Entry] that is kept. It is not safe for
// use by several goroutines.
type Book struct {
	of  map[Place]*history
	run map[runKey][]Rep // what was played since the book was opened
}

type history struct {
	History
	before     []DayTally // as it was when the book was opened
	lastBefore Day
	runs       []runKey // of it in Book.run
}

type runKey struct {
	of      *history
	session int64
	form    Form
}

// NewBook is a book of what is known already: histories by the places they are
// found at. Places that share one share it in the book.
func NewBook(known []Found) *Book {
	b := &Book{of: map[Place]*history{}, run: map[runKey][]Rep{}}
	byID := map[int64]*history{}
	for _, f := range known {
		h := byID[f.ID]
		if h == nil {
			h = &history{History: f.History, before: f.History.Days, lastBefore: f.History.Last}
			byID[f.ID] = h
		}
		b.of[f.At] = h
	}
	return b
}

// Found is a history at one of its places; ID tells histories apart.
type Found struct {
	At Place
	ID int64
	History
}

// Of is the history of the step at a place; its zero value with the place where
// there is none.
func (b *Book) Of(p Place) History {
	if h := b.of[p]; h != nil {
		return h.History
	}
	return History{Place: p}
}

// All is every history once, by place.
func (b *Book) All() []History {
	var out []History
	for p, h := range b.of {
		if p == h.Place {
			out = append(out, h.History)
		}
	}
	slices.SortFunc(out, func(x, y History) int {
		return cmp.Or(cmp.Compare(x.Place.Routine, y.Place.Routine), cmp.Compare(x.Place.Step, y.Place.Step))
	})
	return out
}

// at is the history at a place, a new one where there is none.
func (b *Book) at(p Place) *history {
	h := b.of[p]
	if h == nil {
		h = &history{History: History{Place: p}}
		b.of[p] = h
	}
	return h
}

// Apply takes in what is kept.
func (b *Book) Apply(e Entry) {
	switch {
	case e.Rep != nil:
		b.played(*e.Rep, true)
	case e.Gone != nil:
		b.played(*e.Gone, false)
	case e.Left != nil:
		h := b.at(e.Left.Place)
		h.Stood, h.LeftAt = e.Left.Stood, e.Left.At
	case e.Met != nil:
		h := b.at(e.Met.Place)
		h.Place, h.Piece, h.From, h.To, h.Goal = e.Met.Place, e.Met.Piece, e.Met.From, e.Met.To, e.Met.Goal
	case e.Same != nil:
		h := b.at(e.Same.As)
		b.of[e.Same.Place] = h
		if e.Same.Moved {
			delete(b.of, e.Same.As)
			h.Place = e.Same.Place
		}
	case e.Fresh != nil:
		b.of[e.Fresh.Place] = &history{History: History{Place: e.Fresh.Place}}
	case e.Kept != nil:
		h := b.at(e.Kept.Place)
		h.before = glance(append(slices.Clone(h.before), DayTally{e.Kept.Day, Tally{Best: e.Kept.Best}}))
		h.lastBefore = max(h.lastBefore, e.Kept.Day)
		h.Days, h.Last = h.before, max(h.Last, e.Kept.Day)
	}
}

// played takes in a rep, in the place of the same one before, or takes it out.
func (b *Book) played(r Rep, there bool) {
	h := b.at(r.Place)
	k := runKey{h, r.Session.Key, r.Form}
	reps, known := b.run[k]
	if !known {
		h.runs = append(h.runs, k)
	}
	i, again := slices.BinarySearchFunc(reps, r, func(x, y Rep) int { return cmp.Compare(x.Number, y.Number) })
	switch {
	case again && there:
		reps[i] = r
	case again:
		reps = slices.Delete(reps, i, i+1)
	case there:
		reps = slices.Insert(reps, i, r)
	}
	b.run[k] = reps
	days := slices.Clone(h.before)
	h.Last = h.lastBefore
	for _, k := range h.runs {
		if reps := b.run[k]; len(reps) > 0 {
			day := DayOf(reps[0].Session.Start)
			days, h.Last = append(days, DayTally{day, Count(reps)}), max(h.Last, day)
		}
	}
	h.Days = glance(days)
}

// glance is the latest days that have a best, each once.
func glance(days []DayTally) []DayTally {
	sum := map[Day]Tally{}
	for _, d := range days {
		sum[d.Day] = sum[d.Day].Add(d.Tally)
	}
	var out []DayTally
	for day, t := range sum {
		if t.Best != 0 {
			out = append(out, DayTally{day, t})
		}
	}
	slices.SortFunc(out, func(x, y DayTally) int { return cmp.Compare(y.Day, x.Day) })
	return out[:min(len(out), Glance)]
}
