package ladder

import (
	"footing/audio/click"
	"footing/ladder/angle"
)

// Part is what a planned phrase is to the session.
type Part struct {
	Seq   uint64
	Kind  click.Kind
	Step  int
	Tempo click.Tempo
	Chunk Chunk
	Angle angle.Angle
	Name  string
	// Model is the gain of the model in a rep, 0 to 1; 0 where it does not sound.
	// Once is a rep that is there for the model to be heard.
	Model float32
	Once  bool
}

// rep is a rep that has begun and is not recorded yet.
type rep struct {
	part   Part
	number int
	word   Verdict    // the player's own, Unjudged until they give one
	ears   assessment // of the ears
	whole  bool       // played to its end
	frozen bool       // the ladder was moved by hand since: its verdict moves nothing
	// before is the standing before the rep was counted; it is the one at the
	// rep's beginning until the rep has ended.
	before Standing
}

// assessment is a verdict of the ears, with how sure they are of it, 0 to 1.
type assessment struct {
	verdict   Verdict
	certainty float64
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
	// Model says in which reps the model sounds. It is ModelOnce until the end of
	// that rep.
	Model ModelMode
	// Sounding is the phrase that the renderer is in; its Seq is 0 in silence.
	Sounding Part
	// Reps counts the reps recorded since the session began, Cleans the clean
	// ones among them.
	Reps, Cleans int

	seq     uint64     // of the last planned phrase
	past    uint64     // no phrase up to this Seq begins any more
	alone   bool       // the click runs for the model alone
	turn    turn       // of the step under way, where steps are taken in turns
	numbers int        // reps numbered so far
	begun   []Part     // the latest few phrases that began, oldest first
	ahead   []Part     // the latest few that may begin next, oldest first
	open    []rep      // begun and not recorded, oldest first
	others  []Standing // where the player stands on the steps that are not under way
	laid    *laid      // the rep that was planned last
	noted   []noted    // what is known of the notes of steps
}

// New is the state of a session on a valid routine, before its first step.
func New(r Routine, handsFree bool) State {
	s := State{Routine: r, HandsFree: handsFree}
	s.Standing = NewStanding(s.Step())
	return s
}

// Step is the step under way, with what is known of its notes.
func (s State) Step() Step { return s.StepOf(s.StepAt) }

// Part finds a phrase among the latest few that began or may begin next.
func (s State) Part(seq uint64) (Part, bool) {
	for _, parts := range [][]Part{s.begun, s.ahead} {
		for _, p := range parts {
			if p.Seq == seq {
				return p, true
			}
		}
	}
	return Part{}, false
}

// inRep reports whether the phrase that sounds is a rep.
func (s State) inRep() bool { return s.Sounding.Kind == click.Rep }
