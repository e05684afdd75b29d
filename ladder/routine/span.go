package routine

import (
	"errors"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// errSpan says that the text does not look as the tree says it should.
var errSpan = errors.New("the text and its tree differ")

// span is a stretch of the text, from its first byte to the one after its
// last.
type span struct{ from, to int }

// start is the offset of a node.
func (s *source) start(n *yaml.Node) int { return s.offset(n.Line, n.Column) }

// span is the text of a node, which must be free of tags, anchors and aliases.
// Comments after it are not part of it.
func (s *source) span(n *yaml.Node) (span, error) {
	from := s.start(n)
	var to int
	var err error
	switch {
	case n.Kind == yaml.ScalarNode:
		to, err = s.scalarEnd(n, from)
	case len(n.Content) > 0:
		var last span
		last, err = s.span(n.Content[len(n.Content)-1])
		to = last.to
	default:
		to = from + 1
	}
	if err != nil || n.Kind == yaml.ScalarNode || n.Style&yaml.FlowStyle == 0 {
		return span{from, to}, err
	}
	for to = s.skip(to); to < len(s.data) && s.data[to] == ','; {
		to = s.skip(to + 1)
	}
	if to >= len(s.data) || s.data[to] != ']' && s.data[to] != '}' {
		return span{}, errSpan
	}
	return span{from, to + 1}, nil
}

// scalarEnd is the offset after a scalar.
func (s *source) scalarEnd(n *yaml.Node, at int) (int, error) {
	switch {
	case at >= len(s.data):
		return 0, errSpan
	case n.Style&yaml.SingleQuotedStyle != 0:
		return s.quoteEnd(at, '\'')
	case n.Style&yaml.DoubleQuotedStyle != 0:
		return s.quoteEnd(at, '"')
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return s.blockEnd(at)
	}
	// A plain text stands in the file as it is, but for folded line breaks.
	value := n.Value
	for {
		value = strings.TrimLeft(value, " \t\n")
		if value == "" {
			return at, nil
		}
		for at < len(s.data) && isBlank(s.data[at]) {
			at++
		}
		word := value
		if i := strings.IndexAny(value, " \t\n"); i >= 0 {
			word = value[:i]
		}
		if !strings.HasPrefix(string(s.data[at:min(len(s.data), at+len(word))]), word) {
			return 0, errSpan
		}
		at, value = at+len(word), value[len(word):]
	}
}

func (s *source) quoteEnd(at int, quote byte) (int, error) {
	if s.data[at] != quote {
		return 0, errSpan
	}
	for at++; at < len(s.data); at++ {
		switch c := s.data[at]; {
		case c == '\\' && quote == '"':
			at++
		case c == quote && quote == '\'' && at+1 < len(s.data) && s.data[at+1] == quote:
			at++
		case c == quote:
			return at + 1, nil
		}
	}
	return 0, errSpan
}

// blockEnd is the end of the last line of a | or > text that is not blank.
func (s *source) blockEnd(at int) (int, error) {
	if s.data[at] != '|' && s.data[at] != '>' {
		return 0, errSpan
	}
	header := string(s.data[at:s.lineEnd(at)])
	end := at + len(header)
	header, _, _ = strings.Cut(header, "#")
	end = min(end, at+len(strings.TrimRight(header, " \t")))
	least := -1
	if i := strings.IndexAny(header, "123456789"); i >= 0 {
		least = s.parentIndent(at) + int(header[i]-'0')
	}
	for line := s.next(at); line < len(s.data); line = s.next(line) {
		text := string(s.data[line:s.lineEnd(line)])
		indent := len(text) - len(strings.TrimLeft(text, " "))
		if indent == len(text) {
			continue
		}
		if least < 0 {
			if least = indent; least <= s.parentIndent(at) {
				break
			}
		}
		if indent < least {
			break
		}
		end = line + len(text)
	}
	return end, nil
}

// parentIndent is how far the key is indented whose value begins at an offset,
// with the dash of a list before it counted as a blank.
func (s *source) parentIndent(at int) int {
	n := 0
	for i := s.lineStart(at); i < at; i++ {
		if c := s.data[i]; c != ' ' && (c != '-' || i+1 < len(s.data) && s.data[i+1] != ' ') {
			break
		}
		n++
	}
	return n
}

// skip is the next byte that is neither blank nor in a comment.
func (s *source) skip(at int) int {
	for at < len(s.data) {
		switch {
		case s.data[at] == '#' && (at == 0 || isBlank(s.data[at-1]) || s.data[at-1] == ','):
			at = s.lineEnd(at)
		case isBlank(s.data[at]):
			at++
		default:
			return at
		}
	}
	return at
}

// colon is the offset of the colon after a key.
func (s *source) colon(key *yaml.Node) (int, error) {
	k, err := s.span(key)
	if err != nil {
		return 0, err
	}
	if at := s.skip(k.to); at < len(s.data) && s.data[at] == ':' {
		return at, nil
	}
	return 0, errSpan
}

// comments are the comments between two offsets, which must not stand within a
// scalar; n is a node, or nil, whose scalars are passed over.
func (s *source) comments(from, to int, n *yaml.Node) []string {
	var out []string
	var scalars []span
	s.scalars(n, &scalars)
	for at := from; at < to; at++ {
		for len(scalars) > 0 && scalars[0].to <= at {
			scalars = scalars[1:]
		}
		if len(scalars) > 0 && scalars[0].from <= at {
			at = max(at, scalars[0].to-1)
			continue
		}
		if s.data[at] == '#' && (at == 0 || isBlank(s.data[at-1]) || s.data[at-1] == ',' || at == s.lines[0]) {
			end := s.lineEnd(at)
			out = append(out, strings.TrimRight(string(s.data[at:end]), " \t"))
			at = end - 1
		}
	}
	return out
}

// scalars are the spans of the scalars of a tree in the order of the text. Of
// a | or > text that has a comment behind its sign, the sign and the text are
// two spans.
func (s *source) scalars(n *yaml.Node, out *[]span) {
	if n == nil {
		return
	}
	if n.Kind == yaml.ScalarNode {
		sp, err := s.span(n)
		if err != nil {
			return
		}
		if n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
			if body := s.next(sp.from); body < sp.to {
				*out = append(*out, span{sp.from, sp.from + 1}, span{body, sp.to})
				return
			}
		}
		*out = append(*out, sp)
		return
	}
	for _, c := range n.Content {
		s.scalars(c, out)
	}
}

// column is where an offset stands in its line, in characters from 0.
func (s *source) column(at int) int {
	from := s.lineStart(at)
	if from > at {
		return 0
	}
	return utf8.RuneCount(s.data[from:at])
}
