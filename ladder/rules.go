package ladder

import "footing/audio/click"

// course is how far a rule has come, beyond what a [Standing] keeps for every
// rule. There is a type for each [RuleKind], in a file of its own, which holds
// all that is particular to that rule; [anyRule] has what most of them share.
// A course is a value. It belongs to a standing, which methods are given where
// they need it, and which it is always the course of.
type course interface {
	// rep is the standing after a rep at the tempo in force, with any verdict
	// but skip. It is the whole of the rule.
	rep(s Standing, step Step, v Verdict) Standing
	// fresh is the course with nothing counted on the rung.
	fresh() course
	// moved is the course after the player has moved the ladder by hand.
	moved() course

	// counted is how many reps count on the rung towards the end of its turn,
	// under the rules that count reps.
	counted() int
	// turn is how many reps make a round on the rung.
	turn(s Standing, step Step) int
	// next is the rung that a completed one leads up to, or down where the rule
	// says so; ok is false where none follows.
	next(s Standing) (i int, ok bool)
	// line says where the player stands.
	line(s State, step Step) string

	// keep writes to a bookmark what of the course holds on another day, and
	// resume reads it back.
	keep(s Standing, b *Bookmark)
	resume(s Standing, b Bookmark) course
}

// begin is the course of a rule at its beginning; footing is the one that is
// known already, 0 for none.
func begin(k RuleKind, footing click.Tempo) course {
	switch k {
	case Steady:
		return steady{}
	case Settle:
		return settle{found: footing != 0}
	case TwoUpOneDown:
		return twoUp{}
	case Leap:
		return leap{}
	case Arch:
		return arch{}
	}
	return earned{}
}

// anyRule is what a rule does that does it like most.
type anyRule struct{}

func (anyRule) counted() int                     { return 0 }
func (anyRule) turn(_ Standing, step Step) int   { return step.Reps }
func (anyRule) next(s Standing) (i int, ok bool) { return s.above() }
func (anyRule) keep(Standing, *Bookmark)         {}

// count is the standing after one rep with verdict v at the tempo in force.
func (s Standing) count(step Step, v Verdict) Standing {
	s = s.note(step, v)
	if v == Skip || s.ByHand != 0 && step.Rule.Kind.counts() {
		// A tempo that was set by hand is no rung: the player stays on it until
		// they leave it.
		return s
	}
	return s.course.rep(s, step, v)
}

// note keeps the verdict in the round and the runs of verdicts. A skip and an
// unjudged rep break no run.
func (s Standing) note(step Step, v Verdict) Standing {
	round := s.Round
	if len(round) >= s.turn(step) {
		round = nil
	}
	s.Round = append(round[:len(round):len(round)], v)
	s.Played++
	switch v {
	case Clean:
		s.CleanRun, s.RoughRun = s.CleanRun+1, 0
		s.TooHard = false
	case Rough:
		s.CleanRun, s.RoughRun = 0, s.RoughRun+1
	}
	return s
}

// turn is the reps of a round.
func (s Standing) turn(step Step) int { return s.course.turn(s, step) }

// Turn is how many reps the rung in force is given before a new round begins.
func (s State) Turn() int { return s.Standing.turn(s.Step()) }

// Counted is how many reps were played on the rung in force, and how many it
// asks for; of is 0 where verdicts end its turn, or only the player does.
func (s State) Counted() (reps, of int) {
	if step := s.Step(); step.Rule.Kind.counts() && s.Standing.ByHand == 0 {
		return s.Standing.course.counted(), s.Standing.turn(step)
	}
	return s.Standing.Played, 0
}

// ToCome is how many reps are to come on the rung in force, after the one that
// sounds, if that has the verdict already given to it and all others are clean. It
// is 0 where only the player ends the rung's turn.
func (s State) ToCome() int {
	step, st := s.Step(), s.Standing
	if s.inRep() {
		v := s.Pending()
		if v == Unjudged {
			v = Clean
		}
		if st = st.count(step, v); st.Played == 0 {
			return 0 // its turn ends with this one
		}
	}
	most := max(step.Reps, step.Rule.Clean)
	for n := 1; n <= most; n++ {
		if st = st.count(step, Clean); st.Played == 0 {
			return n
		}
	}
	return 0
}
