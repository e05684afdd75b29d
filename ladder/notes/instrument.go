package notes

import (
	"footing/ladder"
	"footing/ladder/passage"
	"footing/ladder/passage/instrument"
	"footing/ladder/passage/pattern"
)

// Instrument is what a step is played on: the one of its name, with the range and
// the transposition that the step has of its own. The zero value stands for none.
// The step must be valid.
func Instrument(s ladder.Step) instrument.Instrument {
	own := s.Notes.Instrument
	i, known := instrument.Named(own.Name)
	if !known {
		i.Name = own.Name
	}
	if r, err := pattern.ParseRange(own.Range); err == nil {
		i.Range = r
	}
	if p, err := passage.ParsePitch(own.Sounds); err == nil {
		i.Transpose = instrument.Sounding(p)
	}
	return i
}
