package conduct

import (
	"slices"

	"footing/audio/click"
	"footing/ladder"
)

// Tones makes the notes of a step's chunk as they sound in a rep: in order, from
// the rep's own places on, at full level (1, or less for the softer of them). The
// rep has the tempo, in which grace notes are so and so long. It is called on the
// goroutine that feeds the click, for each rep in which the model sounds, and
// again when that is planned anew: it must be quick, and depend on nothing else.
type Tones func(step ladder.Step, rep click.Phrase) []click.Tone

// attach is the phrase, planned in s, with its tones at the level of the model.
func (t Tones) attach(p click.Phrase, s ladder.State) click.Phrase {
	part, _ := s.Part(p.Seq)
	if t == nil || part.Model == 0 {
		return p
	}
	step := s.StepOf(part.Step)
	step.Angle = part.Angle
	p.Tones = slices.Clone(t(step, p))
	for i := range p.Tones {
		p.Tones[i].Level *= part.Model
	}
	return p
}

// Aloud is a phrase of a step with what is counted and spoken in it. It is called on
// the goroutine that feeds the click, for each phrase, and again when that is planned
// anew: it must be quick, and depend on nothing else. It leaves the phrase's strokes as
// they are, and makes others.
type Aloud func(ladder.Step, click.Phrase) click.Phrase

// attach is the phrase, planned in s, as it is counted.
func (a Aloud) attach(p click.Phrase, s ladder.State) click.Phrase {
	part, ok := s.Part(p.Seq)
	if a == nil || !ok {
		return p
	}
	step := s.StepOf(part.Step)
	step.Chunk, step.Angle = part.Chunk, part.Angle
	return a(step, p)
}
