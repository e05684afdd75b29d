package routine

import (
	"fmt"
	"strconv"
	"unicode/utf8"

	"footing/files"
	"footing/ladder/faults"
)

// MaxErrors is the most errors that are reported of one file.
const MaxErrors = faults.Most

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
type Errors = faults.List[*Error]

// quote shows a text from a file: in quotes, cut when it is long, with nothing
// in it that a terminal would obey.
func quote(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) > most {
		s = string([]rune(s)[:most-1]) + "…"
	}
	return strconv.Quote(s)
}
