package ladder

import (
	"slices"

	"footing/audio/click"
)

// Standing is where the player stands on the ladder of a step: what every rule
// keeps, and the course of the step's own rule. It is a value: nothing writes
// to its slices after they are set.
type Standing struct {
	Rungs []click.Tempo // slowest first, ending on the goal
	Rung  int           // index of the rung in force
	// ByHand is a tempo off the ladder, set by hand; 0 when a rung is in force.
	ByHand click.Tempo
	// Round is the verdicts of the reps on this rung, oldest first, at most the
	// step's reps; then a new round begins.
	Round              []Verdict
	CleanRun, RoughRun int // verdicts in a row on this rung
	Played             int // reps on this rung, skipped ones too
	// Footing is the fastest rung found clean again and again, 0 until then.
	Footing click.Tempo
	// TooHard proposes a smaller chunk: the lowest rung is still rough.
	TooHard bool
	// Done is true when the rule has run its course.
	Done bool

	course course // of the step's rule
}

// NewStanding is where a step begins: on the lowest rung. The step must be
// valid.
func NewStanding(s Step) Standing {
	return Standing{Rungs: s.Tempo.Rungs(), course: begin(s.Rule.Kind, 0)}
}

// Tempo is the tempo in force.
func (s Standing) Tempo() click.Tempo {
	if s.ByHand != 0 {
		return s.ByHand
	}
	return s.Rungs[s.Rung]
}

// Goal is the top of the ladder.
func (s Standing) Goal() click.Tempo { return s.Rungs[s.top()] }

func (s Standing) top() int { return len(s.Rungs) - 1 }

// on is the standing with the rule's course at c.
func (s Standing) on(c course) Standing {
	s.course = c
	return s
}

// fresh clears what was counted on a rung.
func (s Standing) fresh() Standing {
	s.Round, s.CleanRun, s.RoughRun, s.Played, s.TooHard = nil, 0, 0, 0, false
	return s.on(s.course.fresh())
}

// to stands on rung i, or the end of the ladder where that lies beyond, with
// nothing counted yet.
func (s Standing) to(i int) Standing {
	s = s.fresh()
	s.Done = false
	s.Rung, s.ByHand = min(max(i, 0), s.top()), 0
	return s
}

// above is the rung next above the tempo in force, also from a tempo set by
// hand. ok is false where there is none.
func (s Standing) above() (i int, ok bool) {
	i, on := slices.BinarySearch(s.Rungs, s.Tempo())
	if on {
		i++
	}
	return i, i < len(s.Rungs)
}

// below is the rung next below the tempo in force, as above is the one above.
func (s Standing) below() (i int, ok bool) {
	i, _ = slices.BinarySearch(s.Rungs, s.Tempo())
	return i - 1, i > 0
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

// lower goes one rung down, and makes one where there is none. made tells of
// that; ok is false where it would leave 10 bpm.
func (s Standing) lower(by StepSize) (next Standing, made, ok bool) {
	if i, ok := s.below(); ok {
		return s.to(i), false, true
	}
	lower, ok := by.Down(s.Tempo())
	if !ok {
		return s, false, false
	}
	s.Rungs = append([]click.Tempo{lower}, s.Rungs...)
	return s.to(0), true, true
}

// finish marks the step done and begins a new round where the player stands.
func (s Standing) finish() Standing {
	s = s.fresh()
	s.Done = true
	return s
}

// byHand moves n rungs up or down on the ladder. A player who asks for slower
// always gets it, also below the lowest rung.
func (s Standing) byHand(step Step, n int) Standing {
	for ok := true; n > 0 && ok; n-- {
		var i int
		i, ok = s.above()
		s = s.to(i)
	}
	for ok := true; n < 0 && ok; n++ {
		s, _, ok = s.lower(step.Tempo.By)
	}
	return s.on(s.course.moved())
}

// onTempo takes a tempo set by hand; one that is a rung stands on that rung.
func (s Standing) onTempo(t click.Tempo) Standing {
	if i, on := slices.BinarySearch(s.Rungs, t); on {
		return s.to(i)
	}
	s = s.fresh()
	s.ByHand = t
	return s
}

// nearest stands on the rung at the tempo, or on the nearest below, or else on
// the lowest.
func (s Standing) nearest(t click.Tempo) Standing {
	i, on := slices.BinarySearch(s.Rungs, t)
	if !on {
		i--
	}
	return s.to(i)
}

// refit stands at the same tempo, or the rung nearest below it, on the ladder
// of another version of the step. Its rule begins anew, but for a footing that
// was found.
func (s Standing) refit(old, step Step) Standing {
	s = s.on(begin(step.Rule.Kind, s.Footing)).fresh()
	s.Done = false
	if old.Tempo == step.Tempo {
		return s
	}
	tempo := s.Tempo()
	s.Rungs = step.Tempo.Rungs()
	return s.nearest(tempo)
}
