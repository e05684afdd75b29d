package hearing

import (
	"fmt"
	"strings"

	"footing/audio/judge"
)

// searchSentence says in plain words what grid was found in so many notes, and
// what it could be as well.
func searchSentence(f judge.Finding, notes int, hint judge.Hint) string {
	switch f.Search {
	case judge.NoNotes:
		return "No note was heard, so there is no grid to find."
	case judge.TooFewNotes:
		return fmt.Sprintf("%s heard: too few to find the tempo in. Give the tempo.",
			capital(things(notes, "note was", "notes were")))
	case judge.NoPace:
		return "The notes keep no steady pace that could be found. Give the tempo."
	}
	grid := gridAsked(f.Candidates[0].Grid)
	switch {
	case f.Otherwise():
		return fmt.Sprintf("You said %s; what was played is %s, and it is heard at that.", gridAsked(f.Told), grid)
	case f.Search == judge.Given:
		return fmt.Sprintf("Set against %s.", grid)
	case !f.Ambiguous():
		return fmt.Sprintf("Found %s%s.", grid, otherBeat(f))
	}
	var others []string
	for _, c := range f.Rivals {
		others = append(others, gridAsked(c.Grid))
	}
	return fmt.Sprintf("I take it as %s, but it could as well be %s. Give the tempo to be sure.",
		grid, strings.Join(others, ", or "))
}

// assumed says what was taken for granted of the grid of a take.
func assumed(g judge.Grid, hint judge.Hint) string {
	figure := g.Cycle > 0 && hint.Cycle == 0
	of := things(g.Cycle, "slot", "slots")
	switch {
	case figure && hint.FirstKnown:
		return fmt.Sprintf("What is played over and over is taken to be %s.", of)
	case figure:
		return fmt.Sprintf("What is played over and over is taken to be %s, from the first note on.", of)
	case !hint.FirstKnown:
		return "The first note is taken to be on the beat."
	}
	return ""
}

// otherBeat says what the tempo is where the found slots are taken twice or half as
// many to a beat, which nobody hears in the notes; empty where it is none that is
// played.
func otherBeat(f judge.Finding) string {
	g := f.Candidates[0].Grid
	for _, c := range f.Candidates[1:] {
		if n := c.Grid.SlotsPerBeat; 2*n == g.SlotsPerBeat || n == 2*g.SlotsPerBeat {
			return fmt.Sprintf(" (%s bpm, if they are %s a beat)", tenths(c.Grid.BPM), count(n))
		}
	}
	return ""
}

// gridAsked is a grid as it is asked for: "72 bpm, four notes a beat".
func gridAsked(g judge.Grid) string {
	notes := "one note a beat"
	if g.SlotsPerBeat != 1 {
		notes = count(g.SlotsPerBeat) + " notes a beat"
	}
	return fmt.Sprintf("%s bpm, %s", tenths(g.BPM), notes)
}
