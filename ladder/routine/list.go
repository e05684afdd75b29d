package routine

import (
	"strings"

	"gopkg.in/yaml.v3"

	"footing/ladder"
)

// list puts the steps into another order, takes some out and adds new ones.
// order holds for each step of the new list which one it was, -1 for a new one.
// What parts two steps, blank lines and comments between blank lines, stays
// between the steps at those places.
func (e *editor) list(steps pair, order []int, news []ladder.Step) {
	items, parts := steps.val.Content, []span(nil)
	flow := steps.val.Style&yaml.FlowStyle != 0
	l := layout{flow: flow, newline: e.src.newline()}
	if flow {
		for _, n := range items {
			parts = append(parts, e.spanOf(n))
		}
	} else {
		parts = e.blockParts(steps)
		l.indent = strings.Repeat(" ", e.src.column(e.src.start(steps.val))+2)
	}
	if e.err != nil || len(parts) != len(items) {
		e.err = errSpan
		return
	}
	var gaps []string
	for i := 1; i < len(parts); i++ {
		gaps = append(gaps, string(e.src.data[parts[i-1].to:parts[i].from]))
	}
	var b strings.Builder
	for i, from := range order {
		if i > 0 {
			b.WriteString(gap(gaps, i-1, l))
		}
		switch {
		case from >= 0:
			b.Write(e.src.data[parts[from].from:parts[from].to])
		case flow:
			b.WriteString(l.step(news[i]))
		default:
			b.WriteString(l.indent[2:] + "- " + l.step(news[i]))
		}
	}
	for i := max(0, len(order)-1); i < len(gaps); i++ {
		from := parts[i].to
		e.tail = append(e.tail, e.src.comments(from, parts[i+1].from, nil)...)
	}
	e.replace(parts[0].from, parts[len(parts)-1].to, b.String())
}

// gap is what parts step i from the next in the new list.
func gap(gaps []string, i int, l layout) string {
	switch {
	case i < len(gaps):
		return gaps[i]
	case l.flow:
		return ", "
	case len(gaps) > 0 && strings.TrimSpace(gaps[len(gaps)-1]) == "":
		return gaps[len(gaps)-1]
	}
	return l.newline
}

// blockParts are the lines of each step, with the comments right above its
// dash, and those right below it that are indented further than the dash.
func (e *editor) blockParts(steps pair) []span {
	s := e.src
	floor, err := s.colon(steps.key)
	if err != nil {
		e.err = err
		return nil
	}
	floor = s.next(floor)
	dash := s.start(steps.val)
	column := s.column(dash)
	var parts []span
	for i, n := range steps.val.Content {
		if i > 0 {
			dash = s.skip(parts[i-1].to)
		}
		from := s.lineStart(dash)
		if dash >= len(s.data) || s.data[dash] != '-' || strings.TrimSpace(string(s.data[from:dash])) != "" {
			e.err = errSpan
			return nil
		}
		for from > floor {
			above := s.lineStart(from - 1)
			if above < floor || !strings.HasPrefix(strings.TrimSpace(string(s.data[above:from])), "#") {
				break
			}
			from = above
		}
		to := s.lineEnd(e.spanOf(n).to)
		for next := s.next(to); next < len(s.data) && next > to; next = s.next(to) {
			text := string(s.data[next:s.lineEnd(next)])
			indent := len(text) - len(strings.TrimLeft(text, " "))
			if indent <= column || !strings.HasPrefix(text[indent:], "#") {
				break
			}
			to = next + len(text)
		}
		parts = append(parts, span{from, to})
		floor = s.next(to)
	}
	return parts
}
