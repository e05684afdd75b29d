package ladder

import "footing/audio/click"

// Only is what sounds of a bar while the rest is silent.
type Only uint8

// What can sound alone: the first of every bar; beats 2, 4 and so on; the second
// half of every beat.
const (
	OnlyBarLines Only = iota
	OnlyEvenBeats
	OnlySecondHalves
)

// Only returns the step with dynamics by which only that sounds. Where a beat has
// but one slot, it gets two for the sake of second halves.
func (s Step) Only(what Only) Step {
	m, err := s.Measures()
	if err != nil {
		return s
	}
	if what == OnlySecondHalves && s.Slots.Count() == 1 {
		s = s.WithSlots(click.EvenSlots(2))
	}
	lines := make(click.Accents, 1)
	if what != OnlySecondHalves {
		lines = make(click.Accents, m.Longest().Beats)
	}
	for beat := range lines {
		lines[beat] = make([]click.Dynamics, s.Slots.Count())
		switch {
		case what == OnlyBarLines && beat == 0:
			lines[beat][0] = click.Forte
		case what == OnlyEvenBeats && beat%2 == 1:
			lines[beat][0] = click.MezzoForte
		case what == OnlySecondHalves:
			for i := range lines[beat] {
				if !s.Slots.At(i).Less(click.Frac(1, 2)) {
					lines[beat][i] = click.MezzoForte
				}
			}
		}
	}
	s.Accents = lines
	return s
}
