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

// remove takes keys out of a mapping that has others; their comments stay.
func (e *editor) remove(m *yaml.Node, keys map[string]bool) {
	for i := 0; i < len(m.Content); i += 2 {
		if !keys[m.Content[i].Value] {
			continue
		}
		first := i
		for i+2 < len(m.Content) && keys[m.Content[i+2].Value] {
			i += 2
		}
		e.cut(m, first, i)
	}
}

// cut takes neighbouring keys out of a mapping, from one place in its content to
// another, as one stretch of text.
func (e *editor) cut(m *yaml.Node, from, to int) {
	k, v := e.spanOf(m.Content[from]), e.spanOf(m.Content[to+1])
	l, last := e.layoutOf(m), to+2 == len(m.Content)
	switch {
	case e.err != nil:
	case from == 0 && last:
		e.err = errSpan // nothing would be left
	case l.flow && !last:
		next := e.src.start(m.Content[to+2])
		comma := e.src.skip(v.to)
		end := comma + 1
		for end < next && e.src.data[end] == ' ' {
			end++
		}
		e.tail = append(e.tail, e.src.comments(k.from, comma, m)...)
		e.replace(k.from, end, "")
	case l.flow:
		start := e.spanOf(m.Content[from-1]).to
		e.tail = append(e.tail, e.src.comments(start, v.to, m)...)
		e.replace(start, v.to, "")
	case from == 0:
		next := e.src.start(m.Content[to+2])
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
