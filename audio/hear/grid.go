package hear

// Place is one slot at which a note is expected.
type Place struct {
	// Seconds from the first sample of the take (or from any fixed moment:
	// a constant offset is found and removed).
	Seconds float64
	// Slot within the rep and Rep, both counted from 1.
	Slot, Rep int
}

// Grid is where notes are expected. It is either regular and endless (tempo,
// slots a beat, the time of a first slot; each beat then counts as one rep)
// or a plain list of places, as a routine's step gives it. The zero Grid is
// no grid.
type Grid struct {
	// BPM is the tempo in beats per minute and SlotsPerBeat the slots in each
	// beat, both as given or found; with Places they only serve the wording.
	BPM          float64
	SlotsPerBeat int
	// First is the time in seconds of slot 1 of rep 1 on a regular grid.
	First float64
	// Places is the list of expected slots in order of time; empty on a
	// regular grid.
	Places []Place
	// Landing is true when the last slot of each rep is the landing.
	Landing bool
}

// Hint is what is known before the grid is looked for. The zero Hint is
// nothing.
type Hint struct {
	// BPM in beats per minute; 0 when not known.
	BPM float64
	// SlotsPerBeat, 1 to 12; 0 when not known.
	SlotsPerBeat int
	// First is the time in seconds of a note known to lie on slot 1; it
	// counts only when FirstKnown.
	First      float64
	FirstKnown bool
}

// Candidate is one grid that would explain the onsets.
type Candidate struct {
	Grid Grid
	// Score says how well it explains them, 0 to 1.
	Score float64
}

// Finding is the outcome of a search for a grid.
type Finding struct {
	// Candidates, best first; empty when no grid explains the onsets.
	Candidates []Candidate
	// Ambiguous is true when the second candidate is about as good as the first.
	Ambiguous bool
	// Sentence says what was found, and which candidates there are when it is
	// ambiguous, in plain words.
	Sentence string
}
