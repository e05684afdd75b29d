// Package counted writes how many there are of something.
package counted

import (
	"fmt"
	"strconv"
)

// Of counts things whose plural ends in s: "1 rung", "2 rungs", "0 rungs".
func Of[N int | int64 | uint64](n N, thing string) string { return As(n, thing, thing+"s") }

// As counts what is called one thing where there is one of it, and many else: "1 bar
// is left out", "3 bars are left out".
func As[N int | int64 | uint64](n N, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	if n < 0 {
		return strconv.FormatInt(int64(n), 10) + " " + many
	}
	return strconv.FormatUint(uint64(n), 10) + " " + many
}

// Value is Of for a number that is written otherwise, such as beats: "1 beat",
// "5/2 beats".
func Value(n fmt.Stringer, thing string) string {
	if s := n.String(); s != "1" {
		return s + " " + thing + "s"
	}
	return "1 " + thing
}
