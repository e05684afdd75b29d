package passage

import "footing/audio/click"

// FromClick is a step's meter as a score has it.
func FromClick(m click.Meter) Meter {
	return Meter{Terms: []MeterTerm{{Above: m.Groups(), Below: m.Below()}}}
}
