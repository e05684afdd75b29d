package routine

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"footing/files"
)

// MaxErrors is the most errors that are reported of one file.
const MaxErrors = 20

// Error is one thing wrong with a routine file.
type Error struct {
	File string // as it was given to Parse or Load
	Line int    // from 1
	Col  int    // from 1, in characters
	What string // what is wrong
	Want string // what would be right
}

// Error is "file:line:col: what is wrong; what would be right", in one line
// without control characters.
func (e *Error) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s; %s", files.Name(e.File), e.Line, e.Col, e.What, e.Want)
}

// Errors is everything wrong with a routine file, in the order of the file; at
// least one, at most [MaxErrors].
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

// quote shows a text from a file: in quotes, cut when it is long, with nothing
// in it that a terminal would obey.
func quote(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) > most {
		s = string([]rune(s)[:most-1]) + "…"
	}
	return strconv.Quote(s)
}
