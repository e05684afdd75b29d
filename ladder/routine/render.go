package routine

import (
	"fmt"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"footing/audio/click"
	"footing/ladder"
)

// leaf is a key whose value is one scalar.
type leaf struct {
	group string // the key it stands under, "" for the step itself
	key   string
	text  func(ladder.Step) string
	// implied reports whether the value is what the step has without the key.
	implied func(ladder.Step) bool
}

func never(ladder.Step) bool { return false }

// leaves are the scalar keys in the order of the format. Slots, swing and
// dynamics take more than one form, see edit.go.
func leaves() []leaf {
	d := ladder.DefaultStep()
	num := func(n int) string { return fmt.Sprint(n) }
	return []leaf{
		{"", "name", func(s ladder.Step) string { return s.Name }, never},
		{"passage", "piece", func(s ladder.Step) string { return s.Passage.Piece }, func(s ladder.Step) bool { return s.Passage.Piece == "" }},
		{"passage", "bars", barsText, func(s ladder.Step) bool { return s.Passage.From == 1 && s.Passage.To == 1 }},
		{"", "meter", func(s ladder.Step) string { return s.Meter.String() }, func(s ladder.Step) bool { return s.Meter == d.Meter }},
		{"", "beat", func(s ladder.Step) string { return s.Unit.String() }, func(s ladder.Step) bool { return s.Unit == s.Meter.Unit() }},
		{"tempo", "from", fromText, func(s ladder.Step) bool { return s.Tempo.From != 0 && s.Tempo.From == impliedFrom(s.Tempo) }},
		{"tempo", "goal", func(s ladder.Step) string { return s.Tempo.Goal.String() }, func(s ladder.Step) bool { return s.Tempo.Goal == impliedGoal(s.Tempo) }},
		{"tempo", "step", func(s ladder.Step) string { return s.Tempo.By.String() }, func(s ladder.Step) bool { return s.Tempo.By == d.Tempo.By }},
		{"", "pulse", func(s ladder.Step) string { return s.Pulse.String() }, func(s ladder.Step) bool { return s.Pulse == d.Pulse }},
		{"", "count", func(s ladder.Step) string { return s.Count.String() }, func(s ladder.Step) bool { return s.Count == d.Count }},
		{"chunk", "start", startText, func(s ladder.Step) bool { return s.Chunk.Bar == s.Passage.From && s.Chunk.At.Sign() == 0 }},
		{"chunk", "beats", func(s ladder.Step) string { return s.Chunk.Length.String() }, func(s ladder.Step) bool { return s.Chunk.Length == impliedLength(s) }},
		{"chunk", "landing", func(s ladder.Step) string { return fmt.Sprint(s.Chunk.Landing) }, func(s ladder.Step) bool { return s.Chunk.Landing }},
		{"", "count-in", func(s ladder.Step) string { return num(s.CountIn) }, func(s ladder.Step) bool { return s.CountIn == d.CountIn }},
		{"", "breath", func(s ladder.Step) string { return num(s.Breath) }, func(s ladder.Step) bool { return s.Breath == d.Breath }},
		{"", "reps", func(s ladder.Step) string { return num(s.Reps) }, func(s ladder.Step) bool { return s.Reps == d.Reps }},
		{"rule", "name", func(s ladder.Step) string { return s.Rule.Kind.String() }, func(s ladder.Step) bool { return s.Rule.Kind == d.Rule.Kind }},
		{"rule", "clean", func(s ladder.Step) string { return num(s.Rule.Clean) }, func(s ladder.Step) bool { return s.Rule.Clean == d.Rule.Clean }},
		{"rule", "rough", func(s ladder.Step) string { return num(s.Rule.Rough) }, func(s ladder.Step) bool { return s.Rule.Rough == d.Rule.Rough }},
		{"", "pencil", func(s ladder.Step) string { return s.Pencil }, func(s ladder.Step) bool { return s.Pencil == "" }},
	}
}

func barsText(s ladder.Step) string {
	if s.Passage.From == s.Passage.To {
		return fmt.Sprint(s.Passage.From)
	}
	return fmt.Sprintf("%d-%d", s.Passage.From, s.Passage.To)
}

func fromText(s ladder.Step) string {
	switch {
	case s.Tempo.From != 0:
		return s.Tempo.From.String()
	case s.Tempo.Below == 1:
		return "1 rung below"
	}
	return fmt.Sprintf("%d rungs below", s.Tempo.Below)
}

func startText(s ladder.Step) string {
	beat := s.Chunk.At.Floor()
	text := fmt.Sprintf("%d:%d", s.Chunk.Bar, beat+1)
	if rest := s.Chunk.At.Sub(click.Whole(beat)); rest.Sign() > 0 {
		text += "+" + rest.String()
	}
	return text
}

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
	case strings.ContainsRune("-?:,[]{}#&*!|>'\"%@`=<~.", rune(text[0])):
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

// write is a leaf's value for a new key.
func (l leaf) write(s ladder.Step, style yaml.Style, flow bool) string {
	text := l.text(s)
	switch {
	case l.key == "start" && style == 0:
		return scalar(text, yaml.DoubleQuotedStyle, flow)
	case l.key == "piece" || l.key == "pencil" || l.key == "name" && l.group == "":
		return freeText(text, style, flow)
	}
	return scalar(text, style, flow)
}

// groupText is the value of a group with the keys that are not implied, such
// as {a: 1, b: 2}; "" when all are.
func groupText(group string, s ladder.Step, flow bool) string {
	var parts []string
	for _, l := range leaves() {
		if l.group == group && !l.implied(s) {
			parts = append(parts, l.key+": "+l.write(s, 0, true))
		}
	}
	switch d := ladder.DefaultStep().Rule; {
	case len(parts) == 0:
		return ""
	case group == "rule" && s.Rule.Clean == d.Clean && s.Rule.Rough == d.Rough:
		return scalar(s.Rule.Kind.String(), 0, flow)
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// layout is how new text fits into its surroundings.
type layout struct {
	flow    bool   // within brackets or braces
	indent  string // of the keys around, in a block
	newline string
}

// dynamicsText is the value of dynamics with what parts it from the colon.
func (l layout) dynamicsText(a click.Accents, style yaml.Style) string {
	var lines []string
	for _, marks := range a {
		lines = append(lines, scalar(click.FormatMarks(marks), 0, l.flow))
	}
	switch {
	case len(a) == 1:
		return " " + scalar(click.FormatMarks(a[0]), style, l.flow)
	case l.flow:
		return " [" + strings.Join(lines, ", ") + "]"
	case style&yaml.LiteralStyle != 0:
		text := " |"
		for _, marks := range a {
			text += l.newline + l.indent + "  " + click.FormatMarks(marks)
		}
		return text
	}
	text := ""
	for _, line := range lines {
		text += l.newline + l.indent + "  - " + line
	}
	return text
}

// pencilText is a pencil mark; one of several lines stands below its key.
func (l layout) pencilText(text string, style yaml.Style) string {
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

// entry is a key of a step with its value, "" when the step has the same
// without it.
func (l layout) entry(key string, s ladder.Step) string {
	_, _, swung := s.Slots.Swung()
	text := ""
	switch key {
	case "passage", "tempo", "chunk", "rule":
		text = groupText(key, s, l.flow)
	case "slots":
		if !swung && s.Slots.Count() > 1 {
			text = s.Slots.String()
		}
	case "swing":
		if swung {
			text = scalar(s.Slots.String(), 0, l.flow)
		}
	case "dynamics":
		if len(s.Accents) > 0 {
			return key + ":" + l.dynamicsText(s.Accents, 0)
		}
	case "pencil":
		if s.Pencil != "" {
			text = l.pencilText(s.Pencil, 0)
		}
	default:
		for _, leaf := range leaves() {
			if leaf.group == "" && leaf.key == key && !leaf.implied(s) {
				text = leaf.write(s, 0, l.flow)
			}
		}
	}
	if text == "" {
		return ""
	}
	return key + ": " + text
}

// step is a whole new step: in a block its lines from the first key on, else
// in braces.
func (l layout) step(s ladder.Step) string {
	var parts []string
	for _, key := range stepKeys {
		if text := l.entry(key, s); text != "" {
			parts = append(parts, text)
		}
	}
	if l.flow {
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return strings.Join(parts, l.newline+l.indent)
}

// render is a whole routine in this package's own layout.
func render(r ladder.Routine) string {
	l := layout{indent: "    ", newline: "\n"}
	text := "footing: 1\nname: " + freeText(r.Name, 0, false) + "\nsteps:\n"
	for _, s := range r.Steps {
		text += "  - " + l.step(s) + "\n"
	}
	return text
}
