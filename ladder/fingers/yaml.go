package fingers

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"footing/ladder/nearest"
	"footing/ladder/passage"
)

// Bounds of a file of fingerings.
const (
	MaxBytes = 1 << 20 // of the file
	maxRows  = 2000    // of a chart
	maxText  = 200     // characters
	maxOf    = 32      // fingerings of a note
)

// reader reads one file and collects what is wrong with it.
type reader struct {
	file  string
	lines []string
	errs  Errors
}

// document reads the mappings at the top of the file's documents.
func (r *reader) documents(data []byte) []*yaml.Node {
	if len(data) > MaxBytes {
		r.at(1, 1, fmt.Sprintf("the file holds %d bytes", len(data)), fmt.Sprintf("keep it under %d", MaxBytes))
		return nil
	}
	if !utf8.Valid(data) {
		r.at(1, 1, "the file is not text in UTF-8", "save it as UTF-8")
		return nil
	}
	r.lines = strings.Split(string(data), "\n")
	nodes, err := decode(data)
	if err != nil {
		line := 1
		if m := lineNumber.FindStringSubmatch(err.Error()); m != nil {
			line, _ = strconv.Atoi(m[1])
		}
		line = min(max(line, 1), len(r.lines))
		text := r.lines[line-1]
		col := utf8.RuneCountInString(text[:len(text)-len(strings.TrimLeft(text, " "))]) + 1
		r.at(line, col, "near this line the file cannot be read as YAML", "look for a missing bracket, quote or comma, or for keys that do not line up")
		return nil
	}
	if len(nodes) == 0 {
		r.at(1, 1, "the file is empty", "begin it with instrument: and the instrument's name")
	}
	return nodes
}

var lineNumber = regexp.MustCompile(`line (\d+)`)

// decode reads all documents. A panic of the YAML library is an error.
func decode(data []byte) (out []*yaml.Node, err error) {
	defer func() {
		if v := recover(); v != nil {
			out, err = nil, errors.New("it is too tangled to read")
		}
	}()
	for dec := yaml.NewDecoder(bytes.NewReader(data)); ; {
		n := new(yaml.Node)
		switch err := dec.Decode(n); {
		case errors.Is(err, io.EOF):
			return out, nil
		case err != nil:
			return nil, err
		}
		if len(n.Content) == 1 {
			out = append(out, n.Content[0])
		}
	}
}

func (r *reader) at(line, col int, what, want string) {
	if len(r.errs) < MaxErrors {
		r.errs = append(r.errs, &Error{r.file, line, col, what, want})
	}
}

// wrong says what is wrong at a node. The library counts columns in bytes.
func (r *reader) wrong(n *yaml.Node, want, what string, args ...any) {
	col := n.Column
	if n.Line >= 1 && n.Line <= len(r.lines) && col >= 1 && col-1 <= len(r.lines[n.Line-1]) {
		col = utf8.RuneCountInString(r.lines[n.Line-1][:col-1]) + 1
	}
	r.at(max(n.Line, 1), max(col, 1), fmt.Sprintf(what, args...), want)
}

// fields are the values of a mapping by key. What is unknown, double or no mapping
// at all is told.
func (r *reader) fields(n *yaml.Node, example string, known ...string) map[string]*yaml.Node {
	out := map[string]*yaml.Node{}
	if n.Kind != yaml.MappingNode {
		r.wrong(n, "write "+example, "keys and values should stand here")
		return out
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		switch near, ok := nearest.Word(key.Value, known); {
		case slices.Contains(known, key.Value):
		case ok:
			r.wrong(key, "did you mean "+near+"?", "%s is not a key here", quoted(key.Value))
			continue
		default:
			r.wrong(key, "the keys are "+strings.Join(known, ", "), "%s is not a key here", quoted(key.Value))
			continue
		}
		if out[key.Value] != nil {
			r.wrong(key, "keep one of them", "%s is there twice", key.Value)
			continue
		}
		out[key.Value] = value
	}
	return out
}

// text is a scalar, empty for none.
func (r *reader) text(n *yaml.Node) string {
	switch {
	case n == nil:
		return ""
	case n.Kind != yaml.ScalarNode:
		r.wrong(n, "write a text", "a text should stand here")
		return ""
	case utf8.RuneCountInString(n.Value) > maxText:
		r.wrong(n, "write a shorter one", "the text is longer than %d characters", maxText)
		return ""
	case strings.ContainsFunc(n.Value, func(c rune) bool { return c < ' ' || c == 0x7f || c >= 0x80 && c < 0xa0 }):
		r.wrong(n, "write letters, digits and signs", "the text holds a character that cannot be shown")
		return ""
	}
	return n.Value
}

// words are the words of a text, or the items of a list.
func (r *reader) words(n *yaml.Node) []string {
	if n == nil || n.Kind != yaml.SequenceNode {
		return strings.Fields(r.text(n))
	}
	var out []string
	for _, item := range n.Content {
		if text := r.text(item); text != "" {
			out = append(out, text)
		}
	}
	return out
}

func (r *reader) items(n *yaml.Node, example string) []*yaml.Node {
	switch {
	case n == nil:
		return nil
	case n.Kind != yaml.SequenceNode:
		r.wrong(n, "write a line such as - "+example, "a list should stand here")
		return nil
	case len(n.Content) > maxRows:
		r.wrong(n, fmt.Sprintf("write at most %d", maxRows), "the list has %d lines", len(n.Content))
		return nil
	}
	return n.Content
}

func (r *reader) whole(n *yaml.Node, low, high int) int {
	if n == nil {
		return 0
	}
	v, err := strconv.Atoi(r.text(n))
	if err != nil || v < low || v > high {
		r.wrong(n, fmt.Sprintf("write a whole number from %d to %d", low, high), "%s cannot stand here", quoted(n.Value))
		return 0
	}
	return v
}

// cost is a number of units of one finger.
func (r *reader) cost(n *yaml.Node) float64 {
	if n == nil {
		return 0
	}
	v, err := strconv.ParseFloat(r.text(n), 64)
	if err != nil || !(v >= 0 && v <= 100) {
		r.wrong(n, "write a number from 0 to 100, such as 0.3", "%s is no cost", quoted(n.Value))
		return 0
	}
	return v
}

func (r *reader) yes(n *yaml.Node) bool {
	switch {
	case n == nil || n.Value == "false":
		return false
	case n.Value != "true":
		r.wrong(n, "write true or false", "%s cannot stand here", quoted(n.Value))
	}
	return true
}

func (r *reader) pitch(n *yaml.Node, what string) (passage.Pitch, bool) {
	p, err := passage.ParsePitch(r.text(n))
	if err != nil || p.Alter%100 != 0 {
		r.wrong(n, "write letter, accidental and octave such as C#5", "%s is no %s", quoted(n.Value), what)
		return p, false
	}
	return p, true
}

// midi is a pitch in semitones, middle C 60.
func (r *reader) midi(n *yaml.Node, what string) (int, bool) {
	p, ok := r.pitch(n, what)
	return p.Cents() / 100, ok
}

// lifts says by how many semitones notes are lifted: {A4: 1}.
func (r *reader) lifts(n *yaml.Node) map[int]int {
	if n == nil {
		return nil
	}
	out := map[int]int{}
	if n.Kind != yaml.MappingNode {
		r.wrong(n, "write such as {A4: 1}", "notes and semitones should stand here")
		return nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if m, ok := r.midi(n.Content[i], "note"); ok {
			out[m] = r.whole(n.Content[i+1], -12, 12)
		}
	}
	return out
}

func quoted(text string) string {
	if r := []rune(text); len(r) > 40 {
		text = string(r[:39]) + "…"
	}
	return strconv.Quote(text)
}
