package ladder

import (
	"slices"

	"footing/audio/click"
)

// kept is how many phrases that began are remembered, for a slow device that has
// not made them audible yet; and how many of those planned since one began.
// Each of the latter may have begun already without our having heard of it.
const kept = 32

// latest appends a part to the latest few. It leaves parts as they are.
func latest(parts []Part, p Part) []Part {
	parts = parts[max(0, len(parts)+1-kept):]
	return append(append(make([]Part, 0, len(parts)+1), parts...), p)
}

// plan decides what follows the phrase that sounds now, and asks for it.
func (s State) plan() (State, []Effect) {
	if !s.Running {
		return s, nil
	}
	part, phrase, rep, ok := s.following()
	if !ok {
		return s, nil
	}
	if rep != nil {
		s.laid = rep
	}
	s.seq++
	part.Seq, phrase.Seq = s.seq, s.seq
	s.ahead = latest(s.ahead, part)
	return s, []Effect{Play{phrase}}
}

// began moves on to the phrase seq, above s.past and at most s.seq. The phrases
// planned before it never begin. One that was planned too many changes ago to be
// remembered is taken for the oldest that is.
func (s State) began(seq uint64) State {
	i := slices.IndexFunc(s.ahead, func(p Part) bool { return p.Seq >= seq })
	part := s.ahead[i]
	part.Seq = seq
	s.Sounding, s.past = part, seq
	s.begun, s.ahead = latest(s.begun, part), s.ahead[i+1:]
	return s
}

// halted is the state in silence; nothing that was planned begins any more, and a
// model that was to sound once is no longer waited for.
func (s State) halted() State {
	s = s.onceOver()
	s.Running, s.Sounding, s.alone = false, Part{}, false
	s.past, s.ahead = s.seq, nil
	return s
}

// following is the phrase after the one that sounds: after a rep the breath,
// after anything else the next rep, with a count-in before it at a start and
// at a change of tempo. rep is what a rep was made of. ok is false when nothing follows.
func (s State) following() (part Part, phrase click.Phrase, rep *laid, ok bool) {
	from := s
	if s.inRep() {
		// What comes after the rep depends on how it counts, and it has not
		// ended yet: look ahead on a copy. The rep is taken for whole.
		if s.ends(s.Sounding) {
			return Part{}, click.Phrase{}, nil, false
		}
		from = s.endRep()
		if p, has := s.partOf(s.Sounding).BreathPhrase(s.Sounding.Tempo); has {
			part = s.Sounding
			part.Kind, part.Model, part.Once = click.Breath, 0, false
			p.Final = from.over()
			return part, p, nil, true
		}
		if from.over() {
			return Part{}, click.Phrase{}, nil, false
		}
	}
	from = from.onward()
	step, tempo := from.Step().angled(from.numbers), from.Standing.Tempo()
	part = Part{Kind: click.Rep, Step: from.StepAt, Tempo: tempo, Chunk: step.Chunk, Angle: step.Angle, Name: step.Name}
	last := s.Sounding
	if last.Tempo != tempo || last.Step != from.StepAt { // in silence it has none
		if p, has := step.Loop().CountInPhrase(tempo); has {
			part.Kind = click.CountIn
			return part, p, nil, true
		}
	}
	part.Model, part.Once = from.modelled()
	rep = from.lay(step.Loop(), tempo)
	p := from.hushed(step, rep.rep)
	// Without a breath the last rep itself must end the click.
	p.Final = from.ends(part) || step.Breath == 0 && !part.Once && from.lastRep()
	return part, p, rep, true
}

// partOf is the loop of the step that a part belongs to, as it is now.
func (s State) partOf(p Part) click.Loop {
	step := s.StepOf(min(p.Step, len(s.Routine.Steps)-1))
	step.Chunk, step.Angle = p.Chunk, p.Angle
	return step.Loop()
}

// over reports whether the click has nothing left to do: the last step is done
// and its rule ends by itself.
func (s State) over() bool {
	if s.Routine.Order.Mixed() {
		return s.allDone()
	}
	return s.doneForGood() && s.StepAt == len(s.Routine.Steps)-1
}

// lastRep reports whether the next rep, unjudged, is the last of the session.
func (s State) lastRep() bool {
	v, _ := s.verdict(rep{})
	s.Standing = s.Standing.count(s.Step(), v)
	return s.over()
}

// onward goes on to the next step when this one is done and ends by itself, or when
// its turn is over.
func (s State) onward() State {
	if s.Routine.Order.Mixed() {
		return s.turned()
	}
	if s.doneForGood() && s.StepAt < len(s.Routine.Steps)-1 {
		return s.at(s.StepAt + 1)
	}
	return s
}

// endsByItself reports whether a step that is done makes way for the next: in
// a hands-free session always, else under the rules that only count reps.
// Under the others the player stays at the goal for as long as they like.
func (s State) endsByItself() bool {
	return s.HandsFree || s.Step().Rule.Kind.counts()
}
