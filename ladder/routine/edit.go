package routine

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"footing/ladder"
)

// Set makes the file hold another routine, in its text: what differs is
// written where it stands, a new key goes to its place in the order of the
// format, and every other byte stays. Keys at their default are not added, nor
// taken out. A step is known by its name; one that is renamed, by its place.
// With a step that is taken out go the comments within it.
//
// A text that cannot be kept as it is, such as one with a tab, is made fit as
// [ladder.Name] and [ladder.Note] do, so that it keeps nothing else from being
// saved. Set fails, and changes nothing, when the routine is at fault otherwise
// or becomes longer than MaxBytes.
func (f *File) Set(r ladder.Routine) error {
	r = fitted(r)
	if err := check(r); err != nil {
		return err
	}
	if equal(f.routine, r) {
		return nil
	}
	g, err := f.patched(r)
	if err != nil {
		g, err = f.rewritten(r)
	}
	if err != nil {
		return fmt.Errorf("write the routine %s: %w", quote(r.Name), err)
	}
	f.src, f.root, f.routine = g.src, g.root, g.routine
	return nil
}

// patched is the file with only what differs changed. It fails when the text
// is of a form that cannot be changed in places.
func (f *File) patched(r ladder.Routine) (*File, error) {
	src, root := f.src, f.root
	olds := slices.Clone(f.routine.Steps)
	order := matched(olds, r.Steps)
	if !slices.Equal(order, upTo(len(olds))) {
		e := newEditor(src)
		e.list(find(root)["steps"], order, r.Steps)
		data, err := e.apply()
		if err != nil {
			return nil, err
		}
		src = newSource(f.src.name, data)
		var fault *Error
		if root, fault = tree(src); fault != nil {
			return nil, fault
		}
		olds = make([]ladder.Step, len(order))
		for i, from := range order {
			olds[i] = r.Steps[i]
			if from >= 0 {
				olds[i] = f.routine.Steps[from]
			}
		}
	}
	e := newEditor(src)
	if r.Name != f.routine.Name {
		val := find(root)["name"].val
		e.value(val, freeText(r.Name, val.Style, root.Style&yaml.FlowStyle != 0))
	}
	if r.Instrument != f.routine.Instrument {
		e.instrument(root, f.routine, r)
	}
	if r.Order != f.routine.Order {
		e.order(root, r)
	}
	items := find(root)["steps"].val
	if items == nil || len(items.Content) != len(r.Steps) {
		return nil, errSpan
	}
	for i, n := range items.Content {
		if !reflect.DeepEqual(olds[i], r.Steps[i]) {
			e.step(n, olds[i], r.Steps[i])
		}
	}
	data, err := e.apply()
	if err != nil {
		return nil, err
	}
	return parsed(f.src.name, data, r)
}

// rewritten is the routine in this package's own layout, with the comments of
// the file at the end. It is for texts that cannot be changed in places.
func (f *File) rewritten(r ladder.Routine) (*File, error) {
	text := render(r)
	for _, c := range f.src.comments(f.src.lines[0], len(f.src.data), f.root) {
		text += c + "\n"
	}
	return parsed(f.src.name, []byte(text), r)
}

// parsed reads a text that must hold the routine.
func parsed(name string, data []byte, r ladder.Routine) (*File, error) {
	g, err := Parse(name, data)
	if err != nil {
		return nil, err
	}
	if !equal(g.routine, r) {
		return nil, errors.New("the text would say something else")
	}
	return g, nil
}

// matched says for each new step which old one it was, -1 for none: the one of
// its name, else one that differs only in its name, else the one in its place.
func matched(olds, news []ladder.Step) []int {
	order, taken := make([]int, len(news)), make([]bool, len(olds))
	match := func(same func(i, k int) bool) {
		for i := range news {
			for k := 0; order[i] < 0 && k < len(olds); k++ {
				if !taken[k] && same(i, k) {
					order[i], taken[k] = k, true
				}
			}
		}
	}
	for i := range order {
		order[i] = -1
	}
	match(func(i, k int) bool { return olds[k].Name == news[i].Name })
	match(func(i, k int) bool {
		renamed := olds[k]
		renamed.Name = news[i].Name
		return equal(ladder.Routine{Steps: []ladder.Step{renamed}}, ladder.Routine{Steps: []ladder.Step{news[i]}})
	})
	match(func(i, k int) bool { return i == k })
	return order
}

func upTo(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// edit replaces a stretch of the text.
type edit struct {
	span
	text string
}

// editor collects edits of one text. tail holds comments that have lost their
// place; they go to the end of the file.
type editor struct {
	src   *source
	edits []edit
	tail  []string
	err   error
}

func newEditor(src *source) *editor { return &editor{src: src} }

func (e *editor) replace(from, to int, text string) {
	e.edits = append(e.edits, edit{span{from, to}, text})
}

// spanOf is the span of a node; a failure is kept for apply.
func (e *editor) spanOf(n *yaml.Node) span {
	sp, err := e.src.span(n)
	if err != nil {
		e.err = err
	}
	return sp
}

// apply is the text with all edits made.
func (e *editor) apply() ([]byte, error) {
	if e.err != nil {
		return nil, e.err
	}
	slices.SortStableFunc(e.edits, func(a, b edit) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) // what is put in comes first
	})
	var out []byte
	at := 0
	for _, x := range e.edits {
		if x.from < at || x.to > len(e.src.data) {
			return nil, errors.New("two changes meet in the text")
		}
		out = append(append(out, e.src.data[at:x.from]...), x.text...)
		at = x.to
	}
	out = append(out, e.src.data[at:]...)
	nl := e.src.newline()
	for _, c := range e.tail {
		if len(out) > 0 && out[len(out)-1] != '\n' && out[len(out)-1] != '\r' {
			out = append(out, nl...)
		}
		out = append(append(out, c...), nl...)
	}
	return out, nil
}

// layoutOf is how text within a mapping is laid out.
func (e *editor) layoutOf(m *yaml.Node) layout {
	l := layout{flow: m.Style&yaml.FlowStyle != 0, newline: e.src.newline()}
	if !l.flow {
		l.indent = strings.Repeat(" ", e.src.column(e.src.start(m)))
	}
	return l
}

// value replaces the text of a scalar. A comment behind the sign of a | or >
// text, before or after the change, stays on the line of the key.
func (e *editor) value(val *yaml.Node, text string) {
	sp := e.spanOf(val)
	head, body := text, ""
	if i := strings.IndexAny(text, "\r\n"); i >= 0 {
		head, body = text[:i], text[i:]
	}
	if val.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		for _, c := range e.src.comments(sp.from, sp.to, val) {
			head += " " + c
		}
	}
	e.replace(sp.from, sp.to, head)
	if body != "" {
		end := e.src.lineEnd(sp.to)
		e.replace(end, end, body)
	}
}

// step edits what differs between two versions of a step.
func (e *editor) step(n *yaml.Node, old, new ladder.Step) {
	l, keys := e.layoutOf(n), find(n)
	exchanged, removed := map[string]bool{}, map[string]bool{}
	for _, k := range groups[""].entries {
		if name, out := e.gone(n, k, keys, new); out {
			removed[k.name] = true
		} else {
			exchanged[name] = true
		}
	}
	for name := range groups {
		if _, there := keys[name]; there && name != "" && silent(name, new) {
			delete(keys, name)
			removed[name] = true
		}
	}
	e.remove(n, removed)
	for _, name := range groups[""].names {
		k := entry("", name)
		p, there := keys[name]
		switch {
		case exchanged[name]:
		case !there:
			if text := l.entry(name, new); text != "" {
				e.insert(n, keys, groups[""].names, name, text)
			}
		case k != nil:
			e.leaf(k, p, old, new, l)
		case p.val.Kind == yaml.MappingNode:
			e.group(name, p.val, old, new)
		default:
			e.short(name, p.val, old, new, l)
		}
	}
}

// instrument edits the instrument of a routine.
func (e *editor) instrument(root *yaml.Node, old, new ladder.Routine) {
	l, keys := e.layoutOf(root), find(root)
	p, there := keys[instrumentKey]
	if !new.Order.Mixed() {
		delete(keys, orderKey)
	}
	switch was, now := player(old), player(new); {
	case !there:
		e.insert(root, keys, keysOf(topWords), instrumentKey, l.entry(instrumentKey, now))
	case silent(instrumentKey, now):
		e.remove(root, map[string]bool{instrumentKey: true})
	case p.val.Kind == yaml.MappingNode:
		e.group(instrumentKey, p.val, was, now)
	default:
		e.short(instrumentKey, p.val, was, now, l)
	}
}

// order edits the order of a routine.
func (e *editor) order(root *yaml.Node, new ladder.Routine) {
	flow, keys, o := root.Style&yaml.FlowStyle != 0, find(root), new.Order
	p, there := keys[orderKey]
	if silent(instrumentKey, player(new)) {
		delete(keys, instrumentKey) // which is taken out, and nothing stands behind it
	}
	switch {
	case !there:
		e.insert(root, keys, keysOf(topWords), orderKey, orderEntry(o, flow))
	case !o.Mixed():
		e.remove(root, map[string]bool{orderKey: true})
	default:
		e.value(p.val, scalar(o.String(), p.val.Style, flow))
	}
}

// gone says that a key must be taken out, as it cannot say what the step is
// now, or makes it the one that can in its place, whose name it returns. A text
// can be empty, and stays.
func (e *editor) gone(n *yaml.Node, k *key, keys pairs, new ladder.Step) (name string, out bool) {
	p, there := keys[k.name]
	if !there || k.get == nil || k.free() || k.get(new) != "" {
		return "", false
	}
	delete(keys, k.name)
	other := entry("", k.instead)
	if other == nil || other.get(new) == "" {
		return "", true
	}
	sp := e.spanOf(p.key)
	e.replace(sp.from, sp.to, scalar(other.name, p.key.Style, false))
	e.value(p.val, other.write(other.get(new), p.val.Style, n.Style&yaml.FlowStyle != 0))
	keys[other.name] = p
	return other.name, false
}

// silent reports whether none of a group's keys says anything of a step.
func silent(group string, s ladder.Step) bool {
	return !slices.ContainsFunc(groups[group].entries, func(k *key) bool { return k.get(s) != "" })
}

// group edits the keys of a group that are there, adds those that are not, and
// takes out those that say nothing now, as long as others stay, in a block behind
// them, where what comes next in the step may be put in.
func (e *editor) group(group string, m *yaml.Node, old, new ladder.Step) {
	l, keys := e.layoutOf(m), find(m)
	removed := map[string]bool{}
	for _, k := range groups[group].entries {
		if _, there := keys[k.name]; there && k.get(old) != "" && k.get(new) == "" {
			removed[k.name] = true
		}
	}
	last := len(m.Content) - 2
	if len(removed) < len(keys) && (l.flow || last >= 0 && !removed[m.Content[last].Value]) {
		e.remove(m, removed)
		for name := range removed {
			delete(keys, name)
		}
	}
	for _, k := range groups[group].entries {
		p, there := keys[k.name]
		switch {
		case there:
			e.leaf(k, p, old, new, l)
		case !k.implied(new):
			e.insert(m, keys, groups[group].names, k.name, k.name+": "+k.write(k.get(new), 0, l.flow))
		}
	}
}

// short edits a group that is written as the value of one of its keys.
func (e *editor) short(group string, val *yaml.Node, old, new ladder.Step, l layout) {
	differs := slices.ContainsFunc(groups[group].entries, func(k *key) bool { return k.get(old) != k.get(new) })
	k := groups[group].short
	text := groupText(group, new, l.flow)
	switch {
	case !differs || k == nil:
	case strings.HasPrefix(text, "{"):
		e.value(val, text)
	default:
		e.value(val, k.write(k.get(new), val.Style, l.flow))
	}
}

// leaf edits the value of a key where it says something else now.
func (e *editor) leaf(k *key, p pair, old, new ladder.Step, l layout) {
	switch {
	case k.get == nil || k.get(old) == k.get(new):
	case k.list != nil:
		e.items(k, p, old, new, l)
	case k.form == aNote:
		e.value(p.val, l.noteText(k.get(new), p.val.Style))
	default:
		e.value(p.val, k.write(k.get(new), p.val.Style, l.flow))
	}
}
