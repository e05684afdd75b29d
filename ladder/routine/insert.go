package routine

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// comment puts a comment below the line that ends a value.
func (e *editor) comment(after int, text string, l layout) {
	if l.flow {
		e.tail = append(e.tail, text)
		return
	}
	end := e.src.lineEnd(after)
	e.replace(end, end, l.newline+l.indent+text)
}

// insert adds a key to a mapping: after the key that comes last before it in
// the order of the format, else before all.
func (e *editor) insert(m *yaml.Node, keys pairs, order []string, key, text string) {
	l := e.layoutOf(m)
	var after *yaml.Node
	for _, k := range order[:slices.Index(order, key)] {
		if p, there := keys[k]; there {
			after = p.val
		}
	}
	switch {
	case len(m.Content) == 0:
		at := e.src.start(m) + 1
		if len(e.edits) > 0 && e.edits[len(e.edits)-1].from == at {
			text = ", " + text
		}
		e.replace(at, at, text)
	case after == nil && l.flow:
		at := e.src.start(m.Content[0])
		e.replace(at, at, text+", ")
	case after == nil:
		at := e.src.start(m.Content[0])
		e.replace(at, at, text+l.newline+l.indent)
	case l.flow:
		at := e.spanOf(after).to
		e.replace(at, at, ", "+text)
	default:
		at := e.src.lineEnd(e.spanOf(after).to)
		e.replace(at, at, l.newline+l.indent+text)
	}
}

// remove takes a key out of a mapping that has others; its comments stay.
func (e *editor) remove(m *yaml.Node, key string) {
	if len(m.Content) <= 2 {
		e.err = errSpan
		return
	}
	i := 0
	for m.Content[i].Value != key {
		i += 2
	}
	k, v := e.spanOf(m.Content[i]), e.spanOf(m.Content[i+1])
	l, last := e.layoutOf(m), i+2 == len(m.Content)
	switch {
	case e.err != nil:
	case l.flow && !last:
		next := e.src.start(m.Content[i+2])
		comma := e.src.skip(v.to)
		to := comma + 1
		for to < next && e.src.data[to] == ' ' {
			to++
		}
		e.tail = append(e.tail, e.src.comments(k.from, comma, m)...)
		e.replace(k.from, to, "")
	case l.flow:
		from := e.spanOf(m.Content[i-1]).to
		e.tail = append(e.tail, e.src.comments(from, v.to, m)...)
		e.replace(from, v.to, "")
	case i == 0:
		next := e.src.start(m.Content[2])
		if kept := e.src.comments(v.to, next, m); len(kept) > 0 {
			next = v.to
		}
		e.tail = append(e.tail, e.src.comments(k.from, v.to, m)...)
		e.replace(k.from, next, "")
	default:
		end := e.src.lineEnd(v.to)
		kept := e.src.comments(k.from, end, m)
		if len(kept) > 0 {
			e.replace(k.from, end, strings.Join(kept, l.newline+l.indent))
		} else {
			e.replace(e.src.lineStart(k.from), e.src.next(v.to), "")
		}
	}
}
