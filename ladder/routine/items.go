package routine

import (
	"strings"

	"gopkg.in/yaml.v3"

	"footing/ladder"
)

// items edits a list in the form that it has, where that can hold it: items that
// say the same stay as they stand, with the comments around them.
func (e *editor) items(k *key, p pair, old, new ladder.Step, l layout) {
	was, now := k.items(old), k.items(new)
	try := newEditor(e.src)
	switch {
	case p.val.Kind == yaml.SequenceNode && len(p.val.Content) == len(was) && len(was) > 0:
		try.sequence(k.list, p.val, was, now)
	case p.val.Style&yaml.LiteralStyle != 0:
		try.lines(p.val, was, now)
	case len(was) == 1 && len(now) == 1:
		try.value(p.val, scalar(now[0], p.val.Style, l.flow))
	default:
		try.err = errSpan
	}
	if try.err != nil {
		e.listAnew(k, p, now, l)
		return
	}
	e.edits, e.tail = append(e.edits, try.edits...), append(e.tail, try.tail...)
}

// listAnew writes a list whose form cannot be kept. A comment behind a single text
// stays on the line of the key; those within a list go below.
func (e *editor) listAnew(k *key, p pair, now []string, l layout) {
	colon, err := e.src.colon(p.key)
	if err != nil {
		e.err = err
		return
	}
	sp, text := e.spanOf(p.val), l.listText(k, now, p.val.Style)
	if p.val.Kind == yaml.ScalarNode && !l.flow && strings.HasPrefix(text, l.newline) {
		e.replace(colon+1, sp.to, "")
		end := e.src.lineEnd(sp.to)
		e.replace(end, end, text)
		return
	}
	e.replace(colon+1, sp.to, text)
	for _, c := range e.src.comments(colon+1, sp.to, p.val) {
		e.comment(sp.to, c, l)
	}
}

// common is how many items two lists have in common at their beginning, and at
// their end behind that.
func common(was, now []string) (first, last int) {
	least := min(len(was), len(now))
	for first < least && was[first] == now[first] {
		first++
	}
	for last < least-first && was[len(was)-1-last] == now[len(now)-1-last] {
		last++
	}
	return first, last
}

// lines edits a list that is a | text, of which each line is an item.
func (e *editor) lines(val *yaml.Node, was, now []string) {
	r := &reader{src: e.src}
	nodes := r.textLines(val)
	if len(nodes) != len(was) || len(was) == 0 {
		e.err = errSpan
		return
	}
	from, till := common(was, now)
	both := min(len(was), len(now)) - till
	for i := from; i < both; i++ {
		at := e.src.start(nodes[i])
		e.replace(at, at+len(strings.TrimSpace(nodes[i].Value)), now[i])
	}
	for _, n := range nodes[both : len(was)-till] {
		e.dropLines(span{e.src.start(n), e.src.start(n)}, both == 0)
	}
	text := ""
	for _, item := range now[both : len(now)-till] {
		at := e.src.start(nodes[0])
		text += string(e.src.data[e.src.lineStart(at):at]) + item + e.src.newline()
	}
	if text != "" {
		e.addLines(nodes[max(0, both-1)], both == 0, text)
	}
}

// dropLines takes the lines of a stretch out: with the line break behind them where
// they are the first of a list, else with that before them, as something new may be
// put in behind the list.
func (e *editor) dropLines(sp span, first bool) {
	line := e.src.lineStart(sp.from)
	if first || line == 0 {
		e.replace(line, e.src.next(sp.to), "")
		return
	}
	e.replace(e.src.lineEnd(e.src.lineStart(line-1)), e.src.lineEnd(sp.to), "")
}

// addLines puts whole lines before the one on which a node begins, or behind it.
func (e *editor) addLines(n *yaml.Node, before bool, text string) {
	at := e.src.start(n)
	if before {
		e.replace(e.src.lineStart(at), e.src.lineStart(at), text)
		return
	}
	end := e.src.lineEnd(at)
	nl := e.src.newline()
	e.replace(end, end, nl+strings.TrimSuffix(text, nl))
}

// sequence edits a list in brackets, or of lines with dashes, that has items.
func (e *editor) sequence(l *list, val *yaml.Node, was, now []string) {
	from, till := common(was, now)
	both := min(len(was), len(now)) - till
	flow := val.Style&yaml.FlowStyle != 0
	for i := from; i < both; i++ {
		switch n := val.Content[i]; {
		case l.inner == nil:
			e.value(n, scalar(now[i], n.Style, flow))
		case l.alike(was[i], now[i]):
			e.cells(l, n, was[i], now[i])
		default:
			e.item(n, l.write(now[i], 0, flow))
		}
	}
	var added []string
	for _, item := range now[both : len(now)-till] {
		added = append(added, l.write(item, 0, flow))
	}
	for i := both; i < len(was)-till; i++ {
		if flow {
			e.dropInBrackets(val, i, till == 0)
		} else {
			e.dropDash(val, i, both == 0)
		}
	}
	switch {
	case len(added) == 0:
	case flow:
		e.addInBrackets(val, both, added)
	default:
		e.addDashes(val, both, added)
	}
}

// item writes an item anew that gets other keys; comments within it go behind it.
func (e *editor) item(n *yaml.Node, text string) {
	sp := e.spanOf(n)
	e.replace(sp.from, sp.to, text)
	e.tail = append(e.tail, e.src.comments(sp.from, sp.to, n)...)
}

// cells edits an item that is a set of keys.
func (e *editor) cells(l *list, n *yaml.Node, was, now string) {
	keys, old, new := find(n), l.cells(was), l.cells(now)
	for i, w := range l.inner {
		if val := keys[w.key].val; old[i] != new[i] {
			e.value(val, scalar(new[i], val.Style, n.Style&yaml.FlowStyle != 0))
		}
	}
}

// alone reports whether nothing but blanks stands before an offset in its line.
func (s *source) alone(at int) bool {
	return strings.TrimSpace(string(s.data[s.lineStart(at):at])) == ""
}

// dropInBrackets takes an item out, with the comma behind it, or for the last ones
// with that before it. Comments stay; those within the item go to the end of the
// file.
func (e *editor) dropInBrackets(val *yaml.Node, i int, last bool) {
	sp := e.spanOf(val.Content[i])
	from, to := sp.from, sp.to
	if e.err != nil {
		return
	}
	e.tail = append(e.tail, e.src.comments(from, to, val.Content[i])...)
	if last && i > 0 {
		comma := e.src.skip(e.spanOf(val.Content[i-1]).to)
		if comma >= from || e.src.data[comma] != ',' {
			e.err = errSpan
			return
		}
		if strings.TrimSpace(string(e.src.data[comma+1:from])) == "" && !e.src.alone(from) {
			from = comma
		} else {
			e.replace(comma, comma+1, "")
		}
	} else if comma := e.src.skip(to); comma < len(e.src.data) && e.src.data[comma] == ',' {
		if strings.TrimSpace(string(e.src.data[to:comma])) != "" { // a comment before its comma
			e.err = errSpan
			return
		}
		to = comma + 1
	}
	rest := string(e.src.data[to:e.src.lineEnd(to)])
	switch blank := strings.TrimSpace(rest) == ""; {
	case blank && e.src.alone(from):
		e.replace(e.src.lineStart(from), e.src.next(to), "")
	case blank:
		e.replace(from, to, "")
	default:
		e.replace(from, to+len(rest)-len(strings.TrimLeft(rest, " \t")), "")
	}
}

// addInBrackets puts items before the i-th: each on a line of its own where the
// items have one.
func (e *editor) addInBrackets(val *yaml.Node, i int, items []string) {
	if i == 0 {
		at := e.src.start(val.Content[0])
		part := ", "
		if e.src.alone(at) {
			part = "," + e.src.newline() + string(e.src.data[e.src.lineStart(at):at])
		}
		e.replace(at, at, strings.Join(items, part)+part)
		return
	}
	sp := e.spanOf(val.Content[i-1])
	if e.err != nil {
		return
	}
	end := e.src.lineEnd(sp.to)
	if !e.src.alone(sp.from) || e.src.skip(sp.to) < end && e.src.data[e.src.skip(sp.to)] != ',' {
		e.replace(sp.to, sp.to, ", "+strings.Join(items, ", "))
		return
	}
	comma := e.src.skip(sp.to)
	behind := comma < len(e.src.data) && e.src.data[comma] == ','
	if behind && (comma >= end || e.src.skip(comma+1) < end) { // the next item stands behind it on its line
		e.replace(sp.to, sp.to, ", "+strings.Join(items, ", "))
		return
	}
	part := "," + e.src.newline() + string(e.src.data[e.src.lineStart(sp.from):sp.from])
	text := part[1:] + strings.Join(items, part)
	if behind {
		text += ","
	} else {
		e.replace(sp.to, sp.to, ",")
	}
	e.replace(end, end, text)
}

// dash is the offset of the dash before an item.
func (e *editor) dash(n *yaml.Node) int {
	at := e.src.start(n)
	line := e.src.lineStart(at)
	before := strings.TrimRight(string(e.src.data[line:at]), " ")
	if !strings.HasSuffix(before, "-") || strings.TrimSpace(before) != "-" {
		e.err = errSpan // it stands on a line above, or in a list of its own
	}
	return line + max(0, len(before)-1)
}

// dropDash takes an item out with its lines; first is as for dropLines. Comments
// stay.
func (e *editor) dropDash(val *yaml.Node, i int, first bool) {
	n := val.Content[i]
	from, sp := e.dash(n), e.spanOf(n)
	if e.err != nil {
		return
	}
	line, end := e.src.lineStart(from), e.src.lineEnd(sp.to)
	kept := e.src.comments(from, end, n)
	if len(kept) == 0 {
		e.dropLines(span{from, sp.to}, first)
		return
	}
	indent := string(e.src.data[line:from])
	e.replace(from, end, strings.Join(kept, e.src.newline()+indent))
}

// addDashes puts items on lines of their own before the i-th.
func (e *editor) addDashes(val *yaml.Node, i int, items []string) {
	first := e.dash(val.Content[0])
	indent := string(e.src.data[e.src.lineStart(first):first]) + "- "
	nl := e.src.newline()
	if i == 0 {
		at := e.src.lineStart(first)
		e.replace(at, at, indent+strings.Join(items, nl+indent)+nl)
		return
	}
	end := e.src.lineEnd(e.spanOf(val.Content[i-1]).to)
	e.replace(end, end, nl+indent+strings.Join(items, nl+indent))
}
