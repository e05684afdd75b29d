package routine

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"footing/ladder"
)

// stepNodes are the nodes of a step's values, to point at.
type stepNodes struct {
	step  *yaml.Node
	byKey pairs                   // by id, and groups by their names
	items map[string][]*yaml.Node // of its lists
}

// find is the node of a key, or of what comes nearest when it is not written.
func (n stepNodes) find(name string, s ladder.Step) *yaml.Node {
	k := named(name)
	if k != nil && k.list != nil {
		if i := k.list.wrong(s); i >= 0 && i < len(n.items[k.name]) {
			return n.items[k.name][i]
		}
	}
	near := []string{name, "", "name"}
	if k != nil {
		near[0], near[1] = k.id(), cmp.Or(k.instead, k.group)
	}
	for _, name := range near {
		if p, ok := n.byKey[name]; ok {
			return p.val
		}
	}
	return n.step
}

// step reads one step of the list.
func (r *reader) step(n *yaml.Node) (ladder.Step, stepNodes) {
	s := ladder.DefaultStep()
	at := stepNodes{step: n, byKey: pairs{}}
	keys, whole := r.mapping(n, "step", groups[""].words, "")
	if keys == nil {
		return s, at
	}
	for name, p := range keys {
		at.byKey[name] = p
	}
	absent := make([]*key, 0, len(table))
	group, in := "", keys
	for i := range table {
		k := &table[i]
		if k.group != group {
			if group, in = k.group, keys; group != "" {
				in = r.group(group, keys)
			}
		}
		p, there := in[k.name]
		switch {
		case there && group != "":
			at.byKey[k.id()] = p
			fallthrough
		case there:
			if r.twice(k, keys) {
				continue
			}
			if items := r.value(k, p, &s); items != nil {
				if at.items == nil {
					at.items = map[string][]*yaml.Node{}
				}
				at.items[k.name] = items
			}
		case k.imply != nil:
			absent = append(absent, k)
		case whole:
			r.fail(n, fmt.Sprintf("the step has no %s", k.name), fmt.Sprintf("write %s: %s", k.name, k.sample()))
		}
	}
	for _, k := range absent {
		if _, there := keys[k.instead]; !there {
			k.imply(&s)
		}
	}
	return s, at
}

// group reads the keys of a group, which may be the value of one alone.
func (r *reader) group(group string, keys pairs) pairs {
	p, there := keys[group]
	if !there {
		return nil
	}
	if k := groups[group].short; k != nil && p.val.Kind == yaml.ScalarNode {
		return pairs{k.name: p}
	}
	in, _ := r.mapping(p.val, group, groups[group].words, groups[group].sample)
	return in
}

// twice complains where two keys say one thing, of the later one.
func (r *reader) twice(k *key, keys pairs) bool {
	one, ok := keys[k.name]
	other, both := keys[k.instead]
	if !ok || !both {
		return false
	}
	if one.key.Line > other.key.Line || one.key.Line == other.key.Line && one.key.Column > other.key.Column {
		r.fault(one.key, bothThere(k, entry("", k.instead)))
	}
	return true
}

// bothThere says that two keys cannot stand beside each other, in their order.
func bothThere(first, second *key) error {
	if slices.Index(groups[""].names, first.name) > slices.Index(groups[""].names, second.name) {
		first, second = second, first
	}
	return fmt.Errorf("%s and %s are both there; keep one of them (%s)", first.name, second.name, second.why)
}

// longest is how many bytes a value can have that is no free text.
const longest = 200

// value reads the value of a key into the step. It returns the nodes of a
// list.
func (r *reader) value(k *key, p pair, s *ladder.Step) []*yaml.Node {
	if k.list != nil {
		return r.items(k, p, s)
	}
	text, ok := r.text(p, k.sample())
	switch {
	case !ok:
	case !k.free() && len(text) > longest:
		r.fault(p.val, k.tooLong(text))
	default:
		if err := k.set(s, text); err != nil {
			r.fault(p.val, err)
		}
	}
	return nil
}

// tooLong says what a value should look like that is far too long.
func (k *key) tooLong(text string) error {
	name := k.name
	if k.short {
		name = k.group // which may have stood for it
	}
	return fmt.Errorf("%s is not a %s; write such as %s: %s", quote(text), name, name, k.sample())
}

// maxItems is more than a list can have: a bar has fewer beats.
const maxItems = 2048

// items reads a list of values, or a text of one line or more, and returns the
// node of each.
func (r *reader) items(k *key, p pair, s *ladder.Step) []*yaml.Node {
	if !r.plain(p.val) {
		return nil
	}
	l := k.list
	var nodes []*yaml.Node
	switch {
	case p.val.Kind == yaml.SequenceNode && len(p.val.Content) > maxItems:
		r.fail(p.val, fmt.Sprintf("there are %d %ss of %s", len(p.val.Content), l.item, k.name), "write "+l.each)
		return nil
	case p.val.Kind == yaml.SequenceNode:
		nodes = p.val.Content
	case l.inner != nil:
		r.fail(p.val, k.name+" is "+kind(p.val), fmt.Sprintf("begin each %s with a dash, such as - %s", l.item, l.sample()))
		return nil
	case p.val.Kind == yaml.ScalarNode:
		nodes = r.textLines(p.val)
	default:
		r.fail(p.val, k.name+" is "+kind(p.val), fmt.Sprintf("write %s: %s, or a list with a %s for each beat", k.name, k.example, l.item))
		return nil
	}
	var texts []string
	for _, n := range nodes {
		text, ok := r.item(k, n)
		if !ok {
			return nil
		}
		texts = append(texts, text)
	}
	if p.val.Kind == yaml.SequenceNode && l.check != nil {
		if err := l.check(*s, texts); err != nil {
			r.fault(p.val, err)
			return nil
		}
	}
	for i, text := range texts {
		if len(text) > longest {
			r.fault(nodes[i], k.tooLong(text))
			return nil
		}
		if err := k.set(s, text); err != nil {
			r.fault(nodes[i], err)
			return nil
		}
	}
	if len(texts) == 0 {
		r.fail(p.val, fmt.Sprintf("there are no %s in %s", l.things, k.name), fmt.Sprintf("write %s: %s, or leave the key out", k.name, k.sample()))
	}
	return nodes
}

// item is the text of an item.
func (r *reader) item(k *key, n *yaml.Node) (string, bool) {
	l := k.list
	what := l.item + " of " + k.name
	if l.inner == nil {
		if !r.plain(n) {
			return "", false
		}
		if n.Kind != yaml.ScalarNode {
			r.fail(n, "a "+what+" is "+kind(n), "write "+l.want)
			return "", false
		}
		return strings.TrimSpace(n.Value), true
	}
	keys, whole := r.mapping(n, what, l.inner, "")
	cells := make([]string, len(l.inner))
	for i, w := range l.inner {
		p, there := keys[w.key]
		switch {
		case there:
			cells[i], there = r.text(p, w.example)
			whole = whole && there
		case whole && l.needs(i):
			r.fail(n, fmt.Sprintf("a %s has no %s", what, w.key), fmt.Sprintf("write %s: %s", w.key, w.example))
			whole = false
		}
	}
	return l.line(cells), whole
}

// textLines are the lines of a text as nodes of their own. Lines without a
// mark do not count.
func (r *reader) textLines(n *yaml.Node) []*yaml.Node {
	if n.Style&(yaml.LiteralStyle) == 0 {
		var out []*yaml.Node
		for _, text := range strings.Split(n.Value, "\n") {
			if strings.TrimSpace(text) != "" {
				out = append(out, &yaml.Node{Kind: yaml.ScalarNode, Value: text, Line: n.Line, Column: n.Column})
			}
		}
		return out
	}
	var out []*yaml.Node
	line := n.Line
	for _, text := range strings.Split(n.Value, "\n") {
		line++
		if strings.TrimSpace(text) == "" || line > len(r.src.lines) {
			continue
		}
		_, col := r.src.place(firstSign(r.src, line))
		out = append(out, &yaml.Node{Kind: yaml.ScalarNode, Value: text, Line: line, Column: col})
	}
	return out
}
