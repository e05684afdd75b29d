package ladder

import (
	"slices"

	"footing/audio/click"
)

// Standing is where the player stands on the ladder of a step. It is a value:
// nothing writes to its slices after they are set.
type Standing struct {
	Rungs []click.Tempo // slowest first, ending on the goal
	Rung  int           // index of the rung in force
	// ByHand is a tempo off the ladder, set by hand; 0 when a rung is in force.
	ByHand click.Tempo
	// Round is the verdicts of the reps on this rung, oldest first, at most the
	// step's reps; then a new round begins.
	Round              []Verdict
	CleanRun, RoughRun int // verdicts in a row on this rung
	Played             int // reps on this rung, skipped ones too
	// Footing is the fastest rung found clean again and again, 0 until then.
	Footing click.Tempo
	// Count is the reps that count towards the end of a rung's turn, for the
	// rules that count reps (steady, leap, arch).
	Count int
	// Turned is true on the way down of an arch, at the goal's turn of a leap,
	// and after two rungs up, when one down is next.
	Turned bool
	// Slow is the slow rung of a leap, kept during the goal's turn.
	Slow int
	// Settled is true once a footing was found under settle.
	Settled bool
	// TooHard proposes a smaller chunk: the lowest rung is still rough.
	TooHard bool
	// Done is true when the rule has run its course.
	Done bool
}

// NewStanding is where a step begins: on the lowest rung. The step must be
// valid.
func NewStanding(s Step) Standing { return Standing{Rungs: s.Tempo.Rungs()} }

// Tempo is the tempo in force.
func (s Standing) Tempo() click.Tempo {
	if s.ByHand != 0 {
		return s.ByHand
	}
	return s.Rungs[s.Rung]
}

// Goal is the top of the ladder.
func (s Standing) Goal() click.Tempo { return s.Rungs[len(s.Rungs)-1] }

// fresh clears what was counted on a rung.
func (s Standing) fresh() Standing {
	s.Round, s.CleanRun, s.RoughRun, s.Played, s.Count, s.TooHard = nil, 0, 0, 0, 0, false
	return s
}

// to stands on rung i with nothing counted yet.
func (s Standing) to(i int) Standing {
	s = s.fresh()
	s.Done = false
	s.Rung, s.ByHand = min(max(i, 0), len(s.Rungs)-1), 0
	return s
}

// above and below are the rungs next to the tempo in force; from a tempo set
// by hand they are the nearest on either side.
func (s Standing) above() (int, bool) {
	i, on := slices.BinarySearch(s.Rungs, s.Tempo())
	if on {
		i++
	}
	return min(i, len(s.Rungs)-1), i < len(s.Rungs)
}

func (s Standing) below() (int, bool) {
	i, _ := slices.BinarySearch(s.Rungs, s.Tempo())
	return max(i-1, 0), i > 0
}

// Part is what a planned phrase is to the session.
type Part struct {
	Seq   uint64
	Kind  click.Kind
	Step  int
	Tempo click.Tempo
	Chunk Chunk
	Name  string
}

// rep is a rep that has begun and is not recorded yet.
type rep struct {
	part    Part
	number  int
	verdict Verdict
	whole   bool     // played to its end
	frozen  bool     // the ladder was moved by hand since: its verdict moves nothing
	before  Standing // the standing before the rep was counted
}

// State is a whole session: the routine, where the player stands, what sounds
// and what is planned. It is a value; [Reduce] makes the next one.
type State struct {
	Routine Routine
	StepAt  int
	Running bool
	// HandsFree takes every rep for clean and goes from step to step.
	HandsFree bool
	Standing  Standing
	// Sounding is the phrase that the renderer is in; its Seq is 0 in silence.
	Sounding Part
	// Reps counts the reps recorded since the session began, Cleans the clean
	// ones among them.
	Reps, Cleans int

	seq     uint64     // of the last planned phrase
	numbers int        // reps numbered so far
	planned []Part     // the latest few, oldest first
	open    []rep      // begun and not recorded, oldest first
	left    []Standing // where the player stood on the steps they left
}

// New is the state of a session on a valid routine, before its first step.
func New(r Routine, handsFree bool) State {
	s := State{Routine: r, HandsFree: handsFree}
	s.Standing = NewStanding(s.Step())
	return s
}

// Step is the step under way.
func (s State) Step() Step { return s.Routine.Steps[s.StepAt] }

// Part finds a planned phrase among the latest few.
func (s State) Part(seq uint64) (Part, bool) {
	for _, p := range s.planned {
		if p.Seq == seq {
			return p, true
		}
	}
	return Part{}, false
}
