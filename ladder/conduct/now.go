package conduct

import (
	"footing/audio/click"
	"footing/ladder"
)

// Now is what is audible at a moment. In silence Phrase is nil.
type Now struct {
	Phrase *click.Phrase // shared: read only
	// Stroke is the index of the latest stroke in the phrase, −1 before the
	// first. Every phrase has one.
	Stroke int
	// Part is what the phrase is to the session; its Seq is 0 for a vamp.
	Part  ladder.Part
	Tempo click.Tempo // in force, after any change by hand
	Frame int64       // where the latest stroke lies, or the click ran out, in the renderer's frames
	Start int64       // where the phrase began

	before uint64 // Seq of the phrase before a vamp
}

// Heard is the moment in the words of the session. A vamp is the end of the
// phrase before it.
func (n Now) Heard() ladder.Heard {
	if n.Phrase == nil {
		return ladder.Heard{}
	}
	if n.Phrase.Seq == 0 {
		return ladder.Heard{Seq: n.before, Beat: 1}
	}
	return ladder.Heard{Seq: n.Phrase.Seq, Beat: n.Phrase.Strokes[max(n.Stroke, 0)].At.Floor()}
}

// View is a consistent picture of a session.
type View struct {
	State ladder.State
	Now   Now
	// Version rises with every change of the rest.
	Version uint64
	// Edits counts the changes to the routine that are worth saving: who saves it
	// takes the routine from State whenever this has risen, so that of several
	// versions it is always the newest.
	Edits uint64
}
