package routine

import (
	"strings"

	"footing/audio/click"
	"footing/ladder"
)

// marksKey is the marks on a step's notes.
var marksKey = key{
	name: "marks", example: "18:3+1/4 [fA] flick", also: "marks parted by ;",
	list: &list{
		part: "; ", things: "marks", item: "mark", each: "500 at most",
		want:  "a note's place and a text such as {at: \"18:3+1/4\", text: flick}",
		inner: []word{{"at", `"18:3+1/4"`}, {"text", "flick"}, {"finger", "fA"}}, must: 1,
		join: joinMark, split: splitMark,
		wrong: func(s ladder.Step) int {
			m, err := s.Measures()
			if err != nil {
				return -1
			}
			return s.Notes.WrongMark(m)
		},
	},
	get: func(s ladder.Step) string {
		lines := make([]string, len(s.Notes.Marks))
		for i, m := range s.Notes.Marks {
			lines[i] = joinMark([]string{click.FormatPlace(m.Bar, m.At), m.Text, m.Finger})
		}
		return strings.Join(lines, "\n")
	},
	set: func(s *ladder.Step, line string) error {
		cells := splitMark(line)
		at, err := parseStart(cells[0])
		if err == nil {
			s.Notes.Marks = append(s.Notes.Marks, ladder.NoteMark{Bar: at.bar, At: at.at, Text: cells[1], Finger: cells[2]})
		}
		return err
	},
	imply: func(s *ladder.Step) { s.Notes.Marks = nil },
}

// joinMark writes a mark on one line: "18:3+1/4 [fA] flick".
func joinMark(cells []string) string {
	at, text, finger := cells[0], cells[1], cells[2]
	if finger != "" {
		at += " [" + finger + "]"
	}
	if text != "" {
		at += " " + text
	}
	return at
}

// splitMark takes a mark's line apart: its place, text and finger.
func splitMark(line string) []string {
	at, text, _ := strings.Cut(line, " ")
	finger := ""
	if inner, bracket := strings.CutPrefix(strings.TrimSpace(text), "["); bracket {
		if name, rest, closed := strings.Cut(inner, "]"); closed {
			finger, text = name, rest
		}
	}
	return []string{at, strings.TrimSpace(text), strings.TrimSpace(finger)}
}
