package routine

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"footing/ladder"
	"footing/ladder/nearest"
)

// reader turns the tree into a routine and collects what is wrong.
type reader struct {
	src  *source
	errs Errors
}

// fail reports an error, the first of each place.
func (r *reader) fail(n *yaml.Node, what, want string) {
	err := r.src.errorAt(r.src.offset(n.Line, n.Column), what, want)
	same := func(e *Error) bool { return e.Line == err.Line && e.Col == err.Col }
	if len(r.errs) < MaxErrors && !slices.ContainsFunc(r.errs, same) {
		r.errs = append(r.errs, err)
	}
}

// sorted is the errors in the order of the file.
func (r *reader) sorted() Errors {
	slices.SortStableFunc(r.errs, func(a, b *Error) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Col - b.Col
	})
	return r.errs
}

// pair is a key of the file with its value.
type pair struct{ key, val *yaml.Node }

// pairs are the keys of a mapping by name.
type pairs map[string]pair

// find looks up keys in the mapping n as it is, without complaint.
func find(n *yaml.Node) pairs {
	out := pairs{}
	if n == nil || n.Kind != yaml.MappingNode {
		return out
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		out[n.Content[i].Value] = pair{n.Content[i], n.Content[i+1]}
	}
	return out
}

// plain reports whether the node is free of aliases, anchors and tags.
func (r *reader) plain(n *yaml.Node) bool {
	at := r.src.offset(n.Line, n.Column)
	sign := byte(0)
	if at < len(r.src.data) {
		sign = r.src.data[at]
	}
	switch {
	case n.Kind == yaml.AliasNode || n.Anchor != "" || sign == '&' || sign == '*':
		r.fail(n, noAlias, noAliasWant)
	case n.Style&yaml.TaggedStyle != 0 || sign == '!':
		r.fail(n, "a value cannot begin with ! (tags are not read)", "put the text in quotes")
	default:
		return true
	}
	return false
}

// mapping reads the keys of n, which is what the messages call what and looks
// like example, "" for one that is not the value of a key; every key must be
// known, there once, and have a value.
func (r *reader) mapping(n *yaml.Node, what string, known []word, example string) (pairs, bool) {
	if !r.plain(n) {
		return nil, false
	}
	at := r.src.offset(n.Line, n.Column)
	if n.Kind != yaml.MappingNode {
		such := known[max(0, slices.IndexFunc(known, func(w word) bool { return w.key == "name" }))]
		want := "write keys and values such as " + such.key + ": " + such.example
		if example != "" {
			want = "write " + what + ": " + example
		}
		r.fail(n, fmt.Sprintf("the %s is %s", what, kind(n)), want)
		return nil, false
	}
	if n.Style&yaml.FlowStyle != 0 && (at >= len(r.src.data) || r.src.data[at] != '{') {
		r.fail(n, "a pair of key and value stands in brackets", "put braces around it")
		return nil, false
	}
	out, ok := pairs{}, true
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		if len(r.errs) >= MaxErrors {
			return nil, false
		}
		if !r.key(key, what, known) {
			ok = false
			continue
		}
		if first, twice := out[key.Value]; twice {
			r.fail(key, fmt.Sprintf("%s stands here a second time (first in line %d)", key.Value, first.key.Line), "keep one of them")
			ok = false
			continue
		}
		if isNull(val) && r.plain(val) {
			w := known[slices.IndexFunc(known, func(w word) bool { return w.key == key.Value })]
			r.fail(key, w.key+" has no value", fmt.Sprintf("write %s: %s, or leave the key out", w.key, w.example))
			ok = false
			continue
		}
		out[key.Value] = pair{key, val}
	}
	return out, ok
}

// key checks one key of a mapping.
func (r *reader) key(key *yaml.Node, what string, words []word) bool {
	if !r.plain(key) {
		return false
	}
	known := keysOf(words)
	if key.Kind != yaml.ScalarNode {
		r.fail(key, fmt.Sprintf("a key of the %s is %s", what, kind(key)), "write one of "+strings.Join(known, ", "))
		return false
	}
	at := r.src.offset(key.Line, key.Column)
	if before := strings.TrimRight(string(r.src.data[r.src.lineStart(at):at]), " "); strings.HasSuffix(before, "?") {
		r.fail(key, "a question mark stands before the key", "write the key, a colon and the value")
		return false
	}
	if slices.Contains(known, key.Value) {
		return true
	}
	want := "write one of " + strings.Join(known, ", ")
	home := homes[key.Value]
	near, ok := nearest.Word(key.Value, known)
	switch {
	case slices.Contains(known, home):
		want = fmt.Sprintf("write it inside %s: {%s: %s}", home, key.Value, entry(home, key.Value).sample())
		if near == key.Value+"s" || near+"s" == key.Value { // one letter off a key that is right here
			want = fmt.Sprintf("did you mean %s? Or %s", near, want)
		}
	case ok:
		want = fmt.Sprintf("did you mean %s?", near)
	}
	r.fail(key, fmt.Sprintf("%s is no key of the %s", quote(key.Value), what), want)
	return false
}

func kind(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a set of keys"
	case yaml.SequenceNode:
		return "a list"
	}
	if isNull(n) {
		return "empty"
	}
	return "the text " + quote(n.Value)
}

// text is the value of a scalar without blanks around it; example shows what
// one looks like.
func (r *reader) text(p pair, example string) (string, bool) {
	if !r.plain(p.val) {
		return "", false
	}
	if p.val.Kind != yaml.ScalarNode {
		r.fail(p.val, fmt.Sprintf("%s is %s", p.key.Value, kind(p.val)), fmt.Sprintf("write %s: %s", p.key.Value, example))
		return "", false
	}
	return strings.TrimSpace(p.val.Value), true
}

// fault reports an error of the form "what; what would be right".
func (r *reader) fault(n *yaml.Node, err error) {
	what, want := split(err)
	r.fail(n, what, want)
}

// routine reads the whole file.
func (r *reader) routine(root *yaml.Node) ladder.Routine {
	var out ladder.Routine
	top, whole := r.mapping(root, "routine", topWords, "")
	if top == nil {
		return out
	}
	// A key that is missing may be there, misspelt; that has been said.
	if p, ok := top["footing"]; ok {
		if v, ok := r.text(p, "1"); ok && v != "1" {
			// A file of another version may be right in its own way.
			r.errs = nil
			r.fail(p.val, fmt.Sprintf("the file says it is version %s of the format", quote(v)), "write footing: 1, or open it with a Footing that knows that version")
			return out
		}
	} else if whole {
		r.fail(root, "there is no version", "write footing: 1 in the first line")
	}
	if p, ok := top["name"]; ok {
		out.Name, _ = r.text(p, topWords[1].example)
	} else if whole {
		r.fail(root, "the routine has no name", "write name: Morning runs below the version")
	}
	nodes := r.instrument(&out, top)
	if p, ok := top[orderKey]; ok {
		if text, ok := r.text(p, "mixed, 3 reps"); ok {
			var err error
			if out.Order, err = ladder.ParseOrder(text); err != nil {
				r.fault(p.val, err)
			}
		}
	}
	p, ok := top["steps"]
	switch {
	case !ok:
		if whole {
			r.fail(root, "the routine has no steps", "write steps: and under it a list such as - name: Weir Street run")
		}
		return out
	case !r.plain(p.val):
		return out
	case p.val.Kind != yaml.SequenceNode:
		r.fail(p.val, fmt.Sprintf("steps is %s", kind(p.val)), "begin each step with a dash, such as - name: Weir Street run")
		return out
	}
	r.steps(&out, p, top, nodes)
	return out
}

// instrument reads the instrument of a routine, and gives the nodes of its keys.
func (r *reader) instrument(out *ladder.Routine, top pairs) pairs {
	nodes, s := pairs{}, player(*out)
	if p, ok := top[instrumentKey]; ok {
		nodes[instrumentKey] = p
	}
	in := r.group(instrumentKey, top)
	for _, k := range groups[instrumentKey].entries {
		if p, ok := in[k.name]; ok {
			nodes[k.id()] = p
			r.value(k, p, &s)
		}
	}
	out.Instrument = s.Notes.Instrument
	return nodes
}

// steps reads the list and then asks the routine what is wrong with it.
func (r *reader) steps(out *ladder.Routine, list pair, top, played pairs) {
	items := list.val.Content
	if len(items) > ladder.MaxSteps {
		r.fail(items[ladder.MaxSteps], fmt.Sprintf("the routine has %d steps", len(items)), fmt.Sprintf("write 1 to %d steps", ladder.MaxSteps))
		return
	}
	nodes, sound := make([]stepNodes, len(items)), make([]bool, len(items))
	for i, n := range items {
		before := len(r.errs)
		step, at := r.step(n)
		out.Steps = append(out.Steps, step)
		nodes[i], sound[i] = at, len(r.errs) == before
		if len(r.errs) >= MaxErrors {
			return
		}
	}
	for _, f := range out.Check() {
		switch {
		case f.Step >= 0 && sound[f.Step]:
			n := nodes[f.Step].find(f.Key, out.Steps[f.Step])
			if f.Key == "name" && strings.Contains(f.What, "already") {
				first := slices.IndexFunc(out.Steps, func(s ladder.Step) bool { return s.Name == out.Steps[f.Step].Name })
				f.What = fmt.Sprintf("the step in line %d is called %s already", items[first].Line, quote(out.Steps[first].Name))
			}
			r.fail(n, f.What, f.Want)
		case f.Step < 0 && f.Key == "name":
			if p, ok := top["name"]; ok && p.val.Kind == yaml.ScalarNode {
				r.fail(p.val, f.What, f.Want)
			}
		case f.Step < 0 && strings.HasPrefix(f.Key, instrumentKey):
			p, ok := played[f.Key]
			if !ok {
				p = played[instrumentKey]
			}
			r.fail(p.val, f.What, f.Want)
		case f.Step < 0:
			r.fail(list.val, f.What, f.Want)
		}
	}
}
