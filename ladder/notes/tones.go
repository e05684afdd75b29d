package notes

import (
	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
)

// Tones are the notes that begin in the step's chunk, and that of its landing, as
// a model sounds them in a rep of the step: one after the other, the highest of a
// chord; slurs, tenuto and staccato as marked, grace notes before their beat, all as
// the step's angle takes them. They sound as they are transposed, or, with written,
// at the pitch that is read. The step may differ from the one that the notes were
// found for as in [Notes.Chunk], and in its angle.
func (n *Notes) Tones(s ladder.Step, rep click.Phrase, written bool) []click.Tone {
	slurred := n.slurred()
	var out []click.Tone
	for _, turn := range n.Turns(s) {
		note := n.All[turn.Note]
		tone := click.Tone{
			At: turn.At, Length: turn.Length, Pitch: pitch(note.Pitch, note.Sounds, written),
			Slurred: slurred[note.First] && !turn.Tongued || turn.Slurred, Touch: n.touch(note), Level: 1,
		}
		switch last := len(out) - 1; {
		case last >= 0 && out[last].At == tone.At:
			if tone.Pitch > out[last].Pitch {
				out[last] = tone
			}
			continue
		case last >= 0:
			out = n.graces(out, note, tone.At, slurred, rep.Tempo, written)
		}
		out = append(out, tone)
	}
	return out
}

// graces appends the grace notes before a note at a place, and cuts the tone before
// them short. Those of the first note would sound before the rep, and are left out.
func (n *Notes) graces(out []click.Tone, note Note, at click.Beats, slurred []bool, t click.Tempo, written bool) []click.Tone {
	first := note.First
	var graces []int
	for first > 0 && n.Line.Notes[first-1].Grace != passage.NoGrace {
		if first--; !n.Line.Notes[first].Chord {
			graces = append([]int{first}, graces...)
		}
	}
	last := &out[len(out)-1]
	places := click.Graces(last.At, at, len(graces), t)
	for k, place := range places {
		if room := place.Sub(last.At); k == 0 && room.Less(last.Length) {
			last.Length = room
		}
		end := at
		if k+1 < len(places) {
			end = places[k+1]
		}
		grace := n.Line.Notes[graces[k]]
		out = append(out, click.Tone{
			At: place, Length: end.Sub(place), Pitch: pitch(grace.Pitch, grace.Sounds, written),
			Slurred: slurred[graces[k]], Touch: click.Tenuto, Level: 1,
		})
	}
	return out
}

func pitch(read, sounds passage.Pitch, written bool) click.Cents {
	if written {
		return click.Cents(read.Cents())
	}
	return click.Cents(sounds.Cents())
}

// slurred says of each note of the line whether a slur leads to it.
func (n *Notes) slurred() []bool {
	out := make([]bool, len(n.Line.Notes))
	open := map[int]bool{}
	for i, note := range n.Line.Notes {
		out[i] = len(open) > 0
		// A slur may end and another begin on one note, under one number.
		for _, edge := range []passage.Edge{passage.Stop, passage.Start} {
			for _, m := range note.Marks {
				switch {
				case m.Name != passage.MarkSlur || m.Edge != edge:
				case edge == passage.Stop:
					delete(open, m.Number)
				default:
					open[m.Number] = true
				}
			}
		}
	}
	return out
}

// touch is how long a note sounds by its marks.
func (n *Notes) touch(note Note) click.Touch {
	switch l := n.Line.Notes[note.Last]; {
	case l.Marked(passage.MarkStaccato):
		return click.Staccato
	case l.Marked(passage.MarkTenuto):
		return click.Tenuto
	}
	return click.Plain
}

// Alike reports whether two steps have the same notes: on its way up the ladder,
// and by edits of its chunk, a step changes and these stay.
func Alike(a, b ladder.Step) bool {
	return a.Name == b.Name && a.Passage == b.Passage &&
		a.Notes.Score == b.Notes.Score && a.Notes.Typed == b.Notes.Typed && a.Notes.Pattern == b.Notes.Pattern
}
