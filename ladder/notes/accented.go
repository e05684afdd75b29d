package notes

import (
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
)

// Accented is a rep of the step with the accents of its notes, as the step says which: they
// are f, and what else was f is mf. An accent that lies between the slots is struck there
// too, unless the pulse alone sounds; what is silent stays so. All as the step's angle
// takes it, and one that has accents of its own keeps them. The rep's strokes are left as
// they are.
func (n *Notes) Accented(s ladder.Step, rep click.Phrase) click.Phrase {
	if s.Accented == ladder.AccentedOff || slices.ContainsFunc(s.Loop().Path.Cells, func(c click.Cell) bool { return c.Accent }) {
		return rep
	}
	strokes := slices.Clone(rep.Strokes)
	for i := range strokes {
		stroke := &strokes[i]
		if stroke.Part != click.InChunk && stroke.Part != click.InLanding {
			continue
		}
		if stroke.Dynamics == click.Forte {
			stroke.Dynamics, stroke.Voice = click.MezzoForte, click.BeatVoice
		}
		if stroke.Meant == click.Forte {
			stroke.Meant, stroke.Voice = click.MezzoForte, click.BeatVoice
		}
	}
	for _, at := range n.accents(s) {
		i, found := slices.BinarySearchFunc(strokes, at, func(s click.Stroke, at click.Beats) int { return s.At.Cmp(at) })
		switch {
		case !found && (i == 0 || s.Pulse == click.Halved || s.Pulse == click.Offbeat):
			continue
		case !found:
			strokes = slices.Insert(strokes, i, between(strokes[i-1], at))
		}
		stroke := &strokes[i]
		if stroke.Dynamics != click.Silent {
			stroke.Dynamics, stroke.Voice = click.Forte, click.AccentVoice
		}
		if stroke.Meant != click.Silent {
			stroke.Meant, stroke.Voice = click.Forte, click.AccentVoice
		}
	}
	rep.Strokes = strokes
	return rep
}

// between is a stroke at a place on which none stands, after another: p, and hushed as
// that is.
func between(before click.Stroke, at click.Beats) click.Stroke {
	out := click.Stroke{
		At: at, Bar: before.Bar, Beat: before.Beat, Slot: -1, Part: before.Part, Cell: before.Cell,
		Dynamics: click.Piano, Hushed: before.Hushed,
	}
	if out.Cell != 0 {
		out.Cell = click.Between
	}
	if out.Hushed {
		if out.Dynamics = click.Silent; before.Meant != click.Silent {
			out.Meant = click.Piano
		}
	}
	return out
}

// accents are the places in a rep of the step of the notes that are accented.
func (n *Notes) accents(s ladder.Step) []click.Beats {
	turns, slurred := n.Turns(s), n.slurred()
	into := func(t Turn) bool { return slurred[n.All[t.Note].First] && !t.Tongued || t.Slurred }
	// bound says whether the note after a turn is slurred to it; of a chord that is the
	// next one that begins later.
	bound := func(i int) bool {
		for k := i + 1; k < len(turns); k++ {
			if turns[k].At != turns[i].At {
				return into(turns[k])
			}
		}
		for _, note := range n.All[turns[i].Note+1:] {
			if note.From != n.All[turns[i].Note].From {
				return slurred[note.First]
			}
		}
		return false
	}
	var out []click.Beats
	for i, turn := range turns {
		begins := s.Accented.Slurs() && !into(turn) && bound(i)
		marked := s.Accented.Written() && n.marked(turn.Note)
		if (begins || marked) && !slices.Contains(out, turn.At) {
			out = append(out, turn.At)
		}
	}
	return out
}

// marked reports whether a note has an accent mark.
func (n *Notes) marked(note int) bool {
	l := n.Line.Notes[n.All[note].First]
	return l.Marked(passage.MarkAccent) || l.Marked(passage.MarkMarcato)
}
