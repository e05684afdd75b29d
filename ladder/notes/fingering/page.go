package fingering

import (
	"slices"
	"strings"

	"footing/ladder/fingers"
)

// Label is a few letters to stand over a note, by its index in [notes.Notes.All]: the
// hand of the little finger, or the word for a fingering that is not the usual one.
// It is empty where there is no choice, or none that matters, and where the player
// has written one.
func (f *Fingered) Label(all int) string {
	i, ok := slices.BinarySearch(f.At, all)
	if !ok {
		return ""
	}
	n := f.Notes[i]
	switch {
	case n.Fingering == nil:
		return ""
	case n.Then != nil && !n.Pinned:
		return n.Side()
	case n.Matters() && short(n, f.Chart) != "":
		return short(n, f.Chart)
	case n.Fingering.Flick != "" && f.leaps(i):
		return "flick"
	}
	return ""
}

// leap is how far up, in cents, a slurred leap goes that wants a flick: more than a
// step. Common practice, no source.
const leap = 300

// leaps reports whether a note is reached by a leap up from one that is not flicked.
func (f *Fingered) leaps(i int) bool {
	if i == 0 || f.Notes[i].Apart || f.Notes[i-1].Fingering == nil {
		return false
	}
	return f.Notes[i-1].Fingering.Flick == "" && f.Notes[i].Pitch.Cents()-f.Notes[i-1].Pitch.Cents() >= leap
}

// short is a fingering in a few letters: its hand where both hands could, else the
// first word of its name, unless it is the usual one of its note.
func short(n fingers.Chosen, c *fingers.Chart) string {
	if name := plain(n); name == "L" || name == "R" {
		return name
	}
	rows := c.Of(n.Pitch)
	if plainName(rows[0].Name) == plain(n) {
		return ""
	}
	word := plain(n)
	if !strings.HasPrefix(word, "1-") {
		word, _, _ = strings.Cut(word, "-")
	} else if len(word) > 3 {
		word = word[:3] // "1-1"
	}
	const most = 6
	if r := []rune(word); len(r) > most {
		word = string(r[:most-1]) + "."
	}
	return word
}

// Arch is a hard change to be shown over the notes.
type Arch struct {
	From, To int // by their indexes in [notes.Notes.All]
	Strong   bool
}

// Arches are the changes that are hard by themselves and among the hardest of the
// passage: at most a quarter of them, so that they say something.
func (f *Fingered) Arches() []Arch {
	ranked := fingers.Hardest(f.Changes)
	if len(ranked) == 0 {
		return nil
	}
	least := fingers.Hard
	if next := max(1, (len(ranked)+3)/4); next < len(ranked) && ranked[next].Cost >= least {
		least = ranked[next].Cost + 0.01 // those that are just as hard are left out together
	}
	var out []Arch
	for _, c := range f.Changes {
		if c.Cost >= least {
			out = append(out, Arch{f.At[c.From], f.At[c.To], c.Cost >= fingers.VeryHard})
		}
	}
	return out
}

// Told is what is to be said of a note's fingering: its use, whose choice it is, what
// else would do, and how sure the chart is.
func Told(n fingers.Chosen, c *fingers.Chart) string {
	if n.Fingering == nil {
		return "not judged: " + c.Reach(n.Pitch)
	}
	out := n.Fingering.Use
	if n.Then != nil {
		out += ", then " + n.Then.Use + " while it sounds"
	}
	if n.Pinned {
		out += ", your choice"
	}
	if n.Either() {
		out += ", or as well " + n.Other.Use
	}
	if n.Fingering.Flick != "" {
		out += ", flick " + n.Fingering.Flick
	}
	switch n.Fingering.Sure {
	case fingers.FromMemory:
		out += " (from memory, no source)"
	case fingers.Own:
		out += " (from your file)"
	}
	if strings.HasPrefix(n.Fingering.Remark, "disputed") {
		out += " (disputed)"
	}
	return out
}
