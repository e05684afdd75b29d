package ladder

import (
	"slices"

	"footing/audio/click"
)

// ModelMode says in which reps the model sounds: the notes of the chunk, beside
// the click.
type ModelMode uint8

// The modes. ModelOnce sounds in the next rep, which is there to be heard: it
// counts and is recorded only where somebody gives a verdict on it. ModelFades
// sounds in every rep, softer from rung to rung and not at the goal, where the
// player stands alone.
const (
	NoModel ModelMode = iota
	ModelOnce
	ModelEveryRep
	ModelFades
)

var modelNames = [...]string{"no model", "once", "every rep", "fades"}

// String is the mode's word.
func (m ModelMode) String() string { return modelNames[min(int(m), len(modelNames)-1)] }

// Press is the mode after the key of the model is pressed: once, then in every
// rep, or in fading ones where the player wants those, then none.
func (m ModelMode) Press(fades bool) ModelMode {
	switch {
	case m == NoModel:
		return ModelOnce
	case m == ModelOnce && fades:
		return ModelFades
	case m == ModelOnce:
		return ModelEveryRep
	}
	return NoModel
}

// model takes another mode. In silence ModelOnce lets the click run for the model
// alone: a count-in and one pass through the chunk.
func (s State) model(m ModelMode) (State, []Effect) {
	if m > ModelFades {
		return s, nil
	}
	// What was begun for the model alone goes on as practice, unless it is in its
	// last phrase already.
	s.Model, s.alone = m, s.alone && (m == ModelOnce || s.Sounding.Once)
	if m == ModelOnce && !s.Running {
		s.alone = true
		return s.start()
	}
	return s.plan()
}

// modelled is what the model does in the next rep, with this standing: its
// gain, 0 to 1, and whether it is the one rep of ModelOnce.
func (s State) modelled() (gain float32, once bool) {
	switch s.Model {
	case ModelOnce:
		if s.Sounding.Once {
			return 0, false // this is the one
		}
		return 1, true
	case ModelEveryRep:
		return 1, false
	case ModelFades:
		return s.Standing.fade(), false
	}
	return 0, false
}

// onceOver ends the once: it has been heard, or the click stops.
func (s State) onceOver() State {
	if s.Model == ModelOnce {
		s.Model = NoModel
	}
	return s
}

// fade is 1 on the lowest rung and 0 at the goal and above, less by the same on
// each rung between. A tempo set by hand takes that of the rung below. A ladder
// of a single rung has nothing to fade along: there it stays at 1.
func (s Standing) fade() float32 {
	if s.top() == 0 {
		return 1
	}
	rung, on := slices.BinarySearch(s.Rungs, s.Tempo())
	if !on {
		rung = max(0, rung-1)
	}
	return 1 - float32(rung)/float32(s.top())
}

// unheeded reports whether a rep does not count and is not recorded: the model
// sounded in it to be heard, and nobody has given a verdict on it.
func (r rep) unheeded() bool {
	_, from := r.spoken()
	return r.part.Once && from == Nobody
}

// ends reports whether the phrase of this part is the last of a click that runs
// for the model alone.
func (s State) ends(p Part) bool { return s.alone && p.Kind == click.Rep && p.Once }
