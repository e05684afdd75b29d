package routine

import (
	"fmt"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"footing/ladder"
)

// scalar writes a text as YAML: in the style it had where that can hold it,
// else plain where that is safe, else in double quotes.
func scalar(text string, style yaml.Style, flow bool) string {
	switch {
	case style&yaml.SingleQuotedStyle != 0 && !strings.ContainsFunc(text, needsEscape):
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	case style&yaml.DoubleQuotedStyle == 0 && safePlain(text, flow):
		return text
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case needsEscape(r) && r > 0xffff:
			fmt.Fprintf(&b, `\U%08X`, r)
		case needsEscape(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func needsEscape(r rune) bool { return r != ' ' && !unicode.IsPrint(r) }

// safePlain reports whether a text stands for itself without quotes, for this
// and for other readers of YAML.
func safePlain(text string, flow bool) bool {
	switch {
	case text == "" || strings.ContainsFunc(text, needsEscape):
		return false
	case strings.TrimSpace(text) != text:
		return false
	case text[0] == '-' && (len(text) == 1 || text[1] < '0' || text[1] > '9'): // a number below 0 is none of the signs
		return false
	case strings.ContainsRune("?:,[]{}#&*!|>'\"%@`=<~.", rune(text[0])):
		return false
	case strings.Contains(text, ": ") || strings.Contains(text, " #") || strings.HasSuffix(text, ":"):
		return false
	case flow && strings.ContainsAny(text, ",[]{}?:"):
		return false
	}
	var n yaml.Node
	if err := yaml.Unmarshal([]byte(text), &n); err != nil || len(n.Content) != 1 {
		return false
	}
	tag := n.Content[0].Tag
	return n.Content[0].Value == text && tag != "!!null" && tag != "!!merge" && tag != "!!timestamp"
}

// freeText is a scalar that a reader of YAML must not take for a number or for
// true or false.
func freeText(text string, style yaml.Style, flow bool) string {
	plain := scalar(text, style, flow)
	if plain != text {
		return plain
	}
	switch strings.ToLower(text) {
	case "true", "false", "yes", "no", "on", "off", "y", "n":
		return scalar(text, yaml.DoubleQuotedStyle, flow)
	}
	if strings.Trim(text, "0123456789_.:+-xXoOabcdefABCDEF") == "" && strings.ContainsAny(text, "0123456789") {
		return scalar(text, yaml.DoubleQuotedStyle, flow)
	}
	return plain
}

// write is the value of a key that is no list, on one line.
func (k *key) write(text string, style yaml.Style, flow bool) string {
	switch {
	case k.form == inQuotes && style == 0:
		return scalar(text, yaml.DoubleQuotedStyle, flow)
	case k.free():
		return freeText(text, style, flow)
	}
	return scalar(text, style, flow)
}

// write is an item of a list.
func (l *list) write(item string, style yaml.Style, flow bool) string {
	if l.inner == nil {
		return scalar(item, style, flow)
	}
	var parts []string
	for i, cell := range l.cells(item) {
		if cell != "" {
			parts = append(parts, l.inner[i].key+": "+scalar(cell, 0, true))
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// cells are the values of an item's keys; the last may hold blanks.
func (l *list) cells(item string) []string {
	var cells []string
	if l.split != nil {
		cells = l.split(item)
	} else {
		cells = strings.SplitN(item, " ", len(l.inner))
	}
	return append(cells, make([]string, len(l.inner)-len(cells))...)
}

// line is the text of an item with these values.
func (l *list) line(cells []string) string {
	if l.join != nil {
		return l.join(cells)
	}
	return strings.Join(cells, " ")
}

// needs reports whether the i-th key of an item must be there.
func (l *list) needs(i int) bool { return l.must == 0 || i < l.must }

// alike reports whether two items have the same keys.
func (l *list) alike(a, b string) bool {
	if l.inner == nil {
		return true
	}
	was, now := l.cells(a), l.cells(b)
	for i := range was {
		if (was[i] == "") != (now[i] == "") {
			return false
		}
	}
	return true
}

// groupText is the value of a group with the keys that are not implied, such
// as {a: 1, b: 2}; "" when all are.
func groupText(group string, s ladder.Step, flow bool) string {
	var parts []string
	var only *key
	for _, k := range groups[group].entries {
		if !k.implied(s) {
			parts, only = append(parts, k.name+": "+k.write(k.get(s), 0, true)), k
		}
	}
	switch {
	case len(parts) == 0:
		return ""
	case len(parts) == 1 && only.short:
		return only.write(only.get(s), 0, flow)
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// layout is how new text fits into its surroundings.
type layout struct {
	flow    bool   // within brackets or braces
	indent  string // of the keys around, in a block
	newline string
}

// listText is the value of a list with what parts it from the colon.
func (l layout) listText(k *key, items []string, style yaml.Style) string {
	if k.list.inner == nil && len(items) == 1 {
		return " " + scalar(items[0], style, l.flow)
	}
	if k.list.inner == nil && style&yaml.LiteralStyle != 0 && !l.flow {
		text := " |"
		for _, item := range items {
			text += l.newline + l.indent + "  " + item
		}
		return text
	}
	lines := make([]string, len(items))
	for i, item := range items {
		lines[i] = k.list.write(item, 0, l.flow)
	}
	if l.flow {
		return " [" + strings.Join(lines, ", ") + "]"
	}
	text := ""
	for _, line := range lines {
		text += l.newline + l.indent + "  - " + line
	}
	return text
}

// noteText is a note; one of several lines stands below its key.
func (l layout) noteText(text string, style yaml.Style) string {
	bad := func(r rune) bool { return r != '\n' && needsEscape(r) }
	quoted := style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0
	if l.flow || quoted || !strings.Contains(text, "\n") || strings.ContainsFunc(text, bad) {
		return freeText(text, style, l.flow)
	}
	out := "|-"
	for _, line := range strings.Split(text, "\n") {
		out += l.newline
		if line != "" {
			out += l.indent + "  " + line
		}
	}
	return out
}

// entry is a key of a step, or a group, with its value; "" when the step has
// the same without it.
func (l layout) entry(name string, s ladder.Step) string {
	k := entry("", name)
	switch {
	case k == nil:
		if text := groupText(name, s, l.flow); text != "" {
			return name + ": " + text
		}
	case k.implied(s):
	case k.list != nil:
		return name + ":" + l.listText(k, k.items(s), 0)
	case k.form == aNote:
		return name + ": " + l.noteText(k.get(s), 0)
	default:
		return name + ": " + k.write(k.get(s), 0, l.flow)
	}
	return ""
}

// step is a whole new step: in a block its lines from the first key on, else
// in braces.
func (l layout) step(s ladder.Step) string {
	var parts []string
	for _, key := range groups[""].names {
		if text := l.entry(key, s); text != "" {
			parts = append(parts, text)
		}
	}
	if l.flow {
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return strings.Join(parts, l.newline+l.indent)
}

// orderEntry is the order of a routine as it stands in a file.
func orderEntry(o ladder.Order, flow bool) string {
	return orderKey + ": " + scalar(o.String(), 0, flow)
}

// render is a whole routine in this package's own layout.
func render(r ladder.Routine) string {
	l := layout{indent: "    ", newline: "\n"}
	text := "footing: 1\nname: " + freeText(r.Name, 0, false) + "\n"
	if played := l.entry(instrumentKey, player(r)); played != "" {
		text += played + "\n"
	}
	if r.Order.Mixed() {
		text += orderEntry(r.Order, false) + "\n"
	}
	text += "steps:\n"
	for _, s := range r.Steps {
		text += "  - " + l.step(s) + "\n"
	}
	return text
}
