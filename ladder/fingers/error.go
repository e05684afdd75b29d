package fingers

import (
	"fmt"
	"strings"
)

// MaxErrors is the most errors that are reported of one file.
const MaxErrors = 20

// Error is one thing wrong with a file of fingerings.
type Error struct {
	File string // as it was given to whoever read it
	Line int    // from 1
	Col  int    // from 1, in characters
	What string // what is wrong
	Want string // what would be right
}

// Error is "file:line:col: what is wrong; what would be right".
func (e *Error) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s; %s", e.File, e.Line, e.Col, e.What, e.Want)
}

// Errors is what is wrong with a file, in its order; at least one, at most
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
