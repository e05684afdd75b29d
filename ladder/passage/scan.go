package passage

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// maxToken is how long one text, tag or comment of a document may be, in bytes:
// the decoder holds it whole.
const maxToken = 1 << 20

// gauge lets through so many bytes, and no more than maxToken between two tokens.
type gauge struct {
	ctx   context.Context
	from  io.Reader
	left  int64
	token int
	err   error // what stopped it, other than the source's own error
}

func (g *gauge) Read(p []byte) (int, error) {
	if g.err == nil {
		g.err = g.ctx.Err()
	}
	if g.err == nil && g.token > maxToken {
		g.err = fmt.Errorf("a text or tag is longer than %d bytes", maxToken)
	}
	if g.err != nil {
		return 0, g.err
	}
	n, err := g.from.Read(p)
	g.left -= int64(n)
	g.token += n
	if g.left < 0 {
		g.err = errTooLarge
		return 0, g.err
	}
	return n, err
}

var errTooLarge = errors.New("the score is too large")

// scanner pulls elements out of a document. Each function that handles an element
// is called behind its start and reads to its end.
type scanner struct {
	dec   *xml.Decoder
	gauge *gauge
	depth int
	most  int   // depth
	full  error // why nothing more is taken in
}

// next is the next start, end or text.
func (s *scanner) next() (xml.Token, error) {
	for {
		if s.full != nil {
			return nil, s.full
		}
		s.gauge.token = 0
		t, err := s.dec.Token()
		if err != nil {
			return nil, s.fault(err)
		}
		switch t.(type) {
		case xml.StartElement:
			if s.depth++; s.depth > s.most {
				return nil, s.at("the elements are nested too deep, more than %d in each other", s.most)
			}
			return t, nil
		case xml.EndElement:
			s.depth--
			return t, nil
		case xml.CharData:
			return t, nil
		}
	}
}

// at is an error with the line it was found in.
func (s *scanner) at(format string, args ...any) error {
	line, _ := s.dec.InputPos()
	return fmt.Errorf("line %d: "+format, append([]any{line}, args...)...)
}

// fault says in a sentence what the decoder could not read.
func (s *scanner) fault(err error) error {
	if s.gauge.err != nil {
		return s.gauge.err
	}
	var syntax *xml.SyntaxError
	switch {
	case errors.As(err, &syntax):
		switch {
		case syntax.Msg == "unexpected EOF":
			return fmt.Errorf("line %d: the file ends too early", syntax.Line)
		case strings.HasPrefix(syntax.Msg, "invalid character entity"):
			return fmt.Errorf("line %d: %s is an entity, and entities are not read", syntax.Line, strings.TrimSuffix(strings.TrimPrefix(syntax.Msg, "invalid character entity "), " (no semicolon)"))
		}
		return fmt.Errorf("line %d: this is no well-formed XML: %s", syntax.Line, syntax.Msg)
	case err == io.EOF, errors.Is(err, io.ErrUnexpectedEOF):
		return s.at("the file ends too early")
	}
	return s.at("%w", err)
}

// children calls f for each element within the one that was started, behind its
// start; f reads to its end.
func (s *scanner) children(f func(xml.StartElement) error) error {
	for {
		t, err := s.next()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.StartElement:
			if err := f(t); err != nil {
				return err
			}
		case xml.EndElement:
			return nil
		}
	}
}

// skip reads to the end of the element that was started.
func (s *scanner) skip() error {
	for depth := s.depth; s.depth >= depth; {
		if _, err := s.next(); err != nil {
			return err
		}
	}
	return nil
}

// text is the text of the element that was started, without that of elements in
// it and without space around it.
func (s *scanner) text() (string, error) {
	var out []byte
	for depth := s.depth; ; {
		t, err := s.next()
		if err != nil {
			return "", err
		}
		switch t := t.(type) {
		case xml.CharData:
			if s.depth == depth {
				if out = append(out, t...); len(out) > maxToken {
					return "", s.at("a text is longer than %d bytes", maxToken)
				}
			}
		case xml.EndElement:
			if s.depth < depth {
				return strings.TrimSpace(string(out)), nil
			}
		}
	}
}

// attr is an element's attribute, empty where it has none.
func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
