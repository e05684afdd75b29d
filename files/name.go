package files

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Name is a file name as a message shows it, on one line and with nothing in
// it that a terminal would obey: as it is where every letter can be seen, and
// in quotes with escapes where one cannot, such as an escape code, a line's
// end, a mark that turns the direction of writing, or a byte that is no UTF-8.
// An empty name is two quotes.
func Name(path string) string {
	if path == "" || !utf8.ValidString(path) || strings.ContainsFunc(path, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(path)
	}
	return path
}
