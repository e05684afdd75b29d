package routine

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// MaxBytes is the largest file that is read as a routine: 1 MiB.
const MaxBytes = 1 << 20

// source is the text of a file, by line and column. Places are looked up in
// the same short time however long the text and its lines are.
type source struct {
	name  string
	data  []byte
	lines []int // offset at which each line starts
	ends  []int // offset at which it ends, without its line break
	runes []int // characters before each block of runeBlock bytes
}

const runeBlock = 256

func newSource(name string, data []byte) *source {
	s := &source{name: name, data: data, lines: []int{0}}
	if bytes.HasPrefix(data, []byte("\ufeff")) {
		s.lines[0] = 3 // a byte order mark takes no column
	}
	n := 0
	for i, c := range data {
		if i%runeBlock == 0 {
			s.runes = append(s.runes, n)
		}
		if utf8.RuneStart(c) {
			n++
		}
		switch {
		case c == '\r' && i+1 < len(data) && data[i+1] == '\n':
			s.ends = append(s.ends, i)
		case c == '\n' && i > 0 && data[i-1] == '\r':
			s.lines = append(s.lines, i+1)
		case c == '\n' || c == '\r':
			s.ends = append(s.ends, i)
			s.lines = append(s.lines, i+1)
		}
	}
	s.runes = append(s.runes, n)
	s.ends = append(s.ends, len(data))
	return s
}

// before is the number of characters before an offset.
func (s *source) before(at int) int {
	block := at / runeBlock
	n := s.runes[block]
	for _, c := range s.data[block*runeBlock : at] {
		if utf8.RuneStart(c) {
			n++
		}
	}
	return n
}

// offset is the byte at a line and column, both from 1; the end of the line
// when it is shorter.
func (s *source) offset(line, col int) int {
	line = min(max(line, 1), len(s.lines))
	start, end := s.lines[line-1], s.ends[line-1]
	return s.atRune(s.before(start)+max(0, col-1), start, end)
}

// atRune is the offset of the n-th character (from 0), held within bounds.
func (s *source) atRune(n, low, high int) int {
	if n >= s.runes[len(s.runes)-1] {
		return high
	}
	block, _ := slices.BinarySearch(s.runes, n+1)
	at := max(low, (block-1)*runeBlock)
	for left := n - s.before(at); at < high; at++ {
		if !utf8.RuneStart(s.data[at]) {
			continue
		}
		if left == 0 {
			return at
		}
		left--
	}
	return high
}

// place is the line and column of an offset.
func (s *source) place(at int) (line, col int) {
	i, found := slices.BinarySearch(s.lines, at)
	if !found {
		i = max(0, i-1)
	}
	if at < s.lines[i] {
		return i + 1, 1
	}
	return i + 1, s.before(min(at, len(s.data))) - s.before(s.lines[i]) + 1
}

// lineStart and lineEnd are the ends of the line that holds an offset, without
// its line break.
func (s *source) lineStart(at int) int {
	line, _ := s.place(at)
	return s.lines[line-1]
}

func (s *source) lineEnd(at int) int {
	line, _ := s.place(at)
	return max(at, s.ends[line-1])
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
	return string(s.data[s.lines[n-1]:s.ends[n-1]])
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
