package notes

import "footing/ladder/passage"

// Spell names what was heard in the place of a want, or beside it: a pitch that
// sounds at so many cents (as [Want.Sounds]) as the player would read it, in the
// key's spelling where the key has it, then as the passage has it, then on the same
// letter as the want, then plain. It is rounded to the nearest semitone.
func (n *Notes) Spell(w Want, sounds int) passage.Pitch {
	note := n.Line.Notes[n.All[w.Notes[0]].First]
	written := w.Pitch.Cents() + sounds - w.Sounds[0]
	written = (written + 50) / 100 * 100
	key := n.Part.At(note.Bar, note.At, note.OnStaff()).Key
	best, most := passage.Pitch{}, -1
	for letter := passage.C; letter <= passage.B; letter++ {
		for _, alter := range []passage.Alter{passage.Natural, passage.Sharp, passage.Flat} {
			p := passage.Pitch{Letter: letter, Alter: alter}
			octaves := written - p.Cents()
			if octaves%1200 != 0 {
				continue
			}
			p.Octave = int8(octaves / 1200)
			score := 0
			if key.Of(letter) == alter {
				score += 8
			}
			if n.has(p) {
				score += 4
			}
			if letter == w.Pitch.Letter {
				score += 2
			}
			if alter == passage.Natural {
				score++
			}
			if score > most {
				best, most = p, score
			}
		}
	}
	return best
}

// has reports whether the passage has a pitch, spelled so, in any octave.
func (n *Notes) has(p passage.Pitch) bool {
	for _, note := range n.All {
		if note.Pitch.Letter == p.Letter && note.Pitch.Alter == p.Alter {
			return true
		}
	}
	return false
}
