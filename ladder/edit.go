package ladder

import (
	"slices"

	"footing/audio/click"
)

// Wider returns the step with its chunk grown by one size: up to a beat by
// slots, then by beats, never past the passage.
func (s Step) Wider() Step {
	one := click.Whole(1)
	length := s.Chunk.Length.Add(s.slotLength())
	if !s.Chunk.Length.Less(one) {
		length = click.Whole(s.Chunk.Length.Floor() + 1)
	}
	return s.sized(length)
}

// Narrower returns the step with its chunk cut by one size, never under one
// slot.
func (s Step) Narrower() Step {
	one := click.Whole(1)
	length := s.Chunk.Length.Sub(s.slotLength())
	if one.Less(s.Chunk.Length) {
		length = click.Whole(s.Chunk.Length.Ceil() - 1)
	}
	return s.sized(length)
}

// Halved returns the step with its chunk cut to about half, as is proposed when
// the lowest rung is still rough.
func (s Step) Halved() Step {
	if s.Chunk.Length.Cmp(click.Whole(1)) > 0 {
		return s.sized(click.Whole((s.Chunk.Length.Ceil() + 1) / 2))
	}
	slots := s.Chunk.Length.Times(int64(s.Slots.Count())).Floor()
	return s.sized(s.slotLength().Times(int64((slots + 1) / 2)))
}

// Moved returns the step with its chunk moved by so many beats, held within
// the passage.
func (s Step) Moved(by click.Beats) Step { return s.Bracketed(s.start().Add(by), s.Chunk.Length) }

// Bracketed returns the step with its chunk at start, counted in beats from
// the start of the passage, and of that length, held within the passage and at
// least a slot long.
func (s Step) Bracketed(start, length click.Beats) Step {
	bar, err := s.Bar()
	if err != nil {
		return s
	}
	total := s.PassageBeats()
	if length.Less(s.slotLength()) {
		length = s.slotLength()
	}
	if total.Less(length) {
		length = total
	}
	if start.Sign() < 0 {
		start = click.Beats{}
	}
	if room := total.Sub(length); room.Less(start) {
		start = room
	}
	n := start.Floor() / bar.Beats
	s.Chunk.Bar = s.Passage.From + n
	s.Chunk.At = start.Sub(click.Whole(n * bar.Beats))
	s.Chunk.Length = length
	return s
}

// PassageBeats is the length of the whole passage.
func (s Step) PassageBeats() click.Beats {
	bar, _ := s.Bar()
	return click.Whole((s.Passage.To - s.Passage.From + 1) * bar.Beats)
}

// ChunkStart is where the chunk starts, in beats from the start of the
// passage.
func (s Step) ChunkStart() click.Beats { return s.start() }

func (s Step) start() click.Beats {
	bar, _ := s.Bar()
	return click.Whole((s.Chunk.Bar - s.Passage.From) * bar.Beats).Add(s.Chunk.At)
}

// sized keeps the start of the chunk and changes its length, within the
// passage.
func (s Step) sized(length click.Beats) Step {
	if room := s.PassageBeats().Sub(s.start()); room.Less(length) {
		length = room
	}
	if length.Less(s.slotLength()) {
		// At the very end of the passage even one slot may need room made for it.
		return s.Bracketed(s.start(), s.slotLength())
	}
	s.Chunk.Length = length
	return s
}

func (s Step) slotLength() click.Beats { return click.Frac(1, int64(s.Slots.Count())) }

// WithSlots returns the step with other slots. Written dynamics are fitted to
// them: each new slot takes the mark that stood at or before its place.
func (s Step) WithSlots(slots click.Slots) Step {
	from, to := s.Slots.Count(), slots.Count()
	if from != to && len(s.Accents) > 0 {
		lines := make(click.Accents, len(s.Accents))
		for i, old := range s.Accents {
			lines[i] = make([]click.Dynamics, to)
			for k := range lines[i] {
				lines[i][k] = old[min(k*from/to, len(old)-1)]
			}
			if to > from {
				// Slots that are new get the default mark between beats rather
				// than a copy of an accent.
				for k := range lines[i] {
					if k*from%to != 0 {
						lines[i][k] = click.Piano
					}
				}
			}
		}
		s.Accents = lines
	}
	s.Slots = slots
	return s
}

// WithMark returns the step with the dynamics of one slot changed; beat counts
// from 0 in the bar. A step with one line of dynamics for all beats keeps one
// line. One with the default dynamics, or with a line for each beat, gets a
// line for each beat, of which only this one changes.
func (s Step) WithMark(beat, slot int, d click.Dynamics) Step {
	bar, err := s.Bar()
	if err != nil || beat < 0 || beat >= bar.Beats || slot < 0 || slot >= s.Slots.Count() {
		return s
	}
	lines := make(click.Accents, max(1, len(s.Accents)))
	if len(s.Accents) == 0 {
		lines = make(click.Accents, bar.Beats)
	}
	for i := range lines {
		lines[i] = slices.Clone(s.Accents.Marks(bar, s.Slots, i))
	}
	lines[beat%len(lines)][slot] = d
	s.Accents = lines
	return s
}
