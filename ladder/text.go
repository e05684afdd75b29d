package ladder

import (
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Name is a text made fit to be the name of a routine, a step or a piece, as
// [Routine.Check] asks it: one line of at most MaxName characters that can be
// shown, without blanks around it. It may be empty, which no name of a routine or
// a step may.
func Name(text string) string { return strings.TrimSpace(Line(text)) }

// Note is a text made fit to be a pencil mark: as a name, but of several lines
// and at most MaxNote characters.
func Note(text string) string { return strings.TrimSpace(Lines(text)) }

// Line is [Name] for a text that is still being typed: blanks around it stay.
func Line(text string) string { return fit(text, MaxName, false) }

// Lines is [Note] for a text that is still being typed: blanks around it stay.
func Lines(text string) string { return fit(text, MaxNote, true) }

// Typed is what an edit makes of a text: what was put in is made fit, by [Line]
// or [Lines], and cut short where there is no room for it, so that nothing that
// stood behind it is pushed out.
func Typed(before, after string, fit func(string) string) string {
	if fit(after) == after {
		return after
	}
	was, now := []rune(before), []rune(after)
	head := 0
	for head < min(len(was), len(now)) && was[head] == now[head] {
		head++
	}
	tail := 0
	for tail < min(len(was), len(now))-head && was[len(was)-1-tail] == now[len(now)-1-tail] {
		tail++
	}
	put := []rune(fit(string(now[head : len(now)-tail])))
	with := func(n int) string { return string(now[:head]) + string(put[:n]) + string(now[len(now)-tail:]) }
	// The most of it that leaves the rest as it is.
	n := sort.Search(len(put)+1, func(n int) bool { text := with(n); return fit(text) != text })
	return fit(with(max(0, n-1)))
}

// fit makes blanks of tabs, one kind of line break of all kinds, which in a
// single line is a blank, and leaves out what cannot be shown and what is too
// much. A text that is fit it leaves as it is.
func fit(text string, most int, lines bool) string {
	var b strings.Builder
	n := 0
	for _, r := range strings.ReplaceAll(strings.ToValidUTF8(text, string(utf8.RuneError)), "\r\n", "\n") {
		switch r {
		case '\n', '\r', '\v', '\f', '\u0085', '\u2028', '\u2029':
			if r = ' '; lines {
				r = '\n'
			}
		case '\t':
			r = ' '
		}
		if unfit(r, lines) {
			continue
		}
		if n++; n > most {
			break
		}
		b.WriteRune(r)
	}
	return b.String()
}

// unfit reports whether a character cannot be shown or kept; the line break can
// where there may be several lines.
func unfit(r rune, lines bool) bool {
	switch r {
	case '\n':
		return !lines
	case '\u2028', '\u2029', '\ufeff', '\ufffe', '\uffff':
		return true
	}
	return unicode.IsControl(r)
}
