package hearing

import (
	"footing/audio/hear"
	"footing/audio/judge"
	"footing/ladder"
)

// Between these chances of a fault the ears are in doubt: they answer only
// outside a middle band (Chow 1970, "On optimum recognition error and reject
// tradeoff", IEEE Trans. Inf. Theory 16, 41-46).
const (
	surelyRough = 0.85
	surelyClean = 0.30
	// Fewer notes than leastNotes, heard or expected, say too little. With more
	// than mostBesides of what was heard beside the expected notes, something
	// else was played.
	leastNotes  = 3
	mostBesides = 0.25
)

// Propose proposes a verdict on one rep, and says how certain it is, 0 to 1: the
// chance that the rep is as it says. What is in doubt is Unjudged, with no
// certainty. The onsets are those around the rep, in order of time in seconds
// from frame 0; places are those of its notes ([Places]), at rate frames a
// second. Late is by how many seconds this player's notes are expected after
// their places, as [judge.Rep.LateMs] of the reps before tells.
func Propose(onsets []hear.Onset, places []int64, rate int, late float64) (v ladder.Verdict, certainty float64) {
	at := make([]float64, len(places))
	for i, frame := range places {
		at[i] = float64(frame) / float64(rate)
	}
	rep := judge.SetRep(onsets, at, late)
	if len(places) < leastNotes || len(rep.Placed) < leastNotes || float64(len(rep.Besides)) > mostBesides*float64(len(onsets)) {
		return ladder.Unjudged, 0
	}
	switch rough := rep.Rough(); {
	case rough >= surelyRough:
		return ladder.Rough, rough
	case rough <= surelyClean:
		return ladder.Clean, 1 - rough
	}
	return ladder.Unjudged, 0
}
