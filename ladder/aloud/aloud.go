// Package aloud gives the phrases of a step what it asks for of its notes and its count:
// accents, their rhythm, and spoken words.
package aloud

import (
	"footing/audio/click"
	"footing/audio/spoken"
	"footing/ladder"
	"footing/ladder/notes"
)

// Phrase is a phrase of a step with its notes accented and their rhythm counted, where
// the step says so and notes are known, and the words that are spoken in it, where there
// is a voice. Both may be nil.
func Phrase(step ladder.Step, p click.Phrase, n *notes.Notes, v *spoken.Voice) click.Phrase {
	if n != nil && p.Kind == click.Rep {
		p = n.Accented(step, p)
		if step.Say == ladder.SayNotes {
			p = n.Rhythm(step, p)
		}
	}
	if v == nil || !Wanted(step) {
		return p
	}
	o := spoken.Options{Count: step.Speak, Bars: step.Announce.Bars()}
	if step.Announce.Rungs() && p.Kind == click.CountIn {
		o.Rung = p.Tempo
	}
	p.Words = v.Words(p, o)
	return p
}

// Wanted reports whether anything is spoken in the step.
func Wanted(step ladder.Step) bool { return step.Speak || step.Announce != ladder.AnnounceNothing }

// ByNotes reports whether the step is struck or counted by its notes.
func ByNotes(step ladder.Step) bool {
	return !step.Notes.None() && (step.Say == ladder.SayNotes || step.Accented != ladder.AccentedOff)
}
