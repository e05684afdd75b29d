package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"footing/ladder/fingers"
)

// fingeredListing is a passage with its fingerings in JSON.
type fingeredListing struct {
	Step       string                `json:"step,omitempty"`
	Instrument string                `json:"instrument"`
	Notes      []fingeredNoteListing `json:"notes"`
	Changes    []fingerChangeListing `json:"changes"`
}

// fingeredNoteListing is a note: keys and use are empty where the chart has no row.
// A note on which one finger takes another's place has both, with " > " between.
type fingeredNoteListing struct {
	Note   string `json:"note"`
	Keys   string `json:"keys"`
	Use    string `json:"use"`
	Side   string `json:"side"`
	Either bool   `json:"either"`
}

type fingerChangeListing struct {
	From    string   `json:"from"`
	To      string   `json:"to"`
	Cost    float64  `json:"cost"` // 1 is one finger alone
	Reasons []string `json:"reasons"`
}

func (f fingered) listed() fingeredListing {
	out := fingeredListing{Step: f.name, Instrument: f.Chart.Instrument, Notes: []fingeredNoteListing{}, Changes: []fingerChangeListing{}}
	for _, n := range f.Choice.Notes {
		out.Notes = append(out.Notes, fingeredNoteListing{n.Pitch.String(), keysOf(n), useOf(n), n.Side(), n.Either()})
	}
	for _, c := range f.changes {
		out.Changes = append(out.Changes, fingerChangeListing{
			f.Choice.Notes[c.From].Pitch.String(), f.Choice.Notes[c.To].Pitch.String(), math.Round(c.Cost*100) / 100, c.Reasons,
		})
	}
	return out
}

func keysOf(n fingers.Chosen) string {
	return joined(n, func(f *fingers.Fingering) string { return strings.Join(f.Keys, " ") })
}

func useOf(n fingers.Chosen) string {
	return joined(n, func(f *fingers.Fingering) string { return f.Use })
}

func joined(n fingers.Chosen, of func(*fingers.Fingering) string) string {
	switch {
	case n.Fingering == nil:
		return ""
	case n.Then != nil:
		return of(n.Fingering) + " > " + of(n.Then)
	}
	return of(n.Fingering)
}

// hardest is how many changes are told of.
const hardest = 8

// write writes a table of the notes, the hardest changes and what may stay down.
func (f fingered) write(out io.Writer) error {
	title := f.Chart.Title
	if title == "" {
		title = f.Chart.Instrument
	}
	if f.name != "" {
		title = f.name + ": " + title
	}
	fmt.Fprintln(out, title)
	wide := [3]int{4, 4, 4}
	for _, n := range f.Choice.Notes {
		for i, text := range []string{n.Pitch.String(), keysOf(n), useOf(n)} {
			wide[i] = max(wide[i], len([]rune(text)))
		}
	}
	for _, n := range f.Choice.Notes {
		if n.Fingering == nil {
			fmt.Fprintf(out, "  %-*s  not judged: %s\n", wide[0], n.Pitch, f.Chart.Reach(n.Pitch))
			continue
		}
		line := fmt.Sprintf("  %-*s  %-3s  %-*s  %-*s  %s", wide[0], n.Pitch, n.Side(), wide[1], keysOf(n), wide[2], useOf(n), strings.Join(f.remarks(n), "; "))
		fmt.Fprintln(out, strings.TrimRight(line, " "))
	}
	if ranked := fingers.Hardest(f.changes); len(ranked) > 0 {
		fmt.Fprintln(out, "changes, the hardest first (1 is one finger alone):")
		for _, c := range ranked[:min(len(ranked), hardest)] {
			fmt.Fprintf(out, "  %4.1f  %s to %s: %s\n", c.Cost, f.Choice.Notes[c.From].Pitch, f.Choice.Notes[c.To].Pitch, c.Sentence())
		}
		if more := len(ranked) - hardest; more > 0 {
			fmt.Fprintf(out, "  and %d more\n", more)
		}
	}
	for i, h := range f.Holds() {
		if i == 0 {
			fmt.Fprintln(out, "may stay down:")
		}
		fmt.Fprintf(out, "  %s %s, from %s to %s\n", h.Key.ID, keyName(h.Key), f.Choice.Notes[h.From].Pitch, f.Choice.Notes[h.To].Pitch)
	}
	_, err := fmt.Fprintln(out, "Hands differ, and a teacher's word comes first. Stretching and pain are reasons to stop.")
	return err
}

func keyName(k fingers.Key) string {
	if k.Name == "" {
		return ""
	}
	return "(" + k.Name + ")"
}

// remarks are what is to be said of a note's fingering.
func (f fingered) remarks(n fingers.Chosen) []string {
	var out []string
	if n.Pinned {
		out = append(out, "your choice")
	}
	if n.Either() {
		out = append(out, "or "+n.Other.Use)
	}
	if n.Fingering.Flick != "" {
		out = append(out, "flick "+n.Fingering.Flick)
	}
	switch n.Fingering.Sure {
	case fingers.FromMemory:
		out = append(out, "from memory, no source")
	case fingers.Own:
		out = append(out, "from your own file")
	}
	if n.Fingering.Remark != "" {
		out = append(out, n.Fingering.Remark)
	}
	if n.Pitch.Cents() > f.Chart.UsualTop.Cents() {
		out = append(out, f.Chart.Reach(n.Pitch))
	}
	return out
}
