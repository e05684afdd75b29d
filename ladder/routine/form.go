package routine

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"footing/ladder"
)

// Key is a key of a step that can be edited, for a form.
type Key struct {
	// ID names the key among all: "reps", "tempo goal".
	ID string
	// Group is the key it stands under, empty for the step itself; Name its own.
	Group, Name string
	// Hint is a value, and what else can be written.
	Hint string
	// Choices are the words that alone will do, nil where others do too.
	Choices []string

	entry *key
}

// Keys are the keys of a step that can be edited, in the order of the format.
func Keys() []Key {
	var out []Key
	for i := range table {
		k := &table[i]
		if k.get == nil {
			continue
		}
		hint := k.example
		if k.also != "" {
			hint += ", " + k.also
		}
		out = append(out, Key{ID: k.id(), Group: k.group, Name: k.name, Hint: hint, Choices: slices.Clone(k.choices), entry: k})
	}
	return out
}

func (k *key) id() string {
	if k.group == "" {
		return k.name
	}
	return k.group + " " + k.name
}

// Text is what the key says of a step, in the words of a file; empty where it
// says nothing. The items of a list stand on one line.
func (k Key) Text(s ladder.Step) string {
	text := k.entry.get(s)
	if l := k.entry.list; l != nil {
		return strings.ReplaceAll(text, "\n", l.part)
	}
	return text
}

// Fit makes a text fit for the key while it is typed: what cannot be kept in a
// file is left out.
func (k Key) Fit(text string) string {
	switch {
	case k.ID == "notes":
		return ladder.TypedLines(text)
	case k.entry.form == aNote:
		return ladder.Lines(text)
	}
	return ladder.Line(text)
}

// Texts is what every key says of a step, by ID.
func Texts(s ladder.Step) map[string]string {
	out := map[string]string{}
	for _, k := range Keys() {
		out[k.ID] = k.Text(s)
	}
	return out
}

// KeyError says which key's text is at fault: "what is wrong; what would be
// right".
type KeyError struct {
	ID string // of the key
	ladder.Fault
}

// FromTexts is the step of which the keys say this, read as they are in a file.
// An empty text leaves the key out, and what holds without it holds. The error
// is a [*KeyError], of the first key at fault.
func FromTexts(texts map[string]string) (ladder.Step, error) {
	s := ladder.DefaultStep()
	fail := func(k *key, err error) (ladder.Step, error) {
		what, want := split(err)
		return ladder.Step{}, &KeyError{k.id(), ladder.Fault{Key: k.name, What: what, Want: want}}
	}
	text := func(k *key) string { return strings.TrimSpace(texts[k.id()]) }
	var absent []*key
	for i := range table {
		k := &table[i]
		other := entry("", k.instead)
		switch {
		case text(k) != "" && other != nil && text(other) != "":
			return fail(k, bothThere(k, other))
		case text(k) != "":
			if err := k.fill(&s, text(k)); err != nil {
				return fail(k, err)
			}
		case k.imply != nil && (other == nil || text(other) == ""):
			absent = append(absent, k)
		}
	}
	for _, k := range absent {
		k.imply(&s)
	}
	faults := ladder.Routine{Name: "form", Steps: []ladder.Step{s}}.Check()
	if len(faults) == 0 {
		return s, nil
	}
	at := func(f ladder.RoutineFault) int {
		k := named(f.Key)
		if g := groups[f.Key]; g != nil && g.short != nil {
			k = g.short
		}
		return slices.IndexFunc(table, func(other key) bool { return k != nil && other.id() == k.id() })
	}
	slices.SortStableFunc(faults, func(a, b ladder.RoutineFault) int { return at(a) - at(b) })
	return ladder.Step{}, &KeyError{table[max(0, at(faults[0]))].id(), faults[0].Fault}
}

// fill reads a text as a form has it, of a list with all items on one line.
func (k *key) fill(s *ladder.Step, text string) error {
	items := []string{text}
	if k.list != nil {
		items = strings.Split(text, strings.TrimSpace(k.list.part))
	}
	for _, item := range items {
		item = strings.TrimSpace(item)
		if !k.free() && len(item) > longest {
			return k.tooLong(item)
		}
		if err := k.set(s, item); err != nil {
			return err
		}
	}
	return nil
}

// fewChoices can stand on one line.
const fewChoices = 6

// Format is a page on the format of routine files: the keys of a step, what
// holds without each, and what can be written. It ends without a line break.
func Format() string {
	rows := [][3]string{{"key", "without it", "such as"}}
	for i := range table {
		k := &table[i]
		name := k.name
		if k.group != "" {
			name = k.group + ": {" + k.name + "}"
		}
		without := k.otherwise
		switch {
		case k.imply == nil:
			without = "must be there"
		case without == "" && k.get != nil:
			without = k.get(usual)
		}
		if without == "" {
			without = "none"
		}
		such := k.sample()
		switch n := len(k.choices); {
		case n > 0 && n <= fewChoices:
			such = strings.Join(k.choices, " | ")
		case k.list != nil:
			such += " (" + k.list.each + ")"
		case k.also != "":
			such += ", " + k.also
		}
		rows = append(rows, [3]string{name, without, such})
	}
	var widths [2]int
	for _, row := range rows {
		for i := range widths {
			widths[i] = max(widths[i], utf8.RuneCountInString(row[i]))
		}
	}
	lines := make([]string, len(rows))
	for i, row := range rows {
		lines[i] = fmt.Sprintf("  %-*s  %-*s  %s", widths[0], row[0], widths[1], row[1], row[2])
	}
	return "A routine is YAML: footing: 1, a name, maybe an instrument for all steps, maybe an order\n(as listed; mixed, 3 reps; mixed, 5 minutes), and steps, a list of steps with these keys:\n\n" + strings.Join(lines, "\n")
}
