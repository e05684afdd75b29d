package routine

import (
	"fmt"
	"strings"

	"footing/audio/click"
	"footing/ladder"
)

// planKey is the chunks of a step's plan.
var planKey = key{
	name: "plan", example: "18:2 1/2 the two notes", otherwise: "the chunk alone",
	list: &list{
		part: "; ", things: "chunks", item: "chunk", each: fmt.Sprintf("%d at most", ladder.MaxCuts),
		want:  "a place and its beats such as {start: \"18:2\", beats: 1/2, why: slip}",
		inner: []word{{"start", `"18:2"`}, {"beats", "1/2"}, {"why", "slip"}}, must: 2,
		join: func(cells []string) string { return strings.TrimSpace(strings.Join(cells, " ")) }, split: splitCut,
		wrong: func(s ladder.Step) int {
			m, err := s.Measures()
			if err != nil {
				return -1
			}
			return s.WrongCut(m)
		},
	},
	get: func(s ladder.Step) string {
		lines := make([]string, len(s.Plan))
		for i, c := range s.Plan {
			lines[i] = strings.TrimSpace(click.FormatPlace(c.Bar, c.At) + " " + c.Length.String() + " " + c.Why)
		}
		return strings.Join(lines, "\n")
	},
	set: func(s *ladder.Step, line string) error {
		cut, err := parseCut(splitCut(line))
		if err == nil {
			s.Plan = append(s.Plan, cut)
		}
		return err
	},
	imply: func(s *ladder.Step) { s.Plan = nil },
}

// splitCut takes the line of a chunk of a plan apart: its start, beats, and why.
func splitCut(line string) []string {
	start, rest, _ := strings.Cut(line, " ")
	beats, why, _ := strings.Cut(strings.TrimSpace(rest), " ")
	return []string{start, beats, strings.TrimSpace(why)}
}

// parseCut reads a chunk of a plan.
func parseCut(cells []string) (ladder.Cut, error) {
	at, err := parseStart(cells[0])
	if err != nil {
		return ladder.Cut{}, err
	}
	length, err := parseLength(cells[1])
	return ladder.Cut{Bar: at.bar, At: at.at, Length: length, Why: cells[2]}, err
}
