package stand

import (
	"time"

	"footing/ladder"
)

// bounce is how soon after a verdict the same one again on the same rep is a pedal
// that bounces, or a nervous foot, and not a change of mind.
const bounce = 400 * time.Millisecond

// judged is the last verdict that was given, and what was said of it.
type judged struct {
	verdict ladder.Verdict
	at      time.Time
	said    string
}

// judge gives a verdict. One that moves nothing is answered with a line that
// says when one would.
func (s *Stand) judge(v ladder.Verdict) {
	now, view := s.o.Clock(), s.o.Desk.View()
	again := view.State.Reach(ladder.Judge{Verdict: v, At: view.Now.Heard()}) == ladder.TakenBack
	if again && s.judged.verdict == v && now.Sub(s.judged.at) < bounce {
		s.judged.at = now
		s.say(s.judged.said, false)
		return
	}
	said := ""
	switch reach := s.o.Desk.Judge(v); {
	case reach == ladder.Noted:
		said = "noted for a rep before the change: it moves nothing now"
	case reach == ladder.TakenBack:
		said = "taken back: that rep has no verdict"
	case reach == ladder.NoRep && s.o.Desk.View().State.Running:
		said = "no rep to judge yet: a verdict counts from a rep's second beat on"
	case reach == ladder.NoRep:
		said = "no rep to judge: a verdict counts from a rep's second beat on"
	}
	s.judged = judged{v, now, said}
	s.say(said, false)
}
