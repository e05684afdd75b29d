// Package fingering fingers the notes of a step: it says how long they are and what
// the player has pinned to whoever chooses, turns choices into marks, and hard
// changes into chunks. Pure.
package fingering

import (
	"slices"
	"strings"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/fingers"
	"footing/ladder/notes"
)

// Fingered is a step's passage with its fingerings. It is not written to once it is
// made.
type Fingered struct {
	*fingers.Choice
	// At is of each note of the choice its index in [notes.Notes.All]: of a chord only
	// the first note is fingered.
	At []int
	// Changes are those of the choice.
	Changes []fingers.Change

	notes *notes.Notes
	asked []fingers.Note
}

// Of fingers the notes of a step, which must be the one that they were found for but
// for its chunk and its marks. A note is as long as it is at the goal's tempo. A mark
// pins a note with its finger, or with a text that is R or L alone.
func Of(n *notes.Notes, s ladder.Step, c *fingers.Chart) *Fingered {
	out := &Fingered{notes: n}
	pins := map[click.Beats]string{}
	for _, m := range s.Notes.Marks {
		if measures, err := s.Measures(); err == nil {
			pins[measures.Place(m.Bar, m.At)] = pinOf(m)
		}
	}
	end := click.Beats{}
	for i, note := range n.All {
		if len(out.At) > 0 && n.All[out.At[len(out.At)-1]].From == note.From {
			continue
		}
		out.asked = append(out.asked, fingers.Note{
			Pitch: note.Pitch, Pin: pins[note.From],
			Long:  seconds(note.To.Sub(note.From), s) >= fingers.Long,
			Apart: len(out.At) > 0 && seconds(note.From.Sub(end), s) >= fingers.Rest,
		})
		out.At = append(out.At, i)
		end = note.To
	}
	out.Choice = c.Choose(out.asked, false)
	out.Changes = out.Choice.Changes()
	return out
}

func seconds(length click.Beats, s ladder.Step) float64 {
	return length.Float() * 60 / s.Tempo.Goal.BPM()
}

// pinOf is the fingering that a mark names.
func pinOf(m ladder.NoteMark) string {
	if m.Finger == "" && (strings.EqualFold(m.Text, "L") || strings.EqualFold(m.Text, "R")) {
		return m.Text
	}
	return m.Finger
}

// Asked are the notes as they were given to the choice.
func (f *Fingered) Asked() []fingers.Note { return slices.Clone(f.asked) }

// Note is a note of the passage, by its index in [notes.Notes.All], as it is
// fingered; false for one that is not.
func (f *Fingered) Note(all int) (fingers.Chosen, bool) {
	i, ok := slices.BinarySearch(f.At, all)
	if !ok || f.Notes[i].Fingering == nil {
		return fingers.Chosen{}, false
	}
	return f.Notes[i], true
}

// Into is the change that leads to a note, by its index in [notes.Notes.All].
func (f *Fingered) Into(all int) (fingers.Change, bool) {
	for _, c := range f.Changes {
		if f.At[c.To] == all {
			return c, true
		}
	}
	return fingers.Change{}, false
}

// Next is the choice that follows the one that a note has now, in the order of the
// chart, as the name for a mark; empty for the program's own, after the last. False
// where there is nothing to choose.
func (f *Fingered) Next(all int) (name string, ok bool) {
	i, found := slices.BinarySearch(f.At, all)
	if !found {
		return "", false
	}
	names := Choices(f.Chart, f.asked[i])
	if len(names) < 2 {
		return "", false
	}
	// What would be chosen were the note not pinned.
	free := slices.Clone(f.asked)
	free[i].Pin = ""
	own, now := f.named(f.Chart.Choose(free, false).Notes[i]), f.named(f.Notes[i])
	next := names[(slices.Index(names, now)+1)%len(names)]
	if next == own {
		next = ""
	}
	return next, true
}

// Choices are the names of a note's choices: one for all that sound with the same
// keys.
func Choices(c *fingers.Chart, n fingers.Note) []string {
	var out []string
	rows := c.Of(n.Pitch)
	for i := range rows {
		if !slices.ContainsFunc(rows[:i], func(r fingers.Fingering) bool { return r.Alike(&rows[i]) }) {
			out = append(out, plainName(rows[i].Name))
		}
	}
	return out
}

// named is the choice that a note is fingered with.
func (f *Fingered) named(n fingers.Chosen) string {
	for _, row := range f.Chart.Of(n.Pitch) {
		if n.Fingering != nil && row.Alike(n.Fingering) {
			return plainName(row.Name)
		}
	}
	return ""
}

// plain is what a note is fingered with, without what is only held.
func plain(n fingers.Chosen) string {
	if n.Fingering == nil {
		return ""
	}
	return plainName(n.Fingering.Name)
}

func plainName(name string) string {
	name, _, _ = strings.Cut(name, "+")
	return name
}

// Pin is the step with a note, by its index in [notes.Notes.All], marked with a
// fingering; with an empty name the mark's fingering goes, and the mark with it where
// it says nothing else. A text that is R or L alone gives way to it.
func (f *Fingered) Pin(s ladder.Step, all int, name string) ladder.Step {
	m, err := s.Measures()
	if err != nil || all < 0 || all >= len(f.notes.All) {
		return s
	}
	bar, at := m.Where(f.notes.All[all].From)
	marks := slices.Clone(s.Notes.Marks)
	i := slices.IndexFunc(marks, func(m ladder.NoteMark) bool { return m.Bar == bar && m.At == at })
	switch {
	case i < 0 && name == "":
		return s
	case i < 0:
		marks = append(marks, ladder.NoteMark{Bar: bar, At: at, Finger: name})
	default:
		if pinOf(marks[i]) == marks[i].Text {
			marks[i].Text = ""
		}
		if marks[i].Finger = name; name == "" && marks[i].Text == "" {
			marks = slices.Delete(marks, i, i+1)
		}
	}
	if s.Notes.Marks = marks; len(marks) == 0 {
		s.Notes.Marks = nil
	}
	return s
}
