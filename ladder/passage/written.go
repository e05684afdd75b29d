package passage

// Written is the note value and dots, at most three, that last so long outside a
// tuplet. It is false for a length that no single note has, such as 5/8 of a
// whole note.
func Written(q Quarters) (v Value, dots int, ok bool) {
	for v := Maxima; v <= Value1024; v++ {
		for dots := range 4 {
			if v.Length(dots) == q {
				return v, dots, true
			}
		}
	}
	return NoValue, 0, false
}

// AccidentalName is the standard's name of the sign for an alteration; empty
// where there is no common sign.
func AccidentalName(a Alter) string {
	switch a {
	case DoubleFlat:
		return "flat-flat"
	case Flat:
		return "flat"
	case Natural:
		return "natural"
	case Sharp:
		return "sharp"
	case DoubleSharp:
		return "double-sharp"
	}
	return ""
}

// ClefFor is the treble or the bass clef, whichever has fewer of the notes' steps
// on ledger lines: for notes that come without a clef.
func ClefFor(notes []Note) Clef {
	treble, bass := Clef{Sign: "G", Line: 2}, Clef{Sign: "F", Line: 4}
	if ledgers(notes, bass) < ledgers(notes, treble) {
		return bass
	}
	return treble
}

// ledgers adds up how many steps the notes lie outside a clef's staff.
func ledgers(notes []Note, c Clef) int {
	middle, _ := c.Middle()
	sum := 0
	for _, n := range notes {
		if n.Kind == Pitched {
			away := n.Pitch.Steps() - middle.Steps()
			sum += max(away-5, -away-5, 0)
		}
	}
	return sum
}
