package abc

import (
	"cmp"
	"fmt"
	"slices"

	"footing/ladder/faults"
)

// MaxErrors is the most errors that are reported of one text.
const MaxErrors = faults.Most

// Place is where something stands in a text.
type Place struct {
	Line int // from 1
	Col  int // from 1, in characters
}

// Error is one thing wrong with typed notes.
type Error struct {
	Place
	What string // what is wrong
	Want string // what would be right
}

// Error is "line:col: what is wrong; what would be right".
func (e *Error) Error() string {
	return fmt.Sprintf("%d:%d: %s; %s", e.Line, e.Col, e.What, e.Want)
}

// Errors is everything wrong with a text, in its order; at least one, at most
// [MaxErrors].
type Errors = faults.List[*Error]

// sorted are the first errors in the order of the text.
func sorted(errs Errors) Errors {
	slices.SortStableFunc(errs, func(a, b *Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	return errs[:min(len(errs), MaxErrors)]
}

// Remark is something that can be read but may not be what is meant.
type Remark struct {
	Place
	Text string
}

// String is "line:col: text".
func (r Remark) String() string { return fmt.Sprintf("%d:%d: %s", r.Line, r.Col, r.Text) }
