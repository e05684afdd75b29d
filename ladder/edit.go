package ladder

import (
	"slices"

	"footing/audio/click"
)

// BySlots reports whether the chunk is sized and moved by slots: it is under a
// beat, or begins off the beat. Others are by beats.
func (s Step) BySlots() bool {
	return s.Chunk.Length.Less(click.Whole(1)) || s.Chunk.At.Den() != 1
}

// Wider returns the step with its chunk grown by one size: by a slot up to a
// beat and off the beat, else by a beat, never past the passage.
func (s Step) Wider() Step {
	if s.BySlots() {
		return s.Longer(1)
	}
	return s.sized(click.Whole(s.Chunk.Length.Floor() + 1))
}

// Narrower returns the step with its chunk cut by one size, never under one
// slot.
func (s Step) Narrower() Step {
	if s.BySlots() || s.Chunk.Length == click.Whole(1) {
		return s.Longer(-1)
	}
	return s.sized(click.Whole(s.Chunk.Length.Ceil() - 1))
}

// Longer returns the step with the end of its chunk moved by so many slots, or
// back when n is negative: within the passage and never under one slot.
func (s Step) Longer(n int) Step {
	start := s.ChunkStart()
	return s.sized(s.Slots.From(start.Add(s.Chunk.Length), n).Sub(start))
}

// Halved returns the step with its chunk cut to about half, as is proposed when
// the lowest rung is still rough.
func (s Step) Halved() Step {
	if s.Chunk.Length.Cmp(click.Whole(1)) > 0 {
		return s.sized(click.Whole((s.Chunk.Length.Ceil() + 1) / 2))
	}
	start := s.ChunkStart()
	end := start.Add(s.Chunk.Length)
	slots := 0
	for s.Slots.From(start, slots+1).Cmp(end) <= 0 {
		slots++
	}
	return s.sized(s.Slots.From(start, (slots+1)/2).Sub(start))
}

// Moved returns the step with its chunk moved by so many beats, held within
// the passage.
func (s Step) Moved(by click.Beats) Step { return s.Bracketed(s.ChunkStart().Add(by), s.Chunk.Length) }

// Shifted returns the step with its chunk moved by so many slots, held within
// the passage: both ends by as many, so that it stays on the slots of a swung
// beat.
func (s Step) Shifted(n int) Step {
	start := s.ChunkStart()
	end := start.Add(s.Chunk.Length)
	from, to := s.Slots.From(start, n), s.Slots.From(end, n)
	if m, err := s.Measures(); err != nil || from.Less(m.Start()) || m.End().Less(to) {
		return s.Bracketed(from, s.Chunk.Length)
	}
	return s.Bracketed(from, to.Sub(from))
}

// Bracketed returns the step with its chunk at start, counted in beats from
// the line of the passage's first full bar, and of that length, held within the
// passage and at least a slot long.
func (s Step) Bracketed(start, length click.Beats) Step {
	m, err := s.Measures()
	if err != nil {
		return s
	}
	if least := s.Slots.Shortest(); length.Less(least) {
		length = least
	}
	if m.Length().Less(length) {
		length = m.Length()
	}
	if start.Less(m.Start()) {
		start = m.Start()
	}
	if last := m.End().Sub(length); last.Less(start) {
		start = last
	}
	if start.Den() > click.MaxDenominator || length.Den() > click.MaxDenominator {
		// Slots of several kinds have cut the beat finer than can be played: both
		// ends go to the slots there are now.
		from, to := s.slotAt(start), s.slotAt(start.Add(length))
		if from.Less(m.Start()) {
			from = m.Start()
		}
		return s.Bracketed(from, to.Sub(from))
	}
	s.Chunk.Bar, s.Chunk.At = m.Where(start)
	s.Chunk.Length = length
	return s
}

// slotAt is the place of the slot at or before b.
func (s Step) slotAt(b click.Beats) click.Beats {
	beat := click.Whole(b.Floor())
	for i := s.Slots.Count() - 1; i > 0; i-- {
		if place := beat.Add(s.Slots.At(i)); place.Cmp(b) <= 0 {
			return place
		}
	}
	return beat
}

// ChunkStart is where the chunk starts, in beats from the line of the
// passage's first full bar: below 0 in a pickup.
func (s Step) ChunkStart() click.Beats {
	m, _ := s.Measures()
	return m.Place(s.Chunk.Bar, s.Chunk.At)
}

// sized keeps the start of the chunk and changes its length, within the
// passage.
func (s Step) sized(length click.Beats) Step {
	m, err := s.Measures()
	if err != nil {
		return s
	}
	start := s.ChunkStart()
	if room := m.End().Sub(start); room.Less(length) {
		length = room
	}
	if length.Less(s.Slots.Shortest()) {
		// At the very end of the passage even one slot may need room made for it.
		length = s.Slots.From(start, 1).Sub(start)
	}
	return s.Bracketed(start, length)
}

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
// from 0 in the bar of that number. A step with one line of dynamics for all
// beats keeps one line. One with the default dynamics, or with a line for each
// beat, gets a line for each beat, of which only this one changes.
func (s Step) WithMark(bar, beat, slot int, d click.Dynamics) Step {
	m, err := s.Measures()
	if err != nil || beat < 0 || beat >= m.Bar(bar).Beats || slot < 0 || slot >= s.Slots.Count() {
		return s
	}
	lines := make(click.Accents, max(1, len(s.Accents)))
	if len(s.Accents) == 0 {
		lines = make(click.Accents, m.Longest().Beats)
	}
	for i := range lines {
		lines[i] = slices.Clone(s.Accents.Marks(m.Longest(), s.Slots, i))
	}
	lines[beat%len(lines)][slot] = d
	s.Accents = lines
	return s
}
