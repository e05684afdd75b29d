package stand

import (
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/hush"
)

// hushes are what the key goes round; the file takes more.
var hushes = []hush.Stage{
	{}, {Kind: hush.Halves}, {Kind: hush.Downbeats}, {Kind: hush.EveryBar, N: 2}, {Kind: hush.EveryBar, N: 4},
	{Kind: hush.SomeBars, N: 30, Seed: 1}, {Kind: hush.Thinning},
}

// rehush takes the next hush; whether the picture hushes too stays as it is.
func (s *Stand) rehush(by int) {
	s.change(func(t ladder.Step) ladder.Step {
		i := max(slices.Index(hushes, t.Hush.Stages[0]), 0)
		t.Hush.Stages = [hush.MaxStages]hush.Stage{hushes[round(i, by, len(hushes))]}
		if t.Hush.None() {
			t.Hush = hush.Hush{}
		}
		return t
	})
	if h := s.o.Desk.View().State.Step().Hush; s.said.Text == "" {
		text := "hushed from the next rep on: " + h.String()
		if h.None() {
			text = "nothing is hushed from the next rep on"
		}
		s.say(text, false)
	}
}

// speak lets the count be spoken, or no longer. What is not counted yet is counted in
// numbers.
func (s *Stand) speak() {
	s.change(func(t ladder.Step) ladder.Step {
		if t.Speak = !t.Speak; t.Speak && t.Count == click.CountNone {
			t.Count = click.CountNumber
		}
		return t
	})
	text := "the count is shown, not spoken"
	if s.o.Desk.View().State.Step().Speak {
		text = "the count is spoken"
	}
	if s.said.Text == "" {
		s.say(text, false)
	}
}
