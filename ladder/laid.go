package ladder

import "footing/audio/click"

// laid is a rep as it was laid last, before any hush: most reps are like the one before
// them, and share its strokes. It is never written to.
type laid struct {
	loop click.Loop
	rep  click.Phrase
}

// lay is a rep of a loop at a tempo.
func (s State) lay(l click.Loop, t click.Tempo) *laid {
	if s.laid == nil || !s.laid.loop.Same(l) {
		return &laid{l, l.RepPhrase(t)}
	}
	if s.laid.rep.Tempo == t {
		return s.laid
	}
	again := *s.laid
	again.rep.Tempo = t
	return &again
}
