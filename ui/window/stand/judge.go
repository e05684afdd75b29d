package stand

import "footing/ladder"

// judge gives a verdict. One that moves nothing is answered with a line that
// says when one would.
func (s *Stand) judge(v ladder.Verdict) {
	switch reach := s.o.Desk.Judge(v); {
	case reach == ladder.Noted:
		s.say("noted for a rep before the change: it moves nothing now", false)
	case reach == ladder.NoRep && s.o.Desk.View().State.Running:
		s.say("no rep to judge yet: a verdict counts from a rep's second beat on", false)
	case reach == ladder.NoRep:
		s.say("no rep to judge: a verdict counts from a rep's second beat on", false)
	}
}
