package ladder

import (
	"slices"

	"footing/audio/click"
)

// Left is where a player left a step, as far as it holds on another day: what
// was counted on the rung does not. The zero value is a step that begins anew.
type Left struct {
	Ladder Range // of the step then
	Rule   RuleKind
	Tempo  click.Tempo // in force
	ByHand bool        // it is no rung
	// Footing, Settled and Turned are as in [Standing].
	Footing click.Tempo
	Settled bool
	Turned  bool
	Slow    click.Tempo // the slow rung of a leap, during the goal's turn
}

// Left is where the player stands on each step. A step that was not begun, is
// done, or stands at its start has the zero value.
func (s State) Left() []Left {
	out := make([]Left, len(s.Routine.Steps))
	for i, step := range s.Routine.Steps {
		var st Standing
		switch {
		case i == s.StepAt:
			st = s.Standing
		case i < len(s.left):
			st = s.left[i]
		}
		if st.Rungs != nil {
			out[i] = st.leave(step)
		}
	}
	return out
}

func (s Standing) leave(step Step) Left {
	if s.Done || s.Footing == 0 && !s.Turned && s.Tempo() == step.Tempo.Rungs()[0] {
		return Left{}
	}
	l := Left{
		Ladder: step.Tempo, Rule: step.Rule.Kind, Tempo: s.Tempo(), ByHand: s.ByHand != 0,
		Footing: s.Footing, Settled: s.Settled, Turned: s.Turned,
	}
	if s.Turned && l.Rule == Leap {
		l.Slow = s.Rungs[s.Slow]
	}
	return l
}

// resume stands where the player left each step. It says nothing of a click that
// runs, which is left alone.
func (s State) resume(left []Left) State {
	if s.Running {
		return s
	}
	s = s.freeze()
	s.left = make([]Standing, len(s.Routine.Steps))
	for i, step := range s.Routine.Steps {
		var l Left
		if i < len(left) {
			l = left[i]
		}
		s.left[i] = l.stand(step)
	}
	s.Standing = s.left[s.StepAt]
	return s
}

// stand is the standing with which the step goes on. Where its ladder is another
// by now, that is on the same tempo or the nearest rung below.
func (l Left) stand(step Step) Standing {
	s := NewStanding(step)
	if !l.Tempo.Valid() {
		return s
	}
	if l.Footing.Valid() {
		s.Footing, s.Settled = l.Footing, l.Settled && l.Rule == step.Rule.Kind
	}
	if l.Ladder != step.Tempo {
		return s.nearest(l.Tempo)
	}
	if l.ByHand {
		return s.onTempo(l.Tempo)
	}
	// Rungs that were made below the lowest are made again.
	least := l.Tempo
	if l.Slow.Valid() {
		least = min(least, l.Slow)
	}
	for s.Rungs[0] > least {
		lower, ok := step.Tempo.By.Down(s.Rungs[0])
		if !ok {
			break
		}
		s.Rungs = append([]click.Tempo{lower}, s.Rungs...)
	}
	// A ladder that has come to begin at the footing may pass over the rungs that
	// it had when it began higher.
	for _, t := range []click.Tempo{l.Tempo, l.Slow} {
		if i, on := slices.BinarySearch(s.Rungs, t); !on && t.Valid() && i > 0 && i < len(s.Rungs) {
			s.Rungs = slices.Insert(s.Rungs, i, t)
		}
	}
	s = s.nearest(l.Tempo)
	if l.Rule != step.Rule.Kind || !l.Turned {
		return s
	}
	switch i, on := slices.BinarySearch(s.Rungs, l.Slow); {
	case l.Rule != Leap:
		s.Turned = true
	case on && s.Rung == len(s.Rungs)-1 && i < s.Rung:
		s.Turned, s.Slow = true, i
	}
	return s
}

// nearest stands on the rung at the tempo, or on the nearest below, or else on
// the lowest.
func (s Standing) nearest(t click.Tempo) Standing {
	at := 0
	for i, rung := range s.Rungs {
		if rung <= t {
			at = i
		}
	}
	return s.to(at)
}
