package abc

import (
	"fmt"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/ladder/passage"
)

const (
	// MaxBytes is the longest text that is read.
	MaxBytes = 64 << 10
	// MaxBars is the most bars that are read, rests of many bars among them.
	MaxBars = 2000
)

// Read reads typed notes into a score of one part, with remarks on what may not
// be meant. The error is [Errors].
func Read(text string, in Setting) (*passage.Score, []Remark, error) {
	r := &reader{text: []rune(text), in: in, place: Place{1, 1}}
	if in.Unit.Sign() <= 0 {
		r.in.Unit = DefaultUnit(in.Meter)
	}
	if in.First == 0 {
		r.in.First = 1
	}
	if len(text) > MaxBytes {
		return nil, nil, Errors{{r.place, fmt.Sprintf("the text has %d bytes", len(text)), fmt.Sprintf("write at most %d", MaxBytes)}}
	}
	r.begin()
	for r.more() {
		r.symbol()
	}
	score := r.finish()
	if len(r.errs) > 0 {
		return nil, nil, sorted(r.errs)
	}
	return score, r.remarks, nil
}

// item is a note or rest as typed.
type item struct {
	note    passage.Note // its bar, place and duration are found at the end
	place   Place
	written passage.Quarters // outside a tuplet
	bars    int              // of a rest of whole bars, else 0
	dotted  bool             // > or < has changed its length
	tempos  []tempo          // from it on
	tuplet  Place            // of a tuplet that begins on it and does not say in the time of how many
}

// bar is the items between two bar lines.
type bar struct {
	place Place // of its first note
	items []*item
	bad   bool // something in it was not read, so that its length says nothing
	style string
}

// tuplet is a tuplet that is open.
type tuplet struct {
	ratio passage.Ratio
	left  int  // notes to come
	first bool // none has come
	given bool // in the time of how many
	place Place
}

// slur is a slur that is open.
type slur struct {
	place  Place
	number int
	from   *item // nil until its first note
}

// reader goes through a text once.
type reader struct {
	text  []rune
	at    int
	place Place
	in    Setting

	bars    []*bar // the last is open
	errs    Errors
	remarks []Remark

	signs   map[int]passage.Alter            // accidentals of the bar, by steps
	letters map[passage.Letter]passage.Pitch // the last accidental of the bar, by letter

	last   *item // the note or rest before in the bar, no grace note
	tie    *item // the note before, where it is tied on
	tied   Place // its tie
	factor passage.Quarters
	broken Place // of a > or < that awaits its second note, if factor is not 0
	marks  []passage.Mark
	marked Place // of the first of marks
	graces []*item
	slurs  []*slur
	tempos []tempo // that await a note
	tuplet tuplet
}

func (r *reader) more() bool { return r.at < len(r.text) }

// peek is the rune so far ahead, 0 behind the end.
func (r *reader) peek(ahead int) rune {
	if r.at+ahead < len(r.text) {
		return r.text[r.at+ahead]
	}
	return 0
}

// next takes a rune.
func (r *reader) next() rune {
	c := r.text[r.at]
	r.at++
	if r.place.Col++; c == '\n' {
		r.place = Place{r.place.Line + 1, 1}
	}
	return c
}

// take takes a rune if it is the one that is meant.
func (r *reader) take(c rune) bool {
	if r.peek(0) != c || !r.more() {
		return false
	}
	r.next()
	return true
}

// through takes all up to a rune and it, within the line; or up to the line's end.
func (r *reader) through(c rune) (string, bool) {
	var out strings.Builder
	for r.more() && r.peek(0) != '\n' {
		got := r.next()
		if got == c {
			return out.String(), true
		}
		out.WriteRune(got)
	}
	return out.String(), false
}

// number takes digits, at most four; it is 0 where there are none.
func (r *reader) number() int {
	n := 0
	for digits := 0; r.peek(0) >= '0' && r.peek(0) <= '9'; digits++ {
		d := int(r.next() - '0')
		if digits < 4 {
			n = 10*n + d
		} else {
			n = 9999
		}
	}
	return n
}

// fail notes an error in the open bar; what is left of it is read all the same.
func (r *reader) fail(at Place, want, format string, args ...any) {
	r.bars[len(r.bars)-1].bad = true
	r.wrong(at, want, format, args...)
}

// wrong notes an error.
func (r *reader) wrong(at Place, want, format string, args ...any) {
	if len(r.errs) < 10*MaxErrors {
		r.errs = append(r.errs, &Error{at, fmt.Sprintf(format, args...), want})
	}
}

// symbol reads what stands next.
func (r *reader) symbol() {
	at, c := r.place, r.peek(0)
	if r.field(at) {
		return
	}
	switch {
	case c == ' ' || c == '\t' || c == '\n' || c == '\r':
		r.next()
	case c == '%':
		r.through('\n')
	case c == '|' || c == ':' || c == '[' || c == ']':
		r.line(at)
	case c == '{':
		r.grace(at)
	case c == '(' && r.peek(1) >= '0' && r.peek(1) <= '9':
		r.openTuplet(at)
	case c == '(':
		r.next()
		r.openSlur(at)
	case c == ')':
		r.next()
		r.closeSlur(at)
	case c == '-':
		r.next()
		r.openTie(at)
	case c == '<' || c == '>':
		r.dot(at)
	case c == '.' && r.peek(1) == '|', c == '.' && r.peek(1) == '-', c == '.' && r.peek(1) == '(':
		r.next()
		r.next()
		r.fail(at, "write it without the dot", "dotted bar lines, ties and slurs are not read")
	case strings.ContainsRune(".THL!", c):
		r.mark(at)
	case strings.ContainsRune("^_=", c), isLetter(c):
		r.note(at)
	case c == 'z' || c == 'x' || c == 'Z':
		r.rest(at)
	default:
		r.refuse(at)
	}
}

func isLetter(c rune) bool { return c >= 'A' && c <= 'G' || c >= 'a' && c <= 'g' }

// field reads a line such as "Q:1/4=104", and refuses one such as "K:G" or "w:words".
func (r *reader) field(at Place) bool {
	c := r.peek(0)
	if at.Col != 1 || r.peek(1) != ':' || r.peek(2) == '|' || r.peek(2) == ':' || !(c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z') {
		return false
	}
	text, _ := r.through('\n')
	if c == 'Q' {
		r.readTempo(at, text[2:])
	} else {
		r.refuseField(at, c)
	}
	return true
}

func (r *reader) refuseField(at Place, c rune) {
	switch c {
	case 'w', 'W':
		r.fail(at, "leave the words out", "lyrics are not read")
	case 'V':
		r.fail(at, "write one line of notes", "voices are not read")
	default:
		r.fail(at, "write key, unit and meter in the step, and leave the line out", "the field %c: is not read", c)
	}
}

// refuse says of a sign of the standard, or of none, that it is not read.
func (r *reader) refuse(at Place) {
	c := r.next()
	switch c {
	case '"':
		r.through('"')
		r.fail(at, "leave them out", "chord names and annotations are not read")
	case '&':
		r.fail(at, "write one line of notes", "a second voice is not read")
	case '+':
		r.through('+')
		r.fail(at, "write one such as !accent!", "marks between plus signs are not read")
	case '}':
		r.fail(at, "write grace notes as {g}", "no grace notes begin before this bracket")
	case 'X':
		r.fail(at, "write Z", "hidden rests of whole bars are not read")
	case '\\':
		r.fail(at, "leave it out, a line goes on by itself", "a backslash is not read")
	case '/', '\'', ',':
		r.fail(at, "write it right behind a note, such as A/ or c'", "%s belongs to no note", strconv.QuoteRune(c))
	case '~', 'u', 'v', 'M', 'O', 'P', 'S', 'y', '`', '*', ';', '?', '@', '$':
		r.fail(at, "leave it out", "%s is not read", strconv.QuoteRune(c))
	default:
		if c >= '0' && c <= '9' {
			r.number()
			r.fail(at, "write a length right behind its note, such as A2", "a number belongs to no note")
			return
		}
		r.fail(at, "write notes as A to G, rests as z", "%s means nothing here", strconv.QuoteRune(c))
	}
}

// whole is a length as a fraction of a whole note.
func whole(q passage.Quarters) string { return click.Frac(q.Num(), 4*q.Den()).String() }
