package notes

import (
	"errors"
	"strings"

	"footing/ladder"
	"footing/ladder/faults"
	"footing/ladder/passage/abc"
	"footing/ladder/passage/pattern"
)

// Fault is one thing that keeps a step's notes from being found.
type Fault struct {
	ladder.Fault
	// Line and Col are where in the typed notes, from 1; 0 for all other faults.
	Line, Col int
	// Mark is the mark at fault, from 0; below 0 for all other faults.
	Mark int
}

// Faults is all that keeps a step's notes from being found; at least one.
type Faults = faults.List[Fault]

// fault is a single fault of a key.
func fault(key, what, want string) Faults {
	return Faults{{Fault: ladder.Fault{Key: key, What: what, Want: want}, Mark: -1}}
}

// faultOf is an error of the form "what; what would be right" as a fault.
func faultOf(key string, err error) Faults {
	if p := (*pattern.Error)(nil); errors.As(err, &p) {
		return fault("pattern "+p.Of.String(), p.What, p.Want)
	}
	if typed := (abc.Errors)(nil); errors.As(err, &typed) {
		var out Faults
		for _, e := range typed {
			out = append(out, Fault{ladder.Fault{Key: key, What: e.What, Want: e.Want}, e.Line, e.Col, -1})
		}
		return out
	}
	what, want, ok := strings.Cut(err.Error(), "; ")
	if !ok {
		want = "write other bars, or mend the score"
	}
	return fault(key, what, want)
}

// source is the key that a step's notes come from.
func source(s ladder.Step) string {
	switch {
	case s.Notes.Score.File != "":
		return "score file"
	case s.Notes.Typed.Text != "":
		return "notes"
	}
	return "pattern key"
}
