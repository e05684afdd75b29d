package routine

import (
	"slices"
	"strings"

	"footing/ladder"
)

// key is an entry of the table: a key of a step, what it says of the step, and
// how it looks.
//
// The value of a key is a text. That of a list has a line for each item, and
// the line of an item that is a set of keys has their values, parted by blanks.
type key struct {
	group, name string // the key it stands under, "" for the step itself; and its own
	form        form
	list        *list // of a key with a list of values

	example   string   // a value, as a form takes it
	also      string   // what else can be written, for a form
	choices   []string // where only some words will do
	otherwise string   // what holds without the key; "" for what a usual step has

	// get is the value's text; "" where the key cannot say what the step is, and
	// is left out. A key without get is read only.
	get func(ladder.Step) string
	// set reads a value into the step, of a list an item after those before it.
	// The error has the form "what; what would be right".
	set func(*ladder.Step, string) error
	// imply gives the step what holds without the key, which may depend on all
	// keys that are there, and on what those before this one imply. A key without
	// imply must be there.
	imply func(*ladder.Step)

	short   bool   // the group may be its value alone, as in rule: earned
	instead string // the key that says the same thing in another way; not both can be there
	why     string // a remark on that
}

// list is how the items of a list are written.
type list struct {
	part   string // what parts the items on the one line of a form
	things string // what there are none of when the list is empty
	item   string // what an item is called
	each   string // how many there should be
	want   string // what should be written for an item that is something else
	inner  []word // the keys of an item that is a set of them
	must   int    // how many of these must be there, the first of them; 0 for all
	// join makes one line of an item's values, and split takes it apart again, where
	// that is not just blanks between them. A value that is empty is not there.
	join  func(cells []string) string
	split func(item string) []string
	// check says what is wrong with the items as they are written, nil when
	// nothing is. The step has the keys before this one.
	check func(ladder.Step, []string) error
	// wrong is the item, from 0, that is at fault in a step that is; below 0 for
	// none.
	wrong func(ladder.Step) int
}

// form is how the text of a key looks in a file.
type form int

const (
	aWord    form = iota // without quotes where it can be
	inQuotes             // in double quotes where it is new, for other readers' sake
	aText                // in quotes where another reader of YAML might take it for something else
	aNote                // the same, of several lines
)

// free reports whether any text will do.
func (k *key) free() bool { return k.form == aText || k.form == aNote }

// implied reports whether the key can be left out: the step is the same without
// it, or it cannot say what the step is.
func (k *key) implied(s ladder.Step) bool {
	switch {
	case k.get == nil:
		return true
	case k.imply == nil:
		return false
	case k.get(s) == "":
		return true
	}
	without := s
	k.imply(&without)
	return k.get(s) == k.get(without)
}

// items are the values of a list.
func (k *key) items(s ladder.Step) []string {
	if text := k.get(s); text != "" {
		return strings.Split(text, "\n")
	}
	return nil
}

// word is a key that a mapping may have, with a value as it may stand in a file.
type word struct{ key, example string }

// group is the keys that stand under one key, or, under "", those of a step.
type group struct {
	entries []*key
	words   []word // those of a step with the groups in their places
	names   []string
	sample  string // the whole of it, as it may stand in a file
	short   *key   // whose value may stand for the group, nil for none
}

// What is known of the table as a whole.
var (
	topWords = []word{{"footing", "1"}, {"name", "Weir Street run"}, {instrumentKey, "bassoon"}, {orderKey, "mixed, 3 reps"}, {"steps", "[{name: Weir Street run}]"}}
	groups   = groupsOf(table)
	// homes says under which key a key belongs that is often looked for elsewhere.
	homes = homesOf(table)
)

func groupsOf(table []key) map[string]*group {
	out := map[string]*group{"": {}}
	for i := range table {
		k := &table[i]
		g := out[k.group]
		if g == nil {
			g = &group{}
			out[k.group] = g
			out[""].words = append(out[""].words, word{key: k.group})
		}
		g.entries = append(g.entries, k)
		g.words = append(g.words, word{k.name, k.sample()})
		if k.short {
			g.short = k
		}
	}
	for _, g := range out {
		g.names, g.sample = keysOf(g.words), braces(g.words)
	}
	step := out[""]
	for i, w := range step.words {
		if g := out[w.key]; g != nil {
			step.words[i].example = g.sample
		}
	}
	return out
}

func keysOf(words []word) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = w.key
	}
	return out
}

// sample is a value as it may stand in a file.
func (k *key) sample() string {
	switch {
	case k.form == inQuotes:
		return `"` + k.example + `"`
	case k.list != nil && k.list.inner != nil:
		return "[" + k.list.sample() + "]"
	}
	return k.example
}

// sample is an item that is a set of keys, as it may stand in a file.
func (l *list) sample() string { return braces(l.inner) }

func braces(words []word) string {
	parts := make([]string, len(words))
	for i, w := range words {
		parts[i] = w.key + ": " + w.example
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// homesOf leaves out a key that a step has as well, such as name. Of two groups
// with such a key the first is its home.
func homesOf(table []key) map[string]string {
	out := map[string]string{}
	for _, k := range table {
		if k.group != "" && out[k.name] == "" && !slices.ContainsFunc(table, func(t key) bool { return t.group == "" && t.name == k.name }) {
			out[k.name] = k.group
		}
	}
	return out
}

// entry is the entry of a key, nil when there is none.
func entry(group, name string) *key {
	if g := groups[group]; g != nil {
		for _, k := range g.entries {
			if k.name == name {
				return k
			}
		}
	}
	return nil
}

// named is the entry of a key by its id, or by the name of one that has a home;
// nil when there is none.
func named(name string) *key {
	for i := range table {
		if table[i].id() == name {
			return &table[i]
		}
	}
	return entry(homes[name], name)
}

// instrumentKey is a group that a routine may have as well as its steps.
const instrumentKey = "instrument"

// orderKey is a key of a routine alone.
const orderKey = "order"

// player is a step with a routine's instrument, for the entries of that group.
func player(r ladder.Routine) ladder.Step {
	return ladder.Step{Notes: ladder.Notes{Instrument: r.Instrument}}
}
