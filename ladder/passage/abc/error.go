package abc

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// MaxErrors is the most errors that are reported of one text.
const MaxErrors = 20

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
type Errors []*Error

// Error is a line for each error.
func (e Errors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives errors.As and errors.Is each error.
func (e Errors) Unwrap() []error {
	out := make([]error, len(e))
	for i, one := range e {
		out[i] = one
	}
	return out
}

// sorted are the first errors in the order of the text.
func (e Errors) sorted() Errors {
	slices.SortStableFunc(e, func(a, b *Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	return e[:min(len(e), MaxErrors)]
}

// Remark is something that can be read but may not be what is meant.
type Remark struct {
	Place
	Text string
}

// String is "line:col: text".
func (r Remark) String() string { return fmt.Sprintf("%d:%d: %s", r.Line, r.Col, r.Text) }
