package ladder

import "slices"

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

// spoken is the verdict that was given to the rep, and by whom: the player's
// word, or else the ears', whichever came first.
func (r rep) spoken() (Verdict, Source) {
	switch {
	case r.word != Unjudged:
		return r.word, Player
	case r.ears.verdict != Unjudged:
		return r.ears.verdict, Ears
	}
	return Unjudged, Nobody
}

// verdict is the one with which the rep counts.
func (s State) verdict(r rep) (Verdict, Source) {
	v, from := r.spoken()
	if from == Nobody && s.HandsFree {
		return Clean, HandsFree
	}
	return v, from
}

// moves reports whether the rep would move the ladder from st: no rep does of
// another step, at a tempo that is not in force, or from before the player moved
// the ladder by hand.
func (s State) moves(r rep, st Standing) bool {
	here := r.part.Step == s.StepAt || s.Routine.Order.Mixed() && r.part.Step < len(s.others)
	return !r.frozen && here && r.part.Tempo == st.Tempo()
}

// counted reports whether the rep has had its chance to move the ladder: when it
// was played to its end, or was broken off.
func (s State) counted(r rep) bool { return r.whole || !s.Running }

// Reach is how far a verdict reaches.
type Reach int

// A verdict finds no rep, is recorded with a rep that moves the ladder no more
// because the player has moved on since, or counts. One that the player gave the
// rep already is taken back.
const (
	NoRep Reach = iota
	Noted
	Counts
	TakenBack
)

// Reach is how far a verdict would reach.
func (s State) Reach(e Judge) Reach {
	i := s.meant(e.At)
	if i < 0 {
		return NoRep
	}
	r, st := s.open[i], s.Standing
	if s.counted(r) {
		st = r.before
	}
	switch {
	case r.word == e.Verdict:
		return TakenBack
	case s.moves(r, st):
		return Counts
	}
	return Noted
}

// judge gives the player's verdict to the rep that is meant. Another takes the
// place of the one it has, and the same again takes it back.
func (s State) judge(e Judge) State {
	i := s.meant(e.At)
	if i < 0 || e.Verdict == Unjudged || e.Verdict > Skip {
		return s
	}
	s.open = slices.Clone(s.open)
	if s.open[i].word == e.Verdict {
		e.Verdict = Unjudged
	}
	s.open[i].word = e.Verdict
	return s.recount(i)
}

// assess gives the rep the verdict of the ears, which counts where the player has
// not spoken.
func (s State) assess(e Assess) (State, []Effect) {
	i := slices.IndexFunc(s.open, func(r rep) bool { return r.part.Seq == e.Seq })
	if i < 0 || e.Verdict == Unjudged || e.Verdict > Skip {
		return s, nil
	}
	sure := min(max(e.Certainty, 0), 1)
	if !(sure >= s.open[i].ears.certainty) { // or it is no number
		return s, nil
	}
	s.open = slices.Clone(s.open)
	s.open[i].ears = assessment{e.Verdict, sure}
	return s.recount(i).plan()
}

// recount counts the reps from open[i] on again after another verdict on that
// one. One under way is counted when it ends.
func (s State) recount(i int) State {
	r := s.open[i]
	if !s.counted(r) || r.frozen {
		return s
	}
	if r.part.Step != s.StepAt {
		return s.recountElsewhere(i)
	}
	return s.recountFrom(i)
}

// recountFrom counts open[i] of the step under way again, and those after it.
func (s State) recountFrom(i int) State {
	s.Standing = s.open[i].before
	for k := i; k < len(s.open) && s.counted(s.open[k]); k++ {
		if s.open[k].part.Step == s.StepAt {
			s = s.countRep(k)
		}
	}
	return s
}

// recountElsewhere does so for a step that has made way for another: where steps are
// taken in turns, the verdict on the last rep of a turn may come when the next one's
// count-in sounds. In other orders a step that is left is done.
func (s State) recountElsewhere(i int) State {
	step := s.open[i].part.Step
	if !s.Routine.Order.Mixed() || step >= len(s.others) {
		return s
	}
	there := s
	there.StepAt = step
	there = there.recountFrom(i)
	s.others = slices.Clone(s.others)
	s.others[step] = there.Standing
	return s
}

// countRep counts open[i], of which no one else has a copy. A rep that was broken
// off counts when it was judged.
func (s State) countRep(i int) State {
	s.open[i].before = s.Standing
	r := s.open[i]
	if _, from := r.spoken(); (r.whole || from != Nobody) && !r.unheeded() && s.moves(r, s.Standing) {
		v, _ := s.verdict(r)
		s.Standing = s.Standing.count(s.Step(), v)
	}
	return s
}

// beginRep opens the record of a rep.
func (s State) beginRep(p Part) State {
	s.numbers++
	if !p.Once {
		s.turn = s.turn.with(s.partOf(p), p.Tempo)
	}
	s.open = append(slices.Clone(s.open), rep{part: p, number: s.numbers, before: s.Standing})
	return s
}

// endRep counts the rep that sounds, the last that is open, as played to its end.
func (s State) endRep() State {
	s.open = slices.Clone(s.open)
	last := len(s.open) - 1
	s.open[last].whole = true
	return s.countRep(last)
}

// freeze leaves open reps their verdicts but takes away their say: the ladder
// was moved by hand since.
func (s State) freeze() State { return s.freezeBut(-1) }

// freezeBut leaves their say to the reps of a step (index from 0).
func (s State) freezeBut(step int) State {
	s.open = slices.Clone(s.open)
	for i, r := range s.open {
		s.open[i].frozen = r.frozen || r.part.Step != step
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

// record records the first n open reps. A rep that was broken off without a
// verdict is none, nor is one that was there for the model to be heard.
func (s State) record(n int) (State, []Effect) {
	var effects []Effect
	for _, r := range s.open[:n] {
		p, ok := s.played(r)
		if !ok {
			continue
		}
		s.Reps++
		if p.Verdict == Clean {
			s.Cleans++
		}
		effects = append(effects, Record{p})
	}
	s.open = slices.Clone(s.open[n:])
	s, revised := s.lowerStart()
	return s, append(effects, revised...)
}

// played is an open rep as it would be recorded now; ok is false where it would
// not.
func (s State) played(r rep) (p Played, ok bool) {
	if _, from := r.spoken(); !r.whole && from == Nobody || r.unheeded() {
		return Played{}, false
	}
	p = Played{
		Number: r.number, Step: r.part.Step, Name: r.part.Name, Tempo: r.part.Tempo,
		Chunk: r.part.Chunk, Angle: r.part.Angle, Whole: r.whole,
	}
	if p.Verdict, p.Source = s.verdict(r); p.Source == Ears {
		p.Certainty = r.ears.certainty
	}
	return p, true
}

// Ended are the reps that have been heard to their end, or were broken off, and
// are not recorded yet, since a verdict can still reach them: as they would be
// recorded now, oldest first. None of them is taken back any more.
func (s State) Ended(at Heard) (out []Played) {
	for _, r := range s.open {
		if s.Running && r.part.Seq >= at.Seq {
			break
		}
		if p, ok := s.played(r); ok {
			out = append(out, p)
		}
	}
	return out
}

// lowerStart lets the step begin at its footing from now on when that was
// found below the lowest rung.
func (s State) lowerStart() (State, []Effect) {
	step := s.Step()
	if f := s.Standing.Footing; f == 0 || f >= step.Tempo.Rungs()[0] {
		return s, nil
	}
	step.Tempo.From, step.Tempo.Below = s.Standing.Footing, 0
	return s.put(step), []Effect{Revised{}}
}

// breakOff forgets what had been rendered but not heard when the click was
// stopped: reps after at are taken back, with the step that they led to, and the
// rep under way stays open for a verdict, which is then its end; one that was
// given already counts. Within its first beat a verdict would mean the rep
// before, so there it is taken back too.
func (s State) breakOff(at Heard) State {
	if at.Seq == 0 || at.Seq > s.Sounding.Seq {
		// Nothing is known to be audible: what was rendered whole counts.
		at = Heard{Seq: s.Sounding.Seq}
	}
	// The first rep that was not heard to its end.
	first := slices.IndexFunc(s.open, func(r rep) bool { return r.part.Seq >= at.Seq })
	if first < 0 {
		return s
	}
	for _, r := range s.open[first:] {
		if r.whole && !r.frozen {
			// As if it had not counted.
			if r.part.Step != s.StepAt {
				s = s.at(r.part.Step)
			}
			s.Standing = r.before
			break
		}
	}
	if under := s.open[first].part.Seq == at.Seq && at.Beat >= 1; !under {
		s.open = slices.Clone(s.open[:first])
		return s
	}
	s.open = slices.Clone(s.open[:first+1])
	s.open[first].whole = false
	return s.countRep(first)
}

// Pending is the verdict already given to the rep that sounds, which counts
// when it ends. It is Unjudged in a count-in, a breath and silence.
func (s State) Pending() Verdict {
	if !s.inRep() {
		return Unjudged
	}
	v, _ := s.open[len(s.open)-1].spoken()
	return v
}
