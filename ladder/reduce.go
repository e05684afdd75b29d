package ladder

import (
	"slices"

	"footing/audio/click"
)

// Reduce takes the state through one event and returns the next state with
// what is to be done, in order. It is pure: the same state and event always
// give the same answer, and s stays as it was.
func Reduce(s State, e Event) (State, []Effect) {
	switch e := e.(type) {
	case Start:
		return s.start()
	case Stop:
		return s.stop(e)
	case Leave:
		return s.leave(e)
	case RanOut:
		return s.ranOut()
	case Sounding:
		return s.sounding(e)
	case Audible:
		return s.close(e.At)
	case Judge:
		return s.judge(e).plan()
	case Assess:
		return s.assess(e)
	case MoveRung:
		s = s.freeze()
		s.Standing = s.Standing.byHand(s.Step(), e.By)
		return s.plan()
	case SetTempo:
		return s.setTempo(e.Tempo.Clamp())
	case Model:
		return s.model(e.Mode)
	case Revise:
		return s.revise(e.Step)
	case GoTo:
		return s.goTo(e)
	case Open:
		return s.another(e)
	case Resume:
		return s.resume(e.Bookmarks), nil
	case Know:
		return s.know(e)
	case Replan:
		return s.replan(e.Routine)
	}
	return s, nil
}

func (s State) start() (State, []Effect) {
	if s.Running {
		return s, nil
	}
	s, effects := s.record(len(s.open))
	if s.over() {
		s.Standing = NewStanding(s.Step())
	}
	s = s.onward()
	s.Running, s.Sounding = true, Part{}
	s, more := s.plan()
	return s, append(append(effects, more...), Run{})
}

func (s State) stop(e Stop) (State, []Effect) {
	if !s.Running {
		return s, nil
	}
	return s.breakOff(e.At).halted(), []Effect{Halt{From: s.seq + 1}}
}

// leave stops and records everything.
func (s State) leave(e Leave) (State, []Effect) {
	s, effects := s.stop(Stop(e))
	s, more := s.record(len(s.open))
	return s, append(effects, more...)
}

// another goes on with another routine. What has been counted of the session,
// and the numbers of phrases and reps, go on too.
func (s State) another(e Open) (State, []Effect) {
	if !practisable(e.Routine) {
		return s, nil
	}
	s, effects := s.leave(Leave{e.At})
	next := New(e.Routine, s.HandsFree)
	next.Reps, next.Cleans, next.numbers = s.Reps, s.Cleans, s.numbers
	next.Model = s.Model
	next.seq, next.past, next.begun = s.seq, s.past, s.begun
	if e.Step > 0 && e.Step < len(e.Routine.Steps) {
		next = next.at(e.Step)
	}
	return next, effects
}

// practisable reports whether every step can be practised, and there is one.
func practisable(r Routine) bool {
	for _, step := range r.Steps {
		if len(step.Check()) > 0 {
			return false
		}
	}
	return len(r.Steps) > 0
}

// ranOut follows a final phrase: the routine is over. Its last rep waits for a
// verdict as one does when the click is stopped, but for a hands-free session's.
func (s State) ranOut() (State, []Effect) {
	if !s.Running {
		return s, nil
	}
	if s.inRep() {
		s = s.endRep()
	}
	s = s.halted()
	ended := len(s.open)
	if !s.HandsFree {
		ended = max(0, ended-1)
	}
	return s.record(ended)
}

// sounding follows the renderer from phrase to phrase.
func (s State) sounding(e Sounding) (State, []Effect) {
	if e.Seq <= s.past || e.Seq > s.seq {
		return s, nil // a vamp, or of a click that was stopped
	}
	if s.inRep() {
		s = s.endRep()
		if s.Sounding.Once {
			s = s.onceOver()
		}
	}
	s = s.began(e.Seq)
	if s.Sounding.Kind != click.Breath && s.Sounding.Step != s.StepAt {
		s = s.onward()
	}
	if s.inRep() {
		s = s.beginRep(s.Sounding)
	}
	return s.plan()
}

// setTempo sets a tempo by hand. What sounds changes at its next slot, so no
// count-in follows.
func (s State) setTempo(t click.Tempo) (State, []Effect) {
	s = s.freeze()
	s.Standing = s.Standing.onTempo(t)
	if !s.Running {
		return s, nil
	}
	if s.Sounding.Seq != 0 {
		s.Sounding.Tempo = t
	}
	s.begun, s.ahead = atTempo(s.begun, t), atTempo(s.ahead, t)
	effects := []Effect{Retempo{Tempo: t, Through: s.seq}}
	s, more := s.plan()
	return s, append(effects, more...)
}

func atTempo(parts []Part, t click.Tempo) []Part {
	parts = slices.Clone(parts)
	for i := range parts {
		parts[i].Tempo = t
	}
	return parts
}

// revise takes another version of the step under way. What was counted is
// kept unless the ladder, the rule or the chunk is another.
func (s State) revise(step Step) (State, []Effect) {
	if len(step.Check()) > 0 {
		return s, nil
	}
	old := s.Step()
	s = s.put(step)
	if !sameLadder(old, step) {
		s = s.freeze()
		s.Standing = s.Standing.refit(old, step)
	}
	s, effects := s.plan()
	return s, append([]Effect{Revised{}}, effects...)
}

// put puts another version of the step under way in its place.
func (s State) put(step Step) State {
	step.Begins = nil // see noted
	s.Routine.Steps = slices.Clone(s.Routine.Steps)
	s.Routine.Steps[s.StepAt] = step
	return s
}

// goTo moves to another step, to where the player stood there before.
func (s State) goTo(e GoTo) (State, []Effect) {
	if e.Step < 0 || e.Step >= len(s.Routine.Steps) || e.Step == s.StepAt {
		return s, nil
	}
	running := s.Running
	s, effects := s.stop(Stop{e.At})
	s = s.freeze().at(e.Step)
	if !running {
		return s, effects
	}
	s, more := s.start()
	return s, append(effects, more...)
}

// at is the state on step i.
func (s State) at(i int) State {
	all := make([]Standing, len(s.Routine.Steps))
	copy(all, s.others)
	all[s.StepAt] = s.Standing
	s.others, s.StepAt, s.Standing, s.turn = all, i, all[i], turn{}
	// In turns a player comes back to a goal and stays there.
	if s.Standing.Rungs == nil || s.Standing.Done && (!s.Routine.Order.Mixed() || s.endsByItself()) {
		s.Standing = NewStanding(s.Step())
	}
	return s
}

// replan takes another version of the routine.
func (s State) replan(r Routine) (State, []Effect) {
	if !practisable(r) {
		return s, nil
	}
	old, before := s.Step(), s
	i := slices.IndexFunc(r.Steps, func(step Step) bool { return step.Name == old.Name })
	s.Routine = r
	s.others = carried(before, r)
	switch {
	case i < 0:
		s = s.freeze()
		s.StepAt = min(s.StepAt, len(r.Steps)-1)
		s.Standing = NewStanding(s.Step())
	case i == s.StepAt && sameLadder(old, r.Steps[i]):
		// What was counted is kept, and so is the say of the step's open reps.
		s = s.freezeBut(i)
	default:
		s = s.freeze()
		s.StepAt = i
		if !sameLadder(old, s.Step()) {
			s.Standing = s.Standing.refit(old, s.Step())
		}
	}
	return s.plan()
}

// carried is where the player stands on the steps that are not under way, for
// those that another version of the routine still has as they were.
func carried(s State, r Routine) []Standing {
	if s.others == nil {
		return nil
	}
	out := make([]Standing, len(r.Steps))
	for i, step := range r.Steps {
		for k, old := range s.Routine.Steps {
			if old.Name == step.Name && sameLadder(old, step) {
				out[i] = s.others[k]
			}
		}
	}
	return out
}

// sameLadder reports whether what was counted on one step holds for the other.
func sameLadder(a, b Step) bool {
	return a.Tempo == b.Tempo && a.Rule == b.Rule && a.Chunk == b.Chunk && a.Reps == b.Reps
}
