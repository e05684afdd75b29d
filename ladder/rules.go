package ladder

import "footing/audio/click"

// count is the standing after one rep with verdict v at the tempo in force. It
// is the whole of the rules: see [Rule] for what each does.
func (s Standing) count(step Step, v Verdict) Standing {
	s = s.note(step, v)
	if v == Skip || s.ByHand != 0 && step.Rule.Kind.counts() {
		// A tempo that was set by hand is no rung: the player stays on it until
		// they leave it.
		return s
	}
	switch step.Rule.Kind {
	case Steady:
		return s.steady(step)
	case Settle:
		return s.settle(step, v)
	case TwoUpOneDown:
		return s.twoUp(step, v)
	case Leap:
		return s.leap(step, v)
	case Arch:
		return s.arch(step, v)
	}
	return s.earned(step, v)
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

// Turn is how many reps the rung in force is given before a new round begins.
func (s State) Turn() int { return s.Standing.turn(s.Step()) }

// Counted is how many reps were played on the rung in force, and how many it
// asks for; of is 0 where verdicts end its turn, or only the player does.
func (s State) Counted() (reps, of int) {
	if step := s.Step(); step.Rule.Kind.counts() && s.Standing.ByHand == 0 {
		return s.Standing.Count, s.Standing.turn(step)
	}
	return s.Standing.Played, 0
}

// ToCome is how many reps are to come on the rung in force, after the one that
// sounds, if that has the verdict already given to it and all others are clean. It
// is 0 where only the player ends the rung's turn.
func (s State) ToCome() int {
	step, st := s.Step(), s.Standing
	if s.Sounding.Seq != 0 && s.Sounding.Kind == click.Rep {
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

// turn is the reps of a round: the step's, but an arch has one fewer on each
// rung up, at least one.
func (s Standing) turn(step Step) int {
	if step.Rule.Kind == Arch {
		return max(1, step.Reps-s.Rung)
	}
	return step.Reps
}

// steady climbs after the step's reps, whatever the verdicts.
func (s Standing) steady(step Step) Standing {
	s.Count++
	if s.Count < step.Reps {
		return s
	}
	return s.up()
}

// earned climbs on cleans in a row and goes down on roughs in a row.
func (s Standing) earned(step Step, v Verdict) Standing {
	switch {
	case v == Clean && s.CleanRun >= step.Rule.Clean:
		return s.up()
	case v == Rough && s.RoughRun >= step.Rule.Rough:
		return s.down()
	}
	return s
}

// settle goes down at each rough, below the lowest rung if need be, until the
// footing is found; then it is earned.
func (s Standing) settle(step Step, v Verdict) Standing {
	if s.Settled {
		return s.earned(step, v)
	}
	switch {
	case v == Clean && s.CleanRun >= step.Rule.Clean:
		s.Settled, s.Footing = true, s.Tempo()
		return s.up()
	case v == Rough:
		return s.settleDown(step)
	}
	return s
}

// settleDown goes one rung down and makes a new one below the lowest. There it
// also proposes a smaller chunk: simplify by tempo first, then by length.
func (s Standing) settleDown(step Step) Standing {
	if i, ok := s.below(); ok {
		return s.to(i)
	}
	lower, ok := step.Tempo.By.Down(s.Tempo())
	if !ok {
		s.TooHard = true
		return s
	}
	s.Rungs = append([]click.Tempo{lower}, s.Rungs...)
	s = s.to(0)
	s.TooHard = true
	return s
}

// twoUp climbs two rungs and then goes one down, each on cleans in a row, and
// falls one rung on roughs in a row (common practice, no source).
func (s Standing) twoUp(step Step, v Verdict) Standing {
	switch {
	case v == Rough && s.RoughRun >= step.Rule.Rough:
		s.Turned = false
		return s.down()
	case v != Clean || s.CleanRun < step.Rule.Clean:
		return s
	case s.Tempo() >= s.Goal():
		return s.up()
	case s.ByHand != 0:
		s.Turned = false
		return s.up()
	case s.Turned:
		s.Turned = false
		i, _ := s.below()
		return s.to(i)
	}
	s.Turned = true
	i, _ := s.above()
	return s.to(i + 1)
}

// leap gives the slow rung and the goal a round each in turn, the slow one
// climbing. A rough on the slow rung is played again; at the goal it is
// expected, and counts like any other.
func (s Standing) leap(step Step, v Verdict) Standing {
	top := len(s.Rungs) - 1
	if !s.Turned && s.Rung < top {
		if v == Rough {
			if s.RoughRun >= step.Rule.Rough {
				return s.down()
			}
			return s
		}
		s.Count++
		if s.Count < step.Reps {
			return s
		}
		s.Turned, s.Slow = true, s.Rung
		return s.to(top)
	}
	s.Count++
	switch {
	case s.Count < step.Reps:
		return s
	case !s.Turned || s.Slow+1 >= top:
		s.Turned = false
		return s.finish()
	}
	s.Turned = false
	return s.to(s.Slow + 1)
}

// arch gives each rung up one rep fewer than the one below, plays the top
// once round, and comes down again with a rep more on each (Stees bassoon
// column, "The Pyramid", 29 March 2015). A rough is played again.
func (s Standing) arch(step Step, v Verdict) Standing {
	if v == Rough {
		s.TooHard = s.RoughRun >= step.Rule.Rough
		return s
	}
	s.Count++
	if s.Count < s.turn(step) {
		return s
	}
	top := len(s.Rungs) - 1
	if s.Rung == top {
		s.Turned = true
	}
	switch {
	case !s.Turned:
		return s.to(s.Rung + 1)
	case s.Rung == 0:
		return s.finish()
	}
	return s.to(s.Rung - 1)
}

// up goes one rung up. From the goal there is none: the step is done. From a
// tempo above the goal, set by hand, the player goes on as they are.
func (s Standing) up() Standing {
	i, ok := s.above()
	switch {
	case ok:
		return s.to(i)
	case s.ByHand != 0:
		return s.fresh()
	}
	return s.finish()
}

// down goes one rung down. From the lowest there is none: the chunk is too
// hard as it is.
func (s Standing) down() Standing {
	i, ok := s.below()
	if !ok {
		s.TooHard = true
		s.RoughRun = 0
		return s
	}
	return s.to(i)
}

// finish marks the step done and begins a new round where the player stands.
func (s Standing) finish() Standing {
	s = s.fresh()
	s.Done = true
	return s
}

// byHand moves n rungs up or down on the ladder.
func (s Standing) byHand(step Step, n int) Standing {
	for ; n > 0; n-- {
		i, _ := s.above()
		s = s.to(i)
	}
	for ; n < 0; n++ {
		if i, ok := s.below(); ok {
			s = s.to(i)
			continue
		}
		// Below the lowest rung the ladder is made longer: a player who asks for
		// slower always gets it.
		lower, ok := step.Tempo.By.Down(s.Tempo())
		if !ok {
			break
		}
		s.Rungs = append([]click.Tempo{lower}, s.Rungs...)
		s = s.to(0)
	}
	// An arch goes on in the direction it had; the others begin again.
	s.Turned = s.Turned && step.Rule.Kind == Arch
	return s
}

// onTempo takes a tempo set by hand; one that is a rung stands on that rung.
func (s Standing) onTempo(t click.Tempo) Standing {
	for i, rung := range s.Rungs {
		if rung == t {
			return s.to(i)
		}
	}
	s = s.fresh()
	s.ByHand = t
	return s
}
