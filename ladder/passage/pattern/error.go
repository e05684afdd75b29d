package pattern

// Of is which word of a recipe is at fault.
type Of uint8

// The words of a recipe.
const (
	InKey Of = iota
	InFigure
	InRange
	InOctaves
	InFrom
	InGroup
	InArticulation
)

// String is the word's name, as it stands in a routine: "key", "figure", ….
func (o Of) String() string {
	return [...]string{"key", "figure", "range", "octaves", "from", "group", "articulation"}[min(o, InArticulation)]
}

// Error is something wrong with a recipe.
type Error struct {
	Of   Of
	What string // what is wrong
	Want string // what would be right
}

// Error is "what is wrong; what would be right".
func (e *Error) Error() string { return e.What + "; " + e.Want }
