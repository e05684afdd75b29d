// Package routines is the Routines view: the files of the player's folder, the
// steps of one, and a step in the same words as the file.
package routines

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/routine"
)

// field is one value of a step, in the words of the file.
type field struct {
	group, key string
	get        func(ladder.Step) string
	choices    []string // where only some words will do
	example    string
}

func (f field) id() string {
	if f.group == "" {
		return f.key
	}
	return f.group + " " + f.key
}

// fields are the values of a step in the order of the file. An empty value
// leaves the key out, and the default holds.
func fields() []field {
	num := func(n int) string { return fmt.Sprint(n) }
	var pulses, counts []string
	for p := click.OnBeat; p <= click.Offbeat; p++ {
		pulses = append(pulses, p.String())
	}
	for c := click.CountNone; c <= click.CountKodaly; c++ {
		counts = append(counts, c.String())
	}
	return []field{
		{"", "name", func(s ladder.Step) string { return s.Name }, nil, "Weir Street run"},
		{"passage", "piece", func(s ladder.Step) string { return s.Passage.Piece }, nil, "Weir Street March"},
		{"passage", "bars", func(s ladder.Step) string {
			if s.Passage.From == s.Passage.To {
				return num(s.Passage.From)
			}
			return fmt.Sprintf("%d-%d", s.Passage.From, s.Passage.To)
		}, nil, "17-20"},
		{"", "meter", func(s ladder.Step) string { return s.Meter.String() }, nil, "4/4"},
		{"", "beat", func(s ladder.Step) string { return s.Unit.String() }, click.UnitNames(), "quarter"},
		{"tempo", "from", func(s ladder.Step) string {
			if s.Tempo.From != 0 {
				return s.Tempo.From.String()
			}
			return strings.Replace(fmt.Sprintf("%d rungs below", s.Tempo.Below), "1 rungs", "1 rung", 1)
		}, nil, "64, or 10 rungs below"},
		{"tempo", "goal", func(s ladder.Step) string { return s.Tempo.Goal.String() }, nil, "104"},
		{"tempo", "step", func(s ladder.Step) string { return s.Tempo.By.String() }, nil, "4 bpm, 5% or marks"},
		{"", "slots", func(s ladder.Step) string {
			if _, _, swung := s.Slots.Swung(); swung {
				return ""
			}
			return s.Slots.String()
		}, nil, "4"},
		{"", "swing", func(s ladder.Step) string {
			if _, _, swung := s.Slots.Swung(); !swung {
				return ""
			}
			return s.Slots.String()
		}, nil, "2:1, in place of slots"},
		{"", "dynamics", func(s ladder.Step) string {
			var lines []string
			for _, marks := range s.Accents {
				lines = append(lines, click.FormatMarks(marks))
			}
			return strings.Join(lines, " / ")
		}, nil, "f p p p, beats parted by /"},
		{"", "pulse", func(s ladder.Step) string { return s.Pulse.String() }, pulses, "beat"},
		{"", "count", func(s ladder.Step) string { return s.Count.String() }, counts, "number"},
		{"chunk", "start", func(s ladder.Step) string {
			beat := s.Chunk.At.Floor()
			text := fmt.Sprintf("%d:%d", s.Chunk.Bar, beat+1)
			if rest := s.Chunk.At.Sub(click.Whole(beat)); rest.Sign() > 0 {
				text += "+" + rest.String()
			}
			return text
		}, nil, "18:2"},
		{"chunk", "beats", func(s ladder.Step) string { return s.Chunk.Length.String() }, nil, "2"},
		{"chunk", "landing", func(s ladder.Step) string { return fmt.Sprint(s.Chunk.Landing) }, []string{"true", "false"}, "true"},
		{"", "count-in", func(s ladder.Step) string { return num(s.CountIn) }, nil, "2"},
		{"", "breath", func(s ladder.Step) string { return num(s.Breath) }, nil, "2"},
		{"", "reps", func(s ladder.Step) string { return num(s.Reps) }, nil, "5"},
		{"rule", "name", func(s ladder.Step) string { return s.Rule.Kind.String() }, ladder.RuleNames(), "earned"},
		{"rule", "clean", func(s ladder.Step) string { return num(s.Rule.Clean) }, nil, "3"},
		{"rule", "rough", func(s ladder.Step) string { return num(s.Rule.Rough) }, nil, "2"},
		{"", "pencil", func(s ladder.Step) string { return s.Pencil }, nil, "whisper key off before the high A"},
	}
}

// values are what the fields hold, by id.
func values(s ladder.Step) map[string]string {
	out := map[string]string{}
	for _, f := range fields() {
		out[f.id()] = f.get(s)
	}
	return out
}

// fault is what is wrong with a value, and in which field.
type fault struct {
	field string
	text  string
}

// parse reads the values as the file's own reader would: it writes them as a
// file with one value a line, so that the line of an error names the field.
func parse(values map[string]string) (ladder.Step, *fault) {
	text := &strings.Builder{}
	var lines []string
	line := func(id, format string, args ...any) {
		fmt.Fprintf(text, format+"\n", args...)
		lines = append(lines, id)
	}
	line("name", "footing: 1")
	line("name", "name: form")
	line("name", "steps:")
	group, indent := "", "  - "
	for _, f := range fields() {
		v := strings.TrimSpace(values[f.id()])
		if v == "" && f.key != "name" {
			continue
		}
		if f.group != group {
			if group = f.group; group != "" {
				line(f.id(), "%s%s:", indent, group)
			}
		}
		in := indent
		if group != "" {
			in = "      "
		}
		if f.key == "dynamics" && strings.Contains(v, "/") {
			line(f.id(), "%s%s:", in, f.key)
			for _, marks := range strings.Split(v, "/") {
				line(f.id(), "      - %s", quoted(strings.TrimSpace(marks)))
			}
		} else {
			line(f.id(), "%s%s: %s", in, f.key, quoted(v))
		}
		indent = "    "
	}
	f, err := routine.Parse("form", []byte(text.String()))
	if err == nil {
		return f.Routine().Steps[0], nil
	}
	var bad routine.Errors
	if !errors.As(err, &bad) || len(bad) == 0 {
		return ladder.Step{}, &fault{"name", err.Error()}
	}
	e := bad[0]
	at := "name"
	if e.Line >= 1 && e.Line <= len(lines) {
		at = lines[e.Line-1]
	}
	return ladder.Step{}, &fault{at, e.What + "; " + e.Want}
}

// quoted is a text in the double quotes of YAML, of which JSON's are a part.
func quoted(s string) string {
	b, err := json.Marshal(s)
	if err != nil {
		return `""`
	}
	return string(b)
}
