package passage

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
