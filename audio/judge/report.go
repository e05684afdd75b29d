package judge

import "footing/audio/hear"

// NoteKind says what part a note plays in the evenness of a take.
type NoteKind string

// The kinds of note.
const (
	// Played is the note of its slot.
	Played NoteKind = "played"
	// Doubled is a second note on a slot that has one already.
	Doubled NoteKind = "doubled"
	// Extra is a note that belongs to no slot.
	Extra NoteKind = "extra"
)

// Note is an onset set against the grid.
type Note struct {
	hear.Onset
	// Kind is empty when there is no grid.
	Kind NoteKind
	// Slot and Rep, counted from 1; both 0 for an extra note or without a grid.
	Slot, Rep int
	// GridSeconds is where the slot lies after the take's own offset and
	// drift, so Seconds - GridSeconds is the deviation.
	GridSeconds float64
	// DeviationMs is how late the note is on its slot (negative: early), in
	// milliseconds: its asynchrony less the take's offset and drift.
	DeviationMs float64
}

// Missed is a slot within the take on which no note was heard.
type Missed struct {
	Slot int
	Rep  int
	// Seconds is where the note would have been.
	Seconds float64
}

// SlotStat sums up one slot over all reps.
type SlotStat struct {
	Slot int
	// Notes counts the played notes the figures rest on.
	Notes int
	// MeanMs is the mean deviation, late positive, in which a single slip weighs
	// little: the slot's systematic unevenness. SpreadMs is the standard deviation over the reps: its
	// instability. Both in milliseconds.
	MeanMs   float64
	SpreadMs float64
	// Missed and Doubled count slots without a note and notes beyond the first.
	Missed  int
	Doubled int
}

// ChangeStat sums up the change between two neighbouring slots over all reps.
type ChangeStat struct {
	FromSlot int
	ToSlot   int
	// Count of the pairs the figures rest on.
	Count int
	// MeanMs is by how much the inter-onset interval is longer than even
	// (negative: shorter), SpreadMs its standard deviation, in milliseconds.
	MeanMs   float64
	SpreadMs float64
	// Effect is MeanMs over SpreadMs (Cohen's d of one sample), bounded to ±99.
	Effect float64
	// P is the chance, 0 to 1, that an even player would show a change this
	// far out somewhere in the take; 1 when it cannot be said.
	P float64
	// Audible is true when MeanMs is above the just noticeable difference.
	Audible bool
}

// WeakChange is the one change most worth practising: the change into the
// note that is out of place.
type WeakChange struct {
	FromSlot int
	ToSlot   int
	// LateMs is by how much the second note comes late (negative: early) on
	// the grid that the other slots make, in milliseconds; a slip in a single
	// rep weighs little in it.
	LateMs float64
	// Effect is LateMs over the note's spread from rep to rep, bounded to ±99.
	Effect float64
	// P is the chance, 0 to 1, that some note of an even take would stand out
	// as far, allowing for how well onsets are placed.
	P float64
	// CatchesUp is true when the change after it makes good for it.
	CatchesUp bool
}

// Cut is what to cut out and loop: a change with the note before it, and the
// landing after.
type Cut struct {
	// FromSlot and ToSlot are the first and last slot to play and Landing the
	// slot to land on, all counted from 1 in the rep. On a regular grid they
	// may lie beyond the rep's last slot, in the next one.
	FromSlot int
	ToSlot   int
	Landing  int
	// FirstBeat, counted from 1 in the rep, and Beats give the same in whole
	// beats, as a routine's chunk takes them.
	FirstBeat int
	Beats     int
}

// Departure is a slot whose notes lie off the grid that the other slots make.
type Departure struct {
	// FromSlot and ToSlot are the change into it; FromSlot is 0 when no change
	// leads into the slot, as after a breath.
	FromSlot, ToSlot int
	// LateMs is by how much its notes come late (negative: early), in
	// milliseconds.
	LateMs float64
}

// Report is a take set against a grid, and what follows from it.
type Report struct {
	// Notes are all onsets in order of time, set against the grid when there is one.
	Notes []Note
	// Grid is the grid the notes were set against; HasGrid is false without one.
	Grid    Grid
	HasGrid bool
	// Reps counts the reps with at least one note.
	Reps int
	// Slots and Changes in order; empty without a grid.
	Slots   []SlotStat
	Changes []ChangeStat
	// Missed slots in order of time.
	Missed []Missed
	// Doubled and Extra count the notes of those kinds.
	Doubled, Extra int
	// Outside counts the extra ones that lie outside the reps, in a breath say.
	Outside int
	// OffsetMs is how late the whole take lies on the grid, its mean asynchrony, and
	// DriftMsPerMinute by how much it falls behind the given tempo (negative:
	// runs ahead); both were removed before anything else was measured. The
	// drift is 0 unless it is beyond its own error (two sides, 95 %), which
	// on a short take is wide.
	OffsetMs, DriftMsPerMinute float64
	// SystematicMs is the spread of the slots' means and InstabilityMs the
	// usual spread within a slot from rep to rep, in milliseconds (van Vugt,
	// Jabusch & Altenmüller 2012, Front. Psychol. 3:495).
	SystematicMs, InstabilityMs float64
	// EntryMs is how evenly the reps begin: the spread of their starts about a
	// steady pulse, in milliseconds; 0 where they follow none.
	EntryMs float64
	// Clicks is true when what was heard beside the notes is a metronome, to which
	// they may be drawn.
	Clicks bool
	// JNDMs is the just noticeable difference at this tempo, in milliseconds.
	JNDMs float64
	// Weak is the change to work on; nil when none stands out or it cannot be said.
	Weak *WeakChange
	// Cut is the chunk to cut around the weak change; nil without one.
	Cut *Cut
	// Outcome is what can be said of the evenness as a whole.
	Outcome Outcome
	// Also is the next change that comes back, beside the weak one and about as
	// far out of place; nil without one.
	Also *Departure
	// Entry is a first note that comes in late or early after every breath; nil
	// without one.
	Entry *Departure
	// Perhaps is the change that stands out when Outcome is [PerhapsHabit];
	// otherwise nil.
	Perhaps *Departure
}
