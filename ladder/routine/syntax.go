package routine

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// sip hands out one byte at a time, so that at an error it is known how far
// the YAML parser had looked: it looks ahead no more than it must.
type sip struct {
	data []byte
	n    int
}

func (s *sip) Read(p []byte) (int, error) {
	if s.n >= len(s.data) {
		return 0, io.EOF
	}
	p[0] = s.data[s.n]
	s.n++
	return 1, nil
}

// tree parses the text and returns the mapping at its top.
func tree(src *source) (root *yaml.Node, fault *Error) {
	first, second, err := documents(bytes.NewReader(src.data))
	if err != nil {
		slow := &sip{data: src.data}
		if _, _, err2 := documents(slow); err2 != nil {
			err = err2
		}
		return nil, explain(src, err, max(0, slow.n-1))
	}
	if second != nil {
		return nil, src.errorAt(src.offset(second.Line, second.Column), "a second document begins here", "keep one routine in a file")
	}
	if first == nil || len(first.Content) != 1 || isNull(first.Content[0]) {
		return nil, src.errorAt(src.lines[0], "the file is empty", "begin it with footing: 1, a name and steps")
	}
	return first.Content[0], nil
}

// documents reads two documents, each nil when there is none. A panic of the
// YAML library is an error.
func documents(in io.Reader) (first, second *yaml.Node, err error) {
	defer func() {
		if v := recover(); v != nil {
			first, second, err = nil, nil, errors.New("it is too tangled to read")
		}
	}()
	dec := yaml.NewDecoder(in)
	for _, doc := range []**yaml.Node{&first, &second} {
		n := new(yaml.Node)
		err := dec.Decode(n)
		if errors.Is(err, io.EOF) {
			return first, second, nil
		}
		if err != nil {
			return nil, nil, err
		}
		*doc = n
	}
	return first, second, nil
}

// isNull reports whether a value was left out, or written as null.
func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

var lineNumber = regexp.MustCompile(`^line (\d+): `)

// mistakes are what players get wrong in YAML, by the words of the library's
// error. mark is the sign on the line to point at, the last one before the
// place that the parser had reached; without one it is the first sign on the
// line. A stale error is found late: the line it names is the right one.
var mistakes = []struct {
	says, mark string
	stale      bool
	what, want string
}{
	{"mapping values are not allowed", ":", false, "a colon cannot stand here",
		"put a text that holds a colon in quotes, or line the key up with the keys above it"},
	{"block sequence entries are not allowed", "-", false, "a dash cannot stand here",
		`put marks that begin with a dash in quotes, such as "- p p p", or begin the step on a line of its own`},
	{"could not find expected ':'", "", true, "this line has no colon with a blank behind it",
		"write the key, a colon, a blank and the value, such as reps: 5"},
	{"did not find expected ',' or '}'", "", false, "the { before this has no }, or a comma is missing",
		"write such as {from: 64, goal: 104}"},
	{"did not find expected ',' or ']'", "", false, "the [ before this has no ], or a comma is missing",
		"write such as [f p p p, p p p p]"},
	{"did not find expected '-' indicator", "", false, "this line does not line up with the list before it",
		"indent it like its neighbours, with blanks"},
	{"did not find expected key", "", false, "this line does not line up with the keys before it",
		"indent it like its neighbours, with blanks"},
	{"did not find expected node content", "", false, "a value is missing here", "write one, or leave the key out"},
	{"unknown escape", `\`, false, "after a backslash in double quotes only some letters can stand",
		`write \\ for a backslash, or use single quotes`},
	{"unexpected document indicator", "", false, "a quoted text runs on to here", "close the quotes"},
	{"exceeded max depth", "", false, "brackets or indents go thousands deep", "a routine has a list of steps, with a key inside a key at most"},
	{"unknown directive", "%", false, "a line cannot begin with %", "write # to begin a comment"},
	{"directive", "%", false, "a line cannot begin with %", "write # to begin a comment"},
}

// explain says in a player's words where and why the text is not YAML. reached
// is the last byte that the parser looked at.
func explain(src *source, err error, reached int) *Error {
	msg := strings.TrimPrefix(err.Error(), "yaml: ")
	named := 0
	if m := lineNumber.FindStringSubmatch(msg); m != nil {
		named, _ = strconv.Atoi(m[1])
		msg = msg[len(m[0]):]
	}
	line, _ := src.place(reached)
	if at, ok := tabIndent(src, line); ok {
		return src.errorAt(at, "a tab indents this line", "indent with blanks, two for each level")
	}
	if strings.Contains(msg, "unknown anchor") {
		return unknownAnchor(src, msg, reached)
	}
	if strings.Contains(msg, "alphabetic or numeric character") {
		at := max(0, bytes.LastIndexAny(src.data[:reached+1], "*&"))
		for i := at; i >= src.lineStart(at); i-- {
			if (src.data[i] == '*' || src.data[i] == '&') && opens(src.data[:i]) {
				at = i
			}
		}
		return src.errorAt(at, noAlias, noAliasWant)
	}
	if strings.Contains(msg, "did not find expected key") {
		for _, n := range []int{max(1, line-1), line} {
			if m := afterQuote.FindStringIndex(src.line(n)); m != nil {
				return src.errorAt(src.lines[n-1]+m[1]-1, "text goes on behind closing quotes", "use double quotes around a text with an apostrophe")
			}
		}
	}
	if strings.Contains(msg, "mapping values are not allowed") && onlyColon(src, line, reached) {
		msg = "did not find expected key" // the same mistake, found in another way
	}
	if strings.Contains(msg, "unexpected end of stream") {
		return src.errorAt(openQuote(src), "a quoted text begins here and does not end", "close the quotes")
	}
	if strings.Contains(msg, "cannot start any token") {
		at := startsNoToken(src, reached)
		return src.errorAt(at, "a value cannot begin with "+quote(string(src.data[at:at+1])), "put the text in quotes")
	}
	for _, m := range mistakes {
		if !strings.Contains(msg, m.says) {
			continue
		}
		if m.stale {
			line = staleLine(src, min(named, line))
		}
		at := firstSign(src, line)
		if m.mark != "" {
			start := src.lines[line-1]
			end := min(reached+1, src.lineEnd(start))
			if i := bytes.LastIndex(src.data[start:max(start, end)], []byte(m.mark)); i >= 0 {
				at = start + i
			}
		}
		return src.errorAt(at, m.what, m.want)
	}
	return src.errorAt(firstSign(src, line), "this is not YAML: "+msg, "compare with a starter routine")
}

// onlyColon reports whether the colon that the parser stopped at is the one
// behind the first key of its line.
func onlyColon(src *source, line, reached int) bool {
	text := string(src.data[firstSign(src, line):max(firstSign(src, line), min(reached+1, src.lineEnd(src.lines[line-1])))])
	return strings.Count(text, ":") == 1 && line > 1
}

// afterQuote matches a quoted value with more text behind it.
var afterQuote = regexp.MustCompile(`(?:: |- )(?:'[^']*'|"[^"\\]*")[^\s'",:#\]}]`)

// firstSign is the first character of a line that is not blank.
func firstSign(src *source, line int) int {
	at := src.lines[line-1]
	for end := src.lineEnd(at); at < end && (src.data[at] == ' ' || src.data[at] == '\t'); {
		at++
	}
	return at
}

// tabIndent finds a tab before the first sign of a line.
func tabIndent(src *source, line int) (int, bool) {
	text := src.data[src.lines[line-1]:firstSign(src, line)]
	i := bytes.IndexByte(text, '\t')
	return src.lines[line-1] + i, i >= 0
}

// staleLine is the line up to the named one that has no colon a key could end
// with, the nearest first.
func staleLine(src *source, named int) int {
	for n := max(named, 1); n >= 1; n-- {
		text := strings.TrimSpace(src.line(n))
		if text != "" && text[0] != '#' && !strings.Contains(text, ": ") && !strings.HasSuffix(text, ":") {
			return n
		}
	}
	return max(named, 1)
}

// startsNoToken is the last sign up to where the parser looked that cannot
// begin a plain text.
func startsNoToken(src *source, reached int) int {
	for at := reached; at >= 0 && at > reached-8; at-- {
		if strings.IndexByte("@`%\t", src.data[at]) >= 0 {
			return at
		}
	}
	return firstSign(src, max(1, lineOf(src, reached)))
}

func lineOf(src *source, at int) int {
	line, _ := src.place(at)
	return line
}

// openQuote is where the quoted text begins that runs to the end of the file:
// the last quote that opens a value outside of another quoted text.
func openQuote(src *source) int {
	at, quote := 0, byte(0)
	for i := 0; i < len(src.data); i++ {
		c := src.data[i]
		switch {
		case quote == 0 && c == '#' && (i == 0 || isBlank(src.data[i-1])):
			i = src.lineEnd(i) - 1
		case quote == 0 && (c == '"' || c == '\'') && opens(src.data[:i]):
			at, quote = i, c
		case quote == '"' && c == '\\':
			i++
		case c == quote && c == '\'' && i+1 < len(src.data) && src.data[i+1] == '\'':
			i++
		case quote != 0 && c == quote:
			quote = 0
		}
	}
	return at
}

// opens reports whether a quote after this text begins a value rather than
// standing within one.
func opens(before []byte) bool {
	before = bytes.TrimRight(before, " \t")
	return len(before) == 0 || strings.IndexByte(":-,[{?\r\n", before[len(before)-1]) >= 0
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }

func unknownAnchor(src *source, msg string, reached int) *Error {
	at := firstSign(src, lineOf(src, reached))
	if _, rest, ok := strings.Cut(msg, "'"); ok {
		name, _, _ := strings.Cut(rest, "'")
		if i := bytes.LastIndex(src.data[:reached+1], []byte("*"+name)); i >= 0 {
			at = i
		}
	}
	return src.errorAt(at, noAlias, noAliasWant)
}

const (
	noAlias     = "a value cannot begin with * or & (aliases and anchors are not read)"
	noAliasWant = "write the value out, or put the text in quotes"
)
