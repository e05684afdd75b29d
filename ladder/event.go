package ladder

import "footing/audio/click"

// Event is something that happened: a key, a phrase that began, a beat that
// was heard. Events are plain values; a list of them can be stored and
// replayed.
type Event interface{ event() }

// Heard is what is audible at a moment: a beat (from 0) of the phrase Seq. The
// zero value is silence.
type Heard struct {
	Seq  uint64
	Beat int
}

type (
	// Start lets the click run, with a count-in.
	Start struct{}
	// Stop ends the click. At is what was audible.
	Stop struct{ At Heard }
	// Judge is the player's verdict. At is what was audible when it was given; it
	// decides which rep is meant. The verdict that the player gave the rep already
	// is taken back; then what the ears say counts again.
	Judge struct {
		Verdict Verdict
		At      Heard
	}
	// Assess is a verdict of the ears on the rep of the phrase Seq, with how sure
	// they are of it, 0 to 1. It counts like a verdict for as long as the player
	// has given none, whichever comes first, and says no more once the rep is
	// recorded. Of several on one rep the surest stands, of those the last. A
	// certainty that is no number says nothing.
	Assess struct {
		Seq       uint64
		Verdict   Verdict
		Certainty float64
	}
	// Sounding says that the renderer began the phrase Seq; 0 is a vamp.
	Sounding struct{ Seq uint64 }
	// Audible says that a beat has become audible.
	Audible struct{ At Heard }
	// RanOut says that the click stopped by itself after a final phrase.
	RanOut struct{}
	// Leave ends the session: the click stops and every rep is recorded. At is
	// what was audible.
	Leave struct{ At Heard }
	// MoveRung goes up (By above 0) or down by hand, heard at the next count-in.
	MoveRung struct{ By int }
	// SetTempo sets a tempo by hand, on the ladder or off it, heard at the next
	// slot. It is clamped to 10 to 400 bpm.
	SetTempo struct{ Tempo click.Tempo }
	// Model says in which reps the model sounds, from the next phrase on. In
	// silence, ModelOnce lets the click run for one rep.
	Model struct{ Mode ModelMode }
	// Revise changes the step under way: chunk, reps, breath, slots, anything.
	// It is heard from the next phrase. A step that fails [Step.Check] changes
	// nothing.
	Revise struct{ Step Step }
	// GoTo moves to another step (index from 0). While the click runs, that
	// step's count-in follows at once; At is what was audible.
	GoTo struct {
		Step int
		At   Heard
	}
	// Open goes on with another routine, from the start of a step (index from
	// 0). The click stops and every rep is recorded; At is what was audible.
	Open struct {
		Routine Routine
		Step    int
		At      Heard
	}
	// Resume goes on at the bookmarks of another day (see [State.Bookmarks]),
	// before the click runs. There is one for each step of the routine; a step
	// whose bookmark is missing begins anew.
	Resume struct{ Bookmarks []Bookmark }
	// Know says where the notes of a step begin, as [Step.Begins], nil for nowhere:
	// its angles go by them from the next phrase on. It holds for the step of that name
	// for as long as it has that passage and these notes.
	Know struct {
		Step   Step
		Begins []click.Beats
	}
	// Replan takes another version of the whole routine, as after an edit; the
	// step of the same name stays under way where there is one.
	Replan struct{ Routine Routine }
)

func (Start) event()    {}
func (Stop) event()     {}
func (Judge) event()    {}
func (Assess) event()   {}
func (Sounding) event() {}
func (Audible) event()  {}
func (RanOut) event()   {}
func (Leave) event()    {}
func (MoveRung) event() {}
func (SetTempo) event() {}
func (Model) event()    {}
func (Revise) event()   {}
func (GoTo) event()     {}
func (Open) event()     {}
func (Resume) event()   {}
func (Know) event()     {}
func (Replan) event()   {}

// Effect is something that the reducer asks to be done.
type Effect interface{ effect() }

type (
	// Play queues a phrase in place of any that waits.
	Play struct{ Phrase click.Phrase }
	// Run lets the renderer run.
	Run struct{}
	// Halt stops the renderer and passes over every phrase with a Seq below
	// From.
	Halt struct{ From uint64 }
	// Retempo changes the tempo of what sounds, and of phrases up to Through,
	// from the next slot on.
	Retempo struct {
		Tempo   click.Tempo
		Through uint64
	}
	// Record keeps a rep. Each rep is recorded once and only once.
	Record struct{ Rep Played }
	// Revised says that the routine is no longer as it was read, and worth
	// saving.
	Revised struct{}
)

func (Play) effect()    {}
func (Run) effect()     {}
func (Halt) effect()    {}
func (Retempo) effect() {}
func (Record) effect()  {}
func (Revised) effect() {}
