package judge

import "math"

// Outcome is what can be said of the evenness of a take as a whole.
type Outcome string

// The outcomes. A report without a grid or without notes has none.
const (
	// TooLittle was heard on the grid to say anything.
	TooLittle Outcome = "too little"
	// Habit: one change stands out, by more than chance would have it.
	Habit Outcome = "habit"
	// With [FewReps] or fewer nothing is sure. PerhapsHabit: one change stands
	// out so far. UnsteadySoFar: the notes scatter. ChanceSoFar: what stands out
	// may be chance. EvenSoFar: nothing stands out.
	PerhapsHabit  Outcome = "perhaps a habit"
	UnsteadySoFar Outcome = "unsteady so far"
	ChanceSoFar   Outcome = "chance so far"
	EvenSoFar     Outcome = "even so far"
	// EntryOff: no change stands out, but the first note after every breath.
	EntryOff Outcome = "entry off"
	// Unsteady: no one change is to blame, the notes scatter.
	Unsteady Outcome = "unsteady"
	// EvenByChance: some slot lies farther off than an ear can tell, but by no
	// more than chance would have it.
	EvenByChance Outcome = "even but for chance"
	// Even: no slot lies farther off than an ear can tell.
	Even Outcome = "even"
)

// practisedScatterMs is about what the notes of a practised player scatter by
// (common practice, no source).
const practisedScatterMs = 10.0

// conclude sums the report up.
func (e *evenness) conclude() {
	r := e.r
	if entry, ok := e.entry(); ok {
		r.Entry = e.departure(entry)
	}
	most, ok := e.foremost()
	r.Outcome = e.outcome(most, ok)
	if r.Outcome == PerhapsHabit {
		r.Perhaps = e.departure(most)
	}
}

// outcome is what can be said, most being the slot that stands out most, if any
// change leads into one.
func (e *evenness) outcome(most standing, any bool) Outcome {
	r := e.r
	notes := 0
	for _, v := range e.values {
		notes += len(v)
	}
	switch {
	case r.Weak != nil:
		return Habit
	case !any || notes < 3:
		return TooLittle
	case r.Reps <= FewReps:
		return e.soFar(most)
	case e.slotN == 1 && r.InstabilityMs > r.JNDMs:
		return Unsteady
	case e.slotN == 1:
		return Even // there are no slots to compare
	case r.Entry != nil:
		return EntryOff
	case r.InstabilityMs > 2*r.JNDMs:
		return Unsteady
	case most.n > FewReps && math.Abs(most.late) > r.JNDMs:
		return EvenByChance
	}
	return Even
}

// soFar is the outcome of a take of too few reps.
func (e *evenness) soFar(most standing) Outcome {
	r := e.r
	// What one slot may lie off by chance alone: beyond what a practised player's
	// notes scatter by, or beyond what they scatter by here.
	chance := 2 * max(practisedScatterMs, r.InstabilityMs) / math.Sqrt(float64(most.n))
	bound := e.bound(most)
	switch {
	case math.Abs(most.late) >= math.Hypot(bound, chance):
		return PerhapsHabit
	case r.InstabilityMs > 2*r.JNDMs:
		return UnsteadySoFar
	case math.Abs(most.late) >= bound:
		return ChanceSoFar
	}
	return EvenSoFar
}

// entry is the slot that comes in late or early after every breath: no change
// leads into it.
func (e *evenness) entry() (standing, bool) {
	for _, s := range e.standings() {
		if e.into(s.slot) == nil && e.surely(s) {
			return s, true
		}
	}
	return standing{}, false
}

// departure is a slot's standing as the report has it.
func (e *evenness) departure(s standing) *Departure {
	d := &Departure{ToSlot: s.slot, LateMs: s.late}
	if into := e.into(s.slot); into != nil {
		d.FromSlot = into.FromSlot
	}
	return d
}
