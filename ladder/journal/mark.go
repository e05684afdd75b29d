package journal

import (
	"slices"
	"strings"
	"time"

	"footing/audio/click"
	"footing/ladder"
)

// Marks are the pencil marks that a step has got since it was as before: on the
// step as a whole, then on its notes, in their order. One that was rubbed out has no
// text.
func Marks(p Place, before, after ladder.Step, at time.Time) []Mark {
	var out []Mark
	if after.Pencil != before.Pencil {
		out = append(out, Mark{Place: p, At: at, Text: after.Pencil})
	}
	has := func(marks []ladder.NoteMark, m ladder.NoteMark) bool {
		return slices.ContainsFunc(marks, func(o ladder.NoteMark) bool { return o.Bar == m.Bar && o.At == m.At })
	}
	for _, m := range after.Notes.Marks {
		if !slices.Contains(before.Notes.Marks, m) {
			out = append(out, Mark{Place: p, At: at, On: click.FormatPlace(m.Bar, m.At), Text: strings.TrimSpace(m.Text + " " + m.Finger)})
		}
	}
	for _, m := range before.Notes.Marks {
		if !has(after.Notes.Marks, m) {
			out = append(out, Mark{Place: p, At: at, On: click.FormatPlace(m.Bar, m.At)})
		}
	}
	return out
}
