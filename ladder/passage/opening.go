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
