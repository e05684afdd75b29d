package passage

import (
	"cmp"
	"slices"
)

// Line is what one player reads from one staff: a voice of a part.
type Line struct {
	Part  *Part
	Voice string
	Staff int
	Notes []Note // in the order of time; a chord's notes follow each other
}

// Lines are the lines of a part, the one with most notes first: the one to
// offer. Rests do not count, and lines of rests come last.
func (p *Part) Lines() []Line {
	type key struct {
		voice string
		staff int
	}
	var lines []Line
	sounding := map[key]int{}
	where := map[key]int{}
	for _, n := range p.Notes {
		k := key{n.Voice, n.OnStaff()}
		i, known := where[k]
		if !known {
			i = len(lines)
			where[k] = i
			lines = append(lines, Line{Part: p, Voice: n.Voice, Staff: n.OnStaff()})
		}
		lines[i].Notes = append(lines[i].Notes, n)
		if n.Kind != Rest && !n.Cue {
			sounding[k]++
		}
	}
	for _, l := range lines {
		slices.SortStableFunc(l.Notes, func(a, b Note) int {
			return cmp.Or(cmp.Compare(a.Bar, b.Bar), a.At.Cmp(b.At))
		})
	}
	slices.SortStableFunc(lines, func(a, b Line) int {
		return sounding[key{b.Voice, b.Staff}] - sounding[key{a.Voice, a.Staff}]
	})
	return lines
}

// Between are the line's notes of the bars from first to last, both included,
// by index.
func (l Line) Between(first, last int) []Note {
	from, _ := slices.BinarySearchFunc(l.Notes, first, func(n Note, bar int) int { return n.Bar - bar })
	to, _ := slices.BinarySearchFunc(l.Notes, last+1, func(n Note, bar int) int { return n.Bar - bar })
	return l.Notes[from:max(from, to)]
}

// InForce is what holds at a place of a part.
type InForce struct {
	Meter     Meter
	Key       Key
	Clef      Clef // G on line 2 where the score has none
	Transpose Transposition
}

// At is what holds on a staff at a place, changes that stand there included.
func (p *Part) At(bar int, at Quarters, staff int) InForce {
	now := InForce{Clef: Clef{Sign: "G", Line: 2}}
	for _, c := range p.Changes {
		if c.Bar > bar || c.Bar == bar && at.Less(c.At) || c.Staff != 0 && c.Staff != staff {
			continue
		}
		switch {
		case c.Meter != nil:
			now.Meter = *c.Meter
		case c.Key != nil:
			now.Key = *c.Key
		case c.Clef != nil:
			now.Clef = *c.Clef
		case c.Transpose != nil:
			now.Transpose = *c.Transpose
		}
	}
	return now
}

// Sound is a note as heard: tied notes are one.
type Sound struct {
	Onset, Duration Quarters
	First, Last     int   // indexes, in the notes given, of the first note and the last tied to it
	Pitch           Pitch // as written
	Sounds          Pitch // after transposition
}

// Sounding are the notes of one voice as heard, in order: without rests, grace
// notes and cues, and with ties joined. A tie joins only where the first note has
// a start and the next note of that pitch a stop, and no time lies between.
func (p *Part) Sounding(notes []Note) []Sound {
	var out []Sound
	open := map[int]int{} // the pitch in cents of a note that is tied on → its place in out
	for i, n := range notes {
		if n.Kind != Pitched || n.Grace != NoGrace || n.Cue {
			continue
		}
		onset, cents := p.Onset(n), n.Pitch.Cents()
		at, tied := open[cents]
		if tied && n.TieFrom && out[at].Onset.Add(out[at].Duration) == onset {
			out[at].Duration = out[at].Duration.Add(n.Duration)
			out[at].Last = i
		} else {
			at = len(out)
			out = append(out, Sound{onset, n.Duration, i, i, n.Pitch, n.Sounds})
		}
		delete(open, cents)
		if n.TieTo {
			open[cents] = at
		}
	}
	return out
}
