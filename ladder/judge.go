package ladder

import (
	"slices"

	"footing/audio/click"
)

// meant finds the rep that a verdict given at a moment belongs to: given
// within the count-in, the breath or the first beat of a rep it is the rep
// before, later in a rep it is that rep, and in silence the last one. It
// returns an index into open, −1 for none.
func (s State) meant(at Heard) int {
	last := -1
	for i, r := range s.open {
		if at.Seq == 0 || r.part.Seq < at.Seq || r.part.Seq == at.Seq && at.Beat >= 1 {
			last = i
		}
	}
	return last
}

// Reach is how far a verdict reaches.
type Reach int

// A verdict finds no rep, is recorded with a rep that moves the ladder no more
// because the player has moved on since, or counts. One that the rep has already
// is taken back.
const (
	NoRep Reach = iota
	Noted
	Counts
	TakenBack
)

// Reach is how far a verdict would reach.
func (s State) Reach(e Judge) Reach {
	i := s.meant(e.At)
	switch {
	case i < 0:
		return NoRep
	case s.open[i].verdict == e.Verdict:
		return TakenBack
	}
	r, tempo := s.open[i], s.Standing.Tempo()
	if r.whole {
		tempo = r.before.Tempo()
	}
	if r.frozen || r.part.Step != s.StepAt || r.part.Tempo != tempo {
		return Noted
	}
	return Counts
}

// judge gives the verdict to the rep that is meant. A rep that has ended is
// counted again with it, and so are those after; one that is under way is
// counted when it ends. Another verdict takes the place of one that the rep has,
// and the same again takes it back.
func (s State) judge(e Judge) State {
	i := s.meant(e.At)
	if i < 0 || e.Verdict == Unjudged {
		return s
	}
	s.open = slices.Clone(s.open)
	if s.open[i].verdict == e.Verdict {
		s.open[i].verdict = Unjudged
	} else {
		s.open[i].verdict = e.Verdict
	}
	if s.open[i].frozen || s.open[i].part.Step != s.StepAt || !s.open[i].whole && s.Running {
		return s
	}
	return s.recount(i)
}

// recount counts the ended reps from open[i] on again.
func (s State) recount(i int) State {
	s.Standing = s.open[i].before
	for k := i; k < len(s.open); k++ {
		if !s.open[k].whole && (s.Running || k > i) {
			continue
		}
		s.open[k].before = s.Standing
		if s.open[k].whole || s.open[k].verdict != Unjudged {
			s.Standing = s.counted(s.open[k])
		}
	}
	return s
}

// counted is the standing after the rep. A rep of another step, or at a tempo
// that is no longer in force, moves nothing.
func (s State) counted(r rep) Standing {
	if r.frozen || r.part.Step != s.StepAt || r.part.Tempo != s.Standing.Tempo() {
		return s.Standing
	}
	v := r.verdict
	if v == Unjudged {
		v = s.presumed()
	}
	return s.Standing.count(s.Step(), v)
}

// beginRep opens the record of a rep.
func (s State) beginRep(p Part) State {
	s.numbers++
	s.open = append(s.open[:len(s.open):len(s.open)], rep{part: p, number: s.numbers})
	return s
}

// endRep counts the rep of the phrase seq, which has been played to its end.
func (s State) endRep(seq uint64) State {
	for i, r := range s.open {
		if r.part.Seq != seq || r.whole {
			continue
		}
		s.open = slices.Clone(s.open)
		s.open[i].whole, s.open[i].before = true, s.Standing
		s.Standing = s.counted(s.open[i])
	}
	return s
}

// freeze leaves open reps their verdicts but takes away their say: the ladder
// was moved by hand since.
func (s State) freeze() State {
	s.open = slices.Clone(s.open)
	for i := range s.open {
		s.open[i].frozen = true
	}
	return s
}

// close records the reps that no verdict can reach any more once at is
// audible.
func (s State) close(at Heard) (State, []Effect) {
	i := s.meant(at)
	if i <= 0 {
		return s, nil
	}
	return s.record(i)
}

// record records the first n open reps.
func (s State) record(n int) (State, []Effect) {
	var effects []Effect
	for _, r := range s.open[:n] {
		v := r.verdict
		if v == Unjudged {
			v = s.presumed()
		}
		if !r.whole && r.verdict == Unjudged {
			continue
		}
		s.Reps++
		if v == Clean {
			s.Cleans++
		}
		effects = append(effects, Record{Played{
			Number: r.number, Step: r.part.Step, Name: r.part.Name, Tempo: r.part.Tempo,
			Chunk: r.part.Chunk, Verdict: v, Whole: r.whole,
		}})
	}
	s.open = slices.Clone(s.open[n:])
	s, revised := s.lowerStart()
	return s, append(effects, revised...)
}

// lowerStart lets the step begin at its footing from now on when that was
// found below the lowest rung.
func (s State) lowerStart() (State, []Effect) {
	step := s.Step()
	if f := s.Standing.Footing; f == 0 || f >= step.Tempo.Rungs()[0] {
		return s, nil
	}
	step.Tempo.From, step.Tempo.Below = s.Standing.Footing, 0
	s.Routine.Steps = slices.Clone(s.Routine.Steps)
	s.Routine.Steps[s.StepAt] = step
	return s, []Effect{Revised{}}
}

// breakOff forgets what had been rendered but not heard when the click was
// stopped: reps after at are taken back, and the rep under way stays open for
// a verdict, which is then its end; one that was given already counts. Within
// its first beat a verdict would mean
// the rep before, so there it is taken back too.
func (s State) breakOff(at Heard) State {
	if at.Seq == 0 {
		// Nothing is known to be audible: what was rendered whole counts.
		at = Heard{Seq: s.Sounding.Seq}
	}
	for i, r := range s.open {
		if r.part.Seq < at.Seq {
			continue
		}
		// The first rep that was not heard to its end: as if it had not counted.
		if r.whole && !r.frozen {
			s.Standing = r.before
		}
		keep := i
		if r.part.Seq == at.Seq && at.Beat >= 1 {
			keep = i + 1
		}
		s.open = slices.Clone(s.open[:keep])
		if keep > i {
			s.open[i].whole, s.open[i].before = false, s.Standing
			if s.open[i].verdict != Unjudged {
				s.Standing = s.counted(s.open[i])
			}
		}
		return s
	}
	return s
}

// pending is the verdict given so far to the rep of the phrase seq.
func (s State) pending(seq uint64) Verdict {
	for _, r := range s.open {
		if r.part.Seq == seq {
			return r.verdict
		}
	}
	return Unjudged
}

// Pending is the verdict already given to the rep that sounds, which counts
// when it ends. It is Unjudged in a count-in, a breath and silence.
func (s State) Pending() Verdict {
	if s.Sounding.Kind != click.Rep {
		return Unjudged
	}
	return s.pending(s.Sounding.Seq)
}
