package begin

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"footing/ladder"
	"footing/ladder/nearest"
	"footing/ladder/notes"
	"footing/ladder/passage/instrument"
	"footing/ladder/passage/pattern"
)

// Recipe is a pattern as a player says it, and what it is played on.
type Recipe struct {
	Words pattern.Words
	// Instrument is the one that is named, or the player's own.
	Instrument ladder.Instrument
}

// values are the note values under a quarter, by how many of them fill it.
var values = map[string]int{"eighths": 2, "triplets": 3, "sixteenths": 4, "sextuplets": 6}

// Hints are lines on what a recipe can hold.
func Hints() []string {
	return []string{
		"A key, then in any order, parted by commas:",
		"a figure: " + strings.Join(pattern.FigureNames(), ", ") + "; each with up or down behind it",
		"eighths, triplets, sixteenths or sextuplets; " + strings.Join(pattern.ArticulationNames(), ", "),
		"my range, a range such as E3-C6, 2 octaves, from E4; an instrument",
	}
}

// Parse reads "E flat major in thirds, sixteenths, slurred in twos, my range". own
// is what the player plays where no instrument is named. The error has the form
// "what; what would be right".
func Parse(text string, own ladder.Instrument) (Recipe, error) {
	parts := strings.Split(text, ",")
	key, figure, in := strings.Cut(parts[0], " in ")
	r := Recipe{Words: pattern.Words{Key: strings.Join(strings.Fields(key), " ")}, Instrument: own}
	if r.Words.Key == "" {
		return Recipe{}, fmt.Errorf("there is no key; write one such as E flat major")
	}
	items := parts[1:]
	if in && !strings.HasSuffix(key, "(") {
		items = append([]string{figure}, items...)
	} else if in {
		r.Words.Key = strings.Join(strings.Fields(parts[0]), " ") // a chord (in its key)
	}
	mine := false
	for _, item := range items {
		item = strings.Join(strings.Fields(item), " ")
		if item == "" {
			continue // a comma was typed, and what follows is not there yet
		}
		if item == "my range" {
			mine = true
		} else if !r.take(item) {
			return Recipe{}, unknownItem(item)
		}
	}
	if mine && r.Words.Range == "" && (notes.Instrument(ladder.Step{Notes: ladder.Notes{Instrument: r.Instrument}}).Range == pattern.Range{}) {
		return Recipe{}, fmt.Errorf("your range is not known, as the routine names no instrument; write one such as bassoon, or a range such as E3-C6")
	}
	if _, err := pattern.Parse(r.Words); err != nil {
		return Recipe{}, err
	}
	return r, nil
}

// take takes one item; false where it is none that is known.
func (r *Recipe) take(item string) bool {
	plain := strings.TrimPrefix(strings.ToLower(item), "in ")
	if n := values[plain]; n > 0 {
		r.Words.Group = n
		return true
	}
	if n, ok := octaves(plain); ok {
		r.Words.Octaves = n
		return true
	}
	if _, err := pattern.ParseRange(item); err == nil {
		r.Words.Range = item
		return true
	}
	if from, ok := strings.CutPrefix(item, "from "); ok {
		r.Words.From = from
		return true
	}
	if _, err := pattern.ParseArticulation(item); err == nil {
		r.Words.Articulation = item
		return true
	}
	if f, err := pattern.ParseFigure(item); err == nil {
		r.Words.Figure = f.String()
		return true
	}
	if i, ok := instrument.Named(item); ok {
		r.Instrument = ladder.Instrument{Name: i.Name}
		return true
	}
	return false
}

// octaves reads "2 octaves" or "one octave".
func octaves(s string) (int, bool) {
	count, ok := strings.CutSuffix(s, " octaves")
	if !ok {
		if count, ok = strings.CutSuffix(s, " octave"); !ok {
			return 0, false
		}
	}
	if i := slices.Index([]string{"one", "two", "three", "four"}, count); i >= 0 {
		return i + 1, true
	}
	n, err := strconv.Atoi(count)
	return n, err == nil && n >= 1 && n <= pattern.MaxOctaves
}

// unknownItem is the error for an item that is not known.
func unknownItem(item string) error {
	if _, err := pattern.ParseRange(item); strings.Contains(item, "-") && strings.ContainsAny(item, "0123456789") {
		return err
	}
	known := slices.Concat(pattern.FigureNames(), pattern.ArticulationNames(), instrument.Names(),
		[]string{"eighths", "triplets", "sixteenths", "sextuplets", "my range", "2 octaves"})
	want := "write thirds, sixteenths, slurred in twos or a range such as E3-C6"
	if near, ok := nearest.Word(strings.ToLower(item), known); ok {
		want = fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Errorf("%.40q is neither figure, note value, articulation, range nor instrument; %s", item, want)
}

// Step is the step of a recipe in a routine, whose instrument is written in the
// step only where the recipe has another. The error is one sentence.
func (r Recipe) Step(in ladder.Routine) (ladder.Step, error) {
	s, err := Pattern(r.Words, r.Instrument)
	if err == nil && r.Instrument != in.Instrument {
		s.Notes.Instrument = r.Instrument
	}
	return s, err
}
