package ladder_test

import (
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/hush"
	"footing/ladder/march"
)

// On its way up the ladder a hush goes through its stages, counts bars from rep to
// rep, and leaves count-ins, landings and breaths alone.
func TestAHushGoesUpTheLadder(t *testing.T) {
	step := march.Step(func(s *ladder.Step) {
		s.Chunk = ladder.Chunk{Bar: 18, Length: click.Whole(4), Landing: true}
		s.Tempo = ladder.Range{From: click.BPM(60), Goal: click.BPM(80), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 20_000}}
		s.Slots, s.Accents, s.Pulse = click.EvenSlots(1), nil, click.OnBeat
		s.Rule = ladder.Rule{Kind: ladder.Steady, Clean: 3, Rough: 2}
		s.Reps = 2
		s.Hush, _ = hush.Parse("half notes, then every other bar")
	})
	var got string
	for part, p := range conduct.HandsFree(ladder.Routine{Name: "Runs", Steps: []ladder.Step{step}}) {
		for _, s := range p.Strokes {
			switch {
			case p.Kind != click.Rep || s.Part == click.InLanding:
				if s.Hushed {
					t.Errorf("a %v is hushed", p.Kind)
				}
			case s.Hushed:
				got += "."
			default:
				got += "x"
			}
		}
		if p.Kind == click.Rep {
			got += " " + part.Tempo.String() + " "
		}
	}
	if want := "x.x. 60 x.x. 60 xxxx 80 .... 80 "; got != want {
		t.Errorf("left of the reps is %s, want %s", got, want)
	}
}

// What has no word in a routine file is refused.
func TestCountsThatDoNotExist(t *testing.T) {
	for key, spoil := range map[string]func(*ladder.Step){
		"say":      func(s *ladder.Step) { s.Say = ladder.SayNotes + 1 },
		"accents":  func(s *ladder.Step) { s.Accented = ladder.AccentedBoth + 1 },
		"announce": func(s *ladder.Step) { s.Announce = ladder.AnnounceBoth + 1 },
		"hush":     func(s *ladder.Step) { s.Hush.Stages[0] = hush.Stage{Kind: hush.EveryBar, N: 1} },
	} {
		if faults := march.Step(spoil).Check(); len(faults) != 1 || faults[0].Key != key {
			t.Errorf("%s: %v", key, faults)
		}
	}
}
