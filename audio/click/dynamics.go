package click

import (
	"fmt"
	"strings"
)

// Dynamics is how strongly a slot sounds, by the marks of a score.
type Dynamics uint8

// The marks from silence to strong.
const (
	Silent     Dynamics = iota // "-"
	Pianissimo                 // "pp"
	Piano                      // "p"
	MezzoForte                 // "mf"
	Forte                      // "f"
)

var dynamicsMarks = [...]string{"-", "pp", "p", "mf", "f"}

// String writes the mark: "f", "mf", "p", "pp" or "-".
func (d Dynamics) String() string {
	if int(d) < len(dynamicsMarks) {
		return dynamicsMarks[d]
	}
	return "?"
}

// Gain is the level of the mark before the volume: 1 for f, and about 4.5 dB
// less for each mark below it. 0 for silence.
func (d Dynamics) Gain() float32 {
	return [...]float32{0, 0.21, 0.35, 0.6, 1}[min(d, Forte)]
}

// ParseDynamics reads one mark.
func ParseDynamics(s string) (Dynamics, error) {
	for i, mark := range dynamicsMarks {
		if s == mark {
			return Dynamics(i), nil
		}
	}
	return 0, fmt.Errorf("%q is not a dynamics mark; write one of f, mf, p, pp or - for silence", s)
}

// ParseMarks reads the marks of a beat, parted by spaces: "f p p p".
func ParseMarks(s string) ([]Dynamics, error) {
	var out []Dynamics
	for _, mark := range strings.Fields(s) {
		d, err := ParseDynamics(mark)
		if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

// FormatMarks writes what [ParseMarks] reads.
func FormatMarks(marks []Dynamics) string {
	words := make([]string, len(marks))
	for i, d := range marks {
		words[i] = d.String()
	}
	return strings.Join(words, " ")
}
