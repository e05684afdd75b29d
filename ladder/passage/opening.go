package passage

// Opening is what stands before the first note of a score that is made, not read:
// the clef, or, where it is the zero value, the one that fits the notes best; the
// key; the meter and the transposition where there are any.
func Opening(notes []Note, clef Clef, key Key, meter Meter, t Transposition) []Change {
	if clef == (Clef{}) {
		clef = ClefFor(notes)
	}
	out := []Change{{Clef: &clef}, {Key: &key}}
	if meter.Known() {
		out = append(out, Change{Meter: &meter})
	}
	if t != (Transposition{}) {
		out = append(out, Change{Transpose: &t})
	}
	return out
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
