// Package faults is all that is wrong with a text of the player's, as one error.
// Pure.
package faults

import "strings"

// Most is the most faults that are reported of one text.
const Most = 20

// List is everything wrong with a text, in its order; at least one.
type List[E error] []E

// Error is a line for each fault.
func (l List[E]) Error() string {
	lines := make([]string, len(l))
	for i, one := range l {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives errors.As and errors.Is each fault.
func (l List[E]) Unwrap() []error {
	out := make([]error, len(l))
	for i, one := range l {
		out[i] = one
	}
	return out
}
