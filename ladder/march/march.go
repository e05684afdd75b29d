// Package march is what tests practise: two beats of an invented march, as a
// bassoonist of a town wind band would write them into a routine. For tests.
package march

import (
	"footing/audio/click"
	"footing/ladder"
)

// Step is the run in bar 18 of Weir Street March, from its second beat: sixteenths
// from 64 to 104 by 4 bpm, with landing, and all else at its default. edit, which
// may be nil, changes it.
func Step(edit func(*ladder.Step)) ladder.Step {
	s := ladder.DefaultStep()
	s.Name = "Weir Street run"
	s.Passage = ladder.Passage{Piece: "Weir Street March", From: 17, To: 20}
	s.Tempo = ladder.Range{From: click.BPM(64), Goal: click.BPM(104), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 4000}}
	s.Slots = click.EvenSlots(4)
	s.Chunk = ladder.Chunk{Bar: 18, At: click.Whole(1), Length: click.Whole(2), Landing: true}
	if edit != nil {
		edit(&s)
	}
	return s
}
