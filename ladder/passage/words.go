package passage

import (
	"strconv"
	"strings"
)

// quoted is a text of the file as it may stand in a sentence, cut where it is long.
func quoted(s string) string { return strconv.Quote(cut(s)) }

// oneLine is a name of the file on one line, cut where it is long.
func oneLine(s string) string { return cut(strings.Join(strings.Fields(s), " ")) }

func cut(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
