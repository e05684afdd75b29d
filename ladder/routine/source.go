package routine

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// MaxBytes is the largest file that is read as a routine: 1 MiB.
const MaxBytes = 1 << 20

// source is the text of a file, by line and column.
type source struct {
	name  string
	data  []byte
	lines []int // offset at which each line starts
}

func newSource(name string, data []byte) *source {
	s := &source{name: name, data: data, lines: []int{0}}
	if bytes.HasPrefix(data, []byte("\ufeff")) {
		s.lines[0] = 3 // a byte order mark takes no column
	}
	for i := 0; i < len(data); i++ {
		switch {
		case data[i] == '\n', data[i] == '\r' && (i+1 == len(data) || data[i+1] != '\n'):
			s.lines = append(s.lines, i+1)
		}
	}
	return s
}

// offset is the byte at a line and column, both from 1; the end of the line
// when it is shorter.
func (s *source) offset(line, col int) int {
	line = min(max(line, 1), len(s.lines))
	at, end := s.lines[line-1], s.lineEnd(s.lines[line-1])
	for range col - 1 {
		if at >= end {
			return end
		}
		_, n := utf8.DecodeRune(s.data[at:])
		at += n
	}
	return at
}

// place is the line and column of an offset.
func (s *source) place(at int) (line, col int) {
	low, high := 0, len(s.lines)
	for high-low > 1 {
		if mid := (low + high) / 2; s.lines[mid] <= at {
			low = mid
		} else {
			high = mid
		}
	}
	if at < s.lines[low] {
		return low + 1, 1
	}
	return low + 1, utf8.RuneCount(s.data[s.lines[low]:min(at, len(s.data))]) + 1
}

// lineStart and lineEnd are the ends of the line that holds an offset, without
// its line break.
func (s *source) lineStart(at int) int {
	line, _ := s.place(at)
	return s.lines[line-1]
}

func (s *source) lineEnd(at int) int {
	if i := bytes.IndexAny(s.data[at:], "\r\n"); i >= 0 {
		return at + i
	}
	return len(s.data)
}

// next is the start of the line after the one that holds at; the end of the
// text when there is none.
func (s *source) next(at int) int {
	at = s.lineEnd(at)
	switch {
	case bytes.HasPrefix(s.data[at:], []byte("\r\n")):
		return at + 2
	case at < len(s.data):
		return at + 1
	}
	return at
}

// line is the text of a line, from 1.
func (s *source) line(n int) string {
	at := s.lines[n-1]
	return string(s.data[at:s.lineEnd(at)])
}

// newline is the line break that the file uses.
func (s *source) newline() string {
	if end := s.lineEnd(0); end < len(s.data) {
		return string(s.data[end:s.next(0)])
	}
	return "\n"
}

func (s *source) errorAt(at int, what, want string) *Error {
	line, col := s.place(at)
	return &Error{File: s.name, Line: line, Col: col, What: what, Want: want}
}

// checkText refuses what cannot be a routine before it is parsed.
func (s *source) checkText() *Error {
	if len(s.data) > MaxBytes {
		return s.tooLarge(fmt.Sprintf("%s bytes", grouped(len(s.data))))
	}
	for at := 0; at < len(s.data); {
		r, n := utf8.DecodeRune(s.data[at:])
		switch {
		case r == utf8.RuneError && n == 1:
			return s.errorAt(at, fmt.Sprintf("the byte 0x%02x is not part of any letter", s.data[at]), "save the file as UTF-8 text")
		case r == 0:
			return s.errorAt(at, "there is a zero byte: this is no text file", "open a routine, which is YAML text")
		case r == '\u0085' || r == '\u2028' || r == '\u2029':
			return s.errorAt(at, fmt.Sprintf("there is a line break of an unusual kind (U+%04X)", r), "use the return key's line break")
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r >= 0x7f && r <= 0x9f, r == '\ufffe' || r == '\uffff', r == '\ufeff' && at > 0:
			return s.errorAt(at, fmt.Sprintf("there is a control character (U+%04X)", r), "delete it")
		}
		at += n
	}
	return nil
}

func (s *source) tooLarge(size string) *Error {
	return &Error{
		File: s.name, Line: 1, Col: 1,
		What: "the file holds " + size,
		Want: fmt.Sprintf("a routine holds at most %s bytes (1 MiB)", grouped(MaxBytes)),
	}
}

// grouped writes a number with blanks between thousands.
func grouped(n int) string {
	s := strconv.Itoa(n)
	var b strings.Builder
	for i, c := range s {
		if i > 0 && (len(s)-i)%3 == 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(c)
	}
	return b.String()
}
