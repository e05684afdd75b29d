package begin

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/passage"
	"footing/ladder/passage/pace"
)

// startShare is where a ladder begins under a goal that was read, in percent: low
// enough to be easy (common practice, no source).
const startShare = 60

// tempo is the ladder to the number that is in force where a run begins; the usual one
// where there is none, or a word alone. The remark says what is not as in the score; it is
// empty where all is.
func tempo(s *passage.Score, r run) (out ladder.Range, remark string) {
	out = ladder.DefaultStep().Tempo
	now, ok := pace.InForce(pace.Of(s), r.full)
	if !ok || now.Source == pace.Word {
		return out, ""
	}
	bpm, _ := now.Beats(r.unit)
	goal := click.BPM(int(bpm)).Clamp()
	if goal != click.BPM(int(bpm)) {
		remark = fmt.Sprintf("the score's tempo is %d %s beats a minute: the goal is %s, as far as the click goes", bpm, r.unit, goal)
	}
	return Ladder(goal), remark
}

// Ladder is the usual one to a goal: from 60 % of it.
func Ladder(goal click.Tempo) ladder.Range {
	out := ladder.DefaultStep().Tempo
	out.Goal, out.From = goal, click.BPM(int(goal.BPM()*startShare/100+0.5)).Clamp()
	return out
}

// To is the range with another goal. It begins where it did, unless that is no lower than
// the goal now: then at 60 % of it.
func To(r ladder.Range, goal click.Tempo) ladder.Range {
	if r.Goal = goal; r.Below == 0 && r.From >= goal {
		r.From = Ladder(goal).From
	}
	return r
}
