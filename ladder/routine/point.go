package routine

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"footing/ladder"
)

// ErrorAt is a fault of a step, by its index, as an error that points at the value
// of its key; of a list at an item, by its index from 0, where that is not below
// 0. It points at what comes nearest where that is not written.
func (f *File) ErrorAt(step int, fault ladder.Fault, item int) *Error {
	n, at := f.nodes(step)
	k := named(fault.Key)
	if k == nil || n == nil {
		return f.src.errorAt(0, fault.What, fault.Want)
	}
	node := at.find(fault.Key, f.routine.Steps[step])
	if items := node.Content; k.list != nil && node.Kind == yaml.SequenceNode && item >= 0 && item < len(items) {
		node = items[item]
	}
	return f.src.errorAt(f.src.start(node), fault.What, fault.Want)
}

// ErrorWithin is a fault of a step, by its index, as an error that points into the
// text of its key: at a line and column from 1, as that text has them. It points at
// the text's start where it is written so that lines and columns are lost.
func (f *File) ErrorWithin(step int, fault ladder.Fault, line, col int) *Error {
	n, at := f.nodes(step)
	if n == nil {
		return f.src.errorAt(0, fault.What, fault.Want)
	}
	node := at.find(fault.Key, f.routine.Steps[step])
	return f.src.errorAt(f.src.within(node, line, col), fault.What, fault.Want)
}

// nodes are the nodes of a step, nil where there is none such.
func (f *File) nodes(step int) (*yaml.Node, stepNodes) {
	list := find(f.root)["steps"].val
	if list == nil || step < 0 || step >= len(list.Content) {
		return nil, stepNodes{}
	}
	_, at := (&reader{src: f.src}).step(list.Content[step])
	return at.step, at
}

// within is the offset of a line and column, from 1, of a scalar's text without
// the blanks around it.
func (s *source) within(n *yaml.Node, line, col int) int {
	start := s.start(n)
	text := strings.TrimLeft(n.Value, " \n\t")
	before := n.Value[:len(n.Value)-len(text)]
	text = strings.TrimSpace(text)
	line += strings.Count(before, "\n")
	if i := strings.LastIndexByte(before, '\n'); line == 1+strings.Count(before, "\n") {
		col += utf8.RuneCountInString(before[i+1:])
	}
	switch {
	case n.Kind != yaml.ScalarNode:
		return start
	case n.Style&yaml.LiteralStyle != 0:
		lines := strings.Split(n.Value, "\n")
		full := 0
		for full < len(lines)-1 && strings.TrimSpace(lines[full]) == "" {
			full++
		}
		first := n.Line + 1 + full
		if first > len(s.lines) || n.Line+line > len(s.lines) {
			return start
		}
		_, sign := s.place(firstSign(s, first))
		indent := sign - 1 - (len(lines[full]) - len(strings.TrimLeft(lines[full], " ")))
		return s.offset(n.Line+line, indent+col)
	}
	span, err := s.span(n)
	if err != nil || strings.Contains(text, "\n") {
		return start
	}
	written := s.data[span.from:span.to]
	at := bytes.Index(written, []byte(n.Value))
	if at < 0 || line > 1 {
		return start
	}
	from := span.from + at
	return s.atRune(s.before(from)+col-1, from, span.to)
}
