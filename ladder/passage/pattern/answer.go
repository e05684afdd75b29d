package pattern

// Listing is a pattern's notes as a program may want to read them: plain values
// with names for JSON.
type Listing struct {
	Pattern string   `json:"pattern"` // the key: "E flat major"
	Figure  string   `json:"figure"`  // "thirds up"
	Range   string   `json:"range,omitempty"`
	Pitches []string `json:"pitches"` // "Eb4", "F##5"; middle C is C4
	MIDI    []int    `json:"midi"`    // of each, middle C is 60
}

// Answer lists the notes of a recipe. The error is an [*Error].
func Answer(w Words) (Listing, error) {
	p, err := Parse(w)
	if err != nil {
		return Listing{}, err
	}
	pitches, err := p.Pitches()
	if err != nil {
		return Listing{}, err
	}
	out := Listing{Pattern: p.Key.String(), Figure: p.Figure.String()}
	if !p.Range.none() {
		out.Range = p.Range.String()
	}
	for _, n := range pitches {
		out.Pitches = append(out.Pitches, n.String())
		out.MIDI = append(out.MIDI, n.Cents()/100)
	}
	return out, nil
}
