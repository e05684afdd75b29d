package hearing

import (
	"fmt"
	"math"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/ladder"
	"footing/ladder/hearing/follow"
	"footing/ladder/notes"
)

// wronglySure is how certain a rep is rough in which a note is surely wrong: of the
// takes of package planted, hardly one right one in hundreds has such a note.
const wronglySure = 0.98

// Proposal is a proposed verdict on one rep.
type Proposal struct {
	// Verdict is Unjudged, with no certainty, where the ears are in doubt.
	Verdict   ladder.Verdict
	Certainty float64 // 0 to 1, the chance that the rep is as it says
	// Why says what was played instead of what, where a note is surely wrong: "B is
	// played instead of B flat". Empty otherwise.
	Why string
}

// PlacesOfNotes are the frames at which the notes of a rep are expected, as [Places]
// are; of a step whose notes are known.
func PlacesOfNotes(wants []notes.Want, phrase click.Phrase, start int64, rate int) []int64 {
	line := click.NewTimeline(start, phrase.Tempo, rate)
	out := make([]int64, len(wants))
	for i, w := range wants {
		out[i] = line.At(w.At).Round()
	}
	return out
}

// ProposeNotes is [Propose] for a step whose notes are known: wants are those of the
// rep, at places. It proposes the same, unless a note is surely wrong: that makes the
// rep rough, and is said. Pitches are what sounded around the rep, in seconds from the
// same moment as the onsets, and tuning by how many semitones this player sounds
// higher than the notes.
func ProposeNotes(n *notes.Notes, wants []notes.Want, onsets []hear.Onset, pitches hear.Pitches, places []int64, rate int, late, tuning float64) Proposal {
	var out Proposal
	out.Verdict, out.Certainty = Propose(onsets, places, rate, late)
	list := make([]follow.Want, min(len(wants), len(places)))
	for i := range list {
		list[i] = follow.Want{Seconds: float64(places[i])/float64(rate) + late, Sounds: numbers(wants[i].Sounds), Beside: numbers(wants[i].Beside)}
	}
	played := follow.NewFollower(pitches, tuning).Rep(list, onsets)
	right := 0
	for _, p := range played.Wants {
		if p.Fate == follow.Right {
			right++
		}
	}
	for i, p := range played.Wants {
		if p.Fate != follow.Wrong || 2*right < len(list) {
			continue // where little is right, it is something else that is played
		}
		if out.Verdict != ladder.Rough {
			out.Verdict, out.Certainty = ladder.Rough, 0
		}
		out.Certainty = max(out.Certainty, wronglySure)
		instead := n.Spell(wants[i], int(math.Round(100*p.Note)))
		out.Why = fmt.Sprintf("%s is played instead of %s", instead.Name(), wants[i].Pitch.Name())
		break
	}
	return out
}
