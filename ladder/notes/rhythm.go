package notes

import (
	"slices"

	"footing/audio/click"
	"footing/ladder"
)

// Held is counted on a stroke on which no note begins.
const Held = "–"

// Rhythm is a rep of the step with the rhythm of its notes counted: what begins between
// the slots has a silent stroke of its own, and slots on which nothing begins are held.
// So a dotted eighth and a sixteenth are "1 – – a" on sixteenths, and "1 a" on quarters.
// All as the step's angle takes it. The rep's strokes are left as they are.
func (n *Notes) Rhythm(s ladder.Step, rep click.Phrase) click.Phrase {
	strokes := slices.Clone(rep.Strokes)
	begins := map[click.Beats]bool{}
	for _, turn := range n.Turns(s) {
		begins[turn.At] = true
		i, found := slices.BinarySearchFunc(strokes, turn.At, func(s click.Stroke, at click.Beats) int { return s.At.Cmp(at) })
		if found || i == 0 {
			continue
		}
		last := strokes[i-1]
		syllable := s.Count.At(n.measures.Bar(last.Bar), turn.At.Sub(click.Whole(turn.At.Floor())), last.Beat)
		if syllable == "" || last.Hushed && last.Meant == click.Silent {
			continue
		}
		strokes = slices.Insert(strokes, i, click.Stroke{
			At: turn.At, Bar: last.Bar, Beat: last.Beat, Slot: -1, Part: last.Part, Syllable: syllable, Hushed: last.Hushed,
		})
	}
	for i := range strokes {
		stroke := &strokes[i]
		if stroke.Syllable != "" && !begins[stroke.At] && (stroke.Part == click.InChunk || stroke.Part == click.InLanding) {
			stroke.Syllable = Held
		}
	}
	rep.Strokes = strokes
	return rep
}
