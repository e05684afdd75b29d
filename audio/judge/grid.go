package judge

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
	// Cycle is how many slots what is played over and over has, each time counting
	// as a rep; 0 where it is a beat. On a regular grid.
	Cycle int
	// First is the time in seconds of slot 1 of rep 1 on a regular grid.
	First float64
	// Places is the list of expected slots in order of time; empty on a
	// regular grid.
	Places []Place
	// Landing is true when the last slot of each rep is the landing.
	Landing bool
}

// Regular reports whether the grid goes on for ever, each beat counting as a
// rep.
func (g Grid) Regular() bool { return len(g.Places) == 0 }

// cycle is how many slots make a rep of a regular grid.
func (g Grid) cycle() int {
	if g.Cycle > 0 {
		return g.Cycle
	}
	return g.SlotsPerBeat
}

// Hint is what is known before the grid is looked for. The zero Hint is
// nothing.
type Hint struct {
	// BPM in beats per minute; 0 when not known.
	BPM float64
	// SlotsPerBeat, 1 to 12; 0 when not known.
	SlotsPerBeat int
	// Cycle is how many slots what is played over and over has; 0 when not known.
	Cycle int
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

// Search says how a search for a grid ended.
type Search string

// The ends of a search.
const (
	// Found: the best of the candidates fits the onsets.
	Found Search = "found"
	// Given: the hint named the grid, and the one candidate is that.
	Given Search = "given"
	// NoNotes, TooFewNotes and NoPace are why there is no candidate: nothing was
	// heard, too few notes, or they keep no steady pace.
	NoNotes     Search = "no notes"
	TooFewNotes Search = "too few notes"
	NoPace      Search = "no pace"
)

// Finding is the outcome of a search for a grid.
type Finding struct {
	// Search says how it ended.
	Search Search
	// Candidates, best first; empty when no grid explains the onsets.
	Candidates []Candidate
	// Rivals are the candidates after the first that are about as good, three
	// at most. With any, the finding is ambiguous.
	Rivals []Candidate
	// Told is the grid that the hint named, when it did: the candidate differs
	// from it where another tempo, or slots twice or half as long, were heard.
	Told Grid
}

// Otherwise reports whether what was told is not what was heard.
func (f Finding) Otherwise() bool {
	if f.Search != Given {
		return false
	}
	g := f.Candidates[0].Grid
	return g.BPM != f.Told.BPM || g.SlotsPerBeat != f.Told.SlotsPerBeat
}

// Ambiguous reports whether another candidate is about as good as the first.
func (f Finding) Ambiguous() bool { return len(f.Rivals) > 0 }
