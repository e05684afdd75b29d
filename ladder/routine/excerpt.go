package routine

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/width"
)

// Excerpt is the text around a place in a file, for a terminal or a window with
// a monospaced font: up to two lines before, the line itself, a line with a
// caret under the column, and one line after, each with its number. line and
// col count from 1 and are held within the text. A tab shows as an arrow, what
// cannot be shown as "�", and long lines are cut.
func Excerpt(data []byte, line, col int) string {
	const most = 100 // characters of a line
	s := newSource("", data)
	line = min(max(line, 1), len(s.lines))
	last := min(line+1, len(s.lines))
	if last > line && last == len(s.lines) && s.line(last) == "" {
		last = line
	}
	digits := len(fmt.Sprint(last))
	var b strings.Builder
	for n := max(1, line-2); n <= last; n++ {
		text := shown(s.line(n))
		if n != line {
			fmt.Fprintf(&b, "%*d | %s\n", digits, n, cut(text, 0, most))
			continue
		}
		at := min(max(col-1, 0), len(text))
		from := max(0, at-most*2/3)
		fmt.Fprintf(&b, "%*d | %s\n", digits, n, cut(text, from, most))
		before := cut(text[:at], from, most)
		fmt.Fprintf(&b, "%*s | %s^\n", digits, "", blanks(before))
	}
	return b.String()
}

// shown replaces what would disturb a terminal.
func shown(line string) []rune {
	var out []rune
	for _, r := range line {
		switch {
		case r == '\t':
			r = '→'
		case !unicode.IsPrint(r):
			r = utf8.RuneError
		}
		out = append(out, r)
	}
	return out
}

// cut is at most n characters of a line from one of them on, with "…" where
// something is missing.
func cut(line []rune, from, n int) string {
	rest := line[min(from, len(line)):]
	out := string(rest[:min(n, len(rest))])
	if from > 0 {
		out = "…" + out
	}
	if len(rest) > n {
		out += "…"
	}
	return out
}

// blanks is as wide as the text: nothing for a combining mark, a wide blank
// for a wide character (Unicode Standard Annex 11).
func blanks(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch k := width.LookupRune(r).Kind(); {
		case unicode.Is(unicode.Mn, r):
		case k == width.EastAsianWide || k == width.EastAsianFullwidth:
			b.WriteRune('\u3000')
		default:
			b.WriteByte(' ')
		}
	}
	return b.String()
}
