package routine

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"footing/audio/click"
	"footing/ladder"
)

// stepNodes are the nodes of a step's values, to point at.
type stepNodes struct {
	step  *yaml.Node
	byKey pairs
	lines []*yaml.Node // of the dynamics
}

// find is the node of a key, or of what comes nearest when it is not written.
func (n stepNodes) find(key string, src *source, s ladder.Step) *yaml.Node {
	if key == "dynamics" {
		for i, line := range s.Accents {
			if len(line) != s.Slots.Count() && i < len(n.lines) {
				return n.lines[i]
			}
		}
	}
	for _, k := range []string{key, homes[key], "slots", "name"} {
		if p, ok := n.byKey[k]; ok && (k != "slots" || key == "swing") {
			return p.val
		}
	}
	return n.step
}

// step reads one step of the list.
func (r *reader) step(n *yaml.Node) (ladder.Step, stepNodes) {
	s := ladder.DefaultStep()
	at := stepNodes{step: n, byKey: pairs{}}
	keys, ok := r.mapping(n, "step", stepKeys)
	if keys == nil {
		return s, at
	}
	for k, p := range keys {
		at.byKey[k] = p
	}
	group := func(key string, known []string) pairs {
		p, there := keys[key]
		if !there {
			return nil
		}
		sub, _ := r.mapping(p.val, key, known)
		for k, p := range sub {
			if k != "name" {
				at.byKey[k] = p
			}
		}
		return sub
	}
	if p, there := keys["name"]; there {
		s.Name, _ = r.text(p)
	} else if ok {
		r.fail(n, "the step has no name", "write name: Weir Street run")
	}
	r.passage(&s, group("passage", passageKeys))
	meter := read(r, keys, "meter", click.ParseMeter, &s.Meter)
	s.Unit = s.Meter.Unit()
	read(r, keys, "beat", parseUnit, &s.Unit)
	r.tempo(&s, group("tempo", tempoKeys))
	r.slots(&s, keys)
	at.lines = r.dynamics(&s, keys)
	read(r, keys, "pulse", parsePulse, &s.Pulse)
	read(r, keys, "count", parseCounting, &s.Count)
	r.speak(keys)
	if meter {
		r.chunk(&s, group("chunk", chunkKeys))
	}
	read(r, keys, "count-in", wholeNumber(0, ladder.MaxRest), &s.CountIn)
	read(r, keys, "breath", wholeNumber(0, ladder.MaxRest), &s.Breath)
	read(r, keys, "reps", wholeNumber(1, ladder.MaxReps), &s.Reps)
	if p, there := keys["rule"]; there && p.val.Kind == yaml.ScalarNode {
		read(r, keys, "rule", parseRule, &s.Rule.Kind)
	} else {
		rule := group("rule", ruleKeys)
		read(r, rule, "name", parseRule, &s.Rule.Kind)
		read(r, rule, "clean", wholeNumber(1, ladder.MaxNeed), &s.Rule.Clean)
		read(r, rule, "rough", wholeNumber(1, ladder.MaxNeed), &s.Rule.Rough)
	}
	if p, there := keys["pencil"]; there {
		s.Pencil, _ = r.text(p)
	}
	return s, at
}

// read parses the value of a key into out, which keeps its default when the
// key is not there. It reports whether all is well.
func read[T any](r *reader, keys pairs, key string, parse func(string) (T, error), out *T) bool {
	p, there := keys[key]
	if !there {
		return true
	}
	text, ok := r.text(p)
	if !ok {
		return false
	}
	if len(text) > 200 {
		r.fail(p.val, fmt.Sprintf("%s is not a %s", quote(text), key), "write such as "+key+": "+examples[key])
		return false
	}
	v, err := parse(text)
	if err != nil {
		r.fault(p.val, err)
		return false
	}
	*out = v
	return true
}

func (r *reader) passage(s *ladder.Step, keys pairs) {
	if p, there := keys["piece"]; there {
		s.Passage.Piece, _ = r.text(p)
	}
	bars := [2]int{s.Passage.From, s.Passage.To}
	read(r, keys, "bars", parseBars, &bars)
	s.Passage.From, s.Passage.To = bars[0], bars[1]
}

func (r *reader) tempo(s *ladder.Step, keys pairs) {
	t := &s.Tempo
	from := start{tempo: t.From}
	gotFrom := read(r, keys, "from", parseFrom, &from)
	t.From, t.Below = from.tempo, from.below
	gotGoal := read(r, keys, "goal", parseTempo, &t.Goal)
	read(r, keys, "step", parseStepSize, &t.By)
	if _, there := keys["from"]; !there && gotGoal {
		t.From = impliedFrom(*t)
	}
	if _, there := keys["goal"]; !there && gotFrom {
		t.Goal = impliedGoal(*t)
	}
}

// impliedFrom is the start of a ladder of which only the goal is written: the
// default one, or the goal where that is lower.
func impliedFrom(t ladder.Range) click.Tempo { return min(ladder.DefaultStep().Tempo.From, t.Goal) }

// impliedGoal is the goal of a ladder of which only the start is written: the
// default one, or the start where that is higher.
func impliedGoal(t ladder.Range) click.Tempo { return max(ladder.DefaultStep().Tempo.Goal, t.From) }

func (r *reader) slots(s *ladder.Step, keys pairs) {
	slots, swing := keys["slots"], keys["swing"]
	if slots.key != nil && swing.key != nil {
		second := swing
		if slots.key.Line > swing.key.Line || slots.key.Line == swing.key.Line && slots.key.Column > swing.key.Column {
			second = slots
		}
		r.fail(second.key, "slots and swing are both there", "keep one of them (swing is two slots a beat)")
		return
	}
	n := 1
	if read(r, keys, "slots", wholeNumber(1, click.MaxSlots), &n) {
		s.Slots = click.EvenSlots(n)
	}
	read(r, keys, "swing", click.ParseSwing, &s.Slots)
}

// maxLines is more lines of dynamics than a bar can have beats.
const maxLines = 2048

// dynamics reads a text of one line or more, or a list of lines.
func (r *reader) dynamics(s *ladder.Step, keys pairs) []*yaml.Node {
	p, there := keys["dynamics"]
	if !there || !r.plain(p.val) {
		return nil
	}
	var lines []*yaml.Node
	switch p.val.Kind {
	case yaml.SequenceNode:
		if n := len(p.val.Content); n > maxLines {
			r.fail(p.val, fmt.Sprintf("there are %d lines of dynamics", n), "write one line, or one line for each beat")
			return nil
		}
		for _, n := range p.val.Content {
			if !r.plain(n) {
				return nil
			}
			if n.Kind != yaml.ScalarNode {
				r.fail(n, "a line of dynamics is "+kind(n), "write marks such as f p p p; put marks that begin with a dash in quotes")
				return nil
			}
			lines = append(lines, n)
		}
		if r.spread(s, p.val) {
			return nil
		}
	case yaml.ScalarNode:
		lines = r.textLines(p.val)
	default:
		r.fail(p.val, "dynamics is "+kind(p.val), "write dynamics: f p p p, or a list with a line for each beat")
		return nil
	}
	for _, n := range lines {
		if len(n.Value) > 200 {
			r.fail(n, quote(n.Value)+" is too long a line of dynamics", "write one mark for each slot")
			return nil
		}
		marks, err := click.ParseMarks(n.Value)
		if err != nil {
			r.fault(n, err)
			return nil
		}
		s.Accents = append(s.Accents, marks)
	}
	if len(s.Accents) == 0 {
		r.fail(p.val, "there are no marks in dynamics", "write dynamics: f p p p, or leave the key out")
	}
	return lines
}

// spread complains of [f, p, p, p] where it was meant as the marks of a beat.
func (r *reader) spread(s *ladder.Step, list *yaml.Node) bool {
	if n := s.Slots.Count(); n == 1 || len(list.Content) != n {
		return false
	}
	marks := make([]string, len(list.Content))
	for i, n := range list.Content {
		if _, err := click.ParseDynamics(strings.TrimSpace(n.Value)); err != nil {
			return false
		}
		marks[i] = strings.TrimSpace(n.Value)
	}
	r.fail(list, "a list in dynamics holds a line for each beat", "write the marks of a beat without commas: dynamics: "+strings.Join(marks, " "))
	return true
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

func (r *reader) speak(keys pairs) {
	p, there := keys["speak"]
	speak := false
	if there && read(r, keys, "speak", parseBool, &speak) && speak {
		r.fail(p.val, "syllables cannot be spoken yet", "write speak: false, or leave the key out (count shows them)")
	}
}

func (r *reader) chunk(s *ladder.Step, keys pairs) {
	c := &s.Chunk
	at := place{bar: s.Passage.From}
	read(r, keys, "start", parseStart, &at)
	c.Bar, c.At = at.bar, at.at
	c.Length = impliedLength(*s)
	read(r, keys, "beats", parseLength, &c.Length)
	read(r, keys, "landing", parseBool, &c.Landing)
}

// impliedLength is the length of a chunk that is not written: from its start
// to the end of that bar.
func impliedLength(s ladder.Step) click.Beats {
	bar, err := s.Bar()
	if err != nil {
		return click.Whole(1)
	}
	if rest := click.Whole(bar.Beats).Sub(s.Chunk.At); rest.Sign() > 0 {
		return rest
	}
	return click.Whole(1)
}
