package stand

import (
	"footing/audio/click"
	"footing/ladder"
)

// grain is by what the chunk is moved and sized.
type grain int

const (
	byBeat grain = iota
	bySlot
	byNote // where the step has notes, else by beats
	grains
)

// grainOf is the grain in force.
func (s *Stand) grainOf() grain {
	if s.grain == byNote && s.notes.found == nil {
		return byBeat
	}
	return s.grain
}

// nextGrain is the key that goes round the grains.
func (s *Stand) nextGrain() {
	if s.grain = (s.grainOf() + 1) % grains; s.grain == byNote && s.notes.found == nil {
		s.grain = byBeat
	}
}

// moved, widen and shrink go by notes or by slots where the player wants them to,
// and by slots where the chunk is such that beats would miss its ends.
func (s *Stand) moved(t ladder.Step, by int) ladder.Step {
	switch g := s.grainOf(); {
	case g == byNote:
		return s.notes.found.Moved(t, by)
	case g == bySlot || t.BySlots():
		return t.Shifted(by)
	}
	return t.Moved(click.Whole(by))
}

func (s *Stand) widen(t ladder.Step) ladder.Step {
	switch s.grainOf() {
	case byNote:
		return s.notes.found.Wider(t)
	case bySlot:
		return t.Longer(1)
	}
	return t.Wider()
}

func (s *Stand) shrink(t ladder.Step) ladder.Step {
	switch s.grainOf() {
	case byNote:
		return s.notes.found.Narrower(t)
	case bySlot:
		return t.Longer(-1)
	}
	return t.Narrower()
}

// toNextGroup has the chunk reach from its first note to the first of the next
// group.
func (s *Stand) toNextGroup() {
	n := s.notes.found
	if n == nil {
		s.say("this step has no notes; the Passage view says how to write them", false)
		return
	}
	s.change(func(t ladder.Step) ladder.Step {
		c := n.Chunk(t)
		switch {
		case len(c.Begin) > 0:
			return n.ToNextGroup(t, c.Begin[0])
		case len(c.Held) > 0:
			return n.ToNextGroup(t, c.Held[0])
		}
		return t
	})
}
