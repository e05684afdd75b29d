package hearing

import (
	"fmt"
	"math"

	"footing/audio/click"
	"footing/audio/judge"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ladder/notes"
)

// Rung is one rung of a step as the session plays it hands free: reps with
// their landing, parted by breaths. The count-in comes before the first and
// the breaths between, and no note is expected in either.
type Rung struct {
	// Tempo of the rung.
	Tempo click.Tempo
	// Reps that the session plays on it before it moves on.
	Reps int

	asked bool // the tempo was named
	step  ladder.Step
	notes []click.Stroke // of a rep, in order
	rep   click.Phrase
	rest  click.Beats // between the end of a rep and the next
	// Where the step's notes are known, these and what is played in a rep: a want for
	// each of notes.
	known *notes.Notes
	wants []notes.Want
}

// Of returns the rung of a valid step at a tempo: the first turn that the
// session takes on it. Tempo 0 is the rung that the step begins on. A tempo
// that is no rung of the step is taken as one set by hand.
func Of(step ladder.Step, tempo click.Tempo) Rung {
	asked := tempo != 0
	if !asked {
		tempo = ladder.NewStanding(step).Tempo()
	}
	r := Rung{Tempo: tempo, asked: asked, step: step, Reps: turn(step, tempo)}
	if r.Reps == 0 {
		byHand := step
		byHand.Tempo.From, byHand.Tempo.Below, byHand.Tempo.Goal = tempo, 0, tempo
		r.Reps = turn(byHand, tempo)
	}
	loop := step.Loop()
	r.rep = loop.RepPhrase(tempo)
	r.notes = struck(r.rep)
	if breath, ok := loop.BreathPhrase(tempo); ok {
		r.rest = breath.Length
	}
	return r
}

// turn is how many reps the session plays hands free on the first turn at a
// tempo, 0 when it never comes there.
func turn(step ladder.Step, tempo click.Tempo) int {
	reps := 0
	for _, p := range conduct.HandsFree(ladder.Routine{Name: "take", Steps: []ladder.Step{step}}) {
		if p.Tempo != tempo && reps > 0 {
			break
		}
		if p.Tempo == tempo && p.Kind == click.Rep {
			reps++
		}
	}
	return reps
}

// Grid is where the notes of so many reps lie, the first of them at first
// seconds. It has no places where a rep has no notes.
func (r Rung) Grid(reps int, first float64) judge.Grid {
	const rate = 48_000
	g := judge.Grid{BPM: r.Tempo.BPM(), SlotsPerBeat: r.step.Slots.Count(), Landing: r.step.Chunk.Landing}
	line := click.NewTimeline(0, r.Tempo, rate)
	seconds := func(b click.Beats) float64 {
		p := line.At(b)
		return (float64(p.Frame) + float64(p.Frac)/(1<<64)) / rate
	}
	if len(r.notes) == 0 {
		return g
	}
	lead := seconds(r.notes[0].At)
	for rep := range reps {
		for i, n := range r.notes {
			g.Places = append(g.Places, judge.Place{Seconds: first + seconds(n.At) - lead, Slot: i + 1, Rep: rep + 1})
		}
		line.Advance(r.rep.Length)
		line.Advance(r.rest)
	}
	return g
}

// Labels is what the step counts on each note of a rep; where it counts
// nothing, the number system. A note that lies on no slot, and a stroke of a
// cross-rhythm, is counted by its place in the beat: of 3:2 "1 la & li".
func (r Rung) Labels() []string {
	count := r.step.Count
	if count == click.CountNone {
		count = click.CountNumber
	}
	measures, err := r.step.Measures()
	if err != nil {
		return nil // not of a valid step
	}
	_, _, crossed := r.step.Slots.Crossed()
	var out []string
	for i, n := range r.notes {
		bar := measures.Bar(n.Bar)
		if n.Slot >= 0 && !crossed {
			out = append(out, count.In(bar, r.step.Slots.Count(), n.Slot, n.Beat))
			continue
		}
		var place click.Beats
		if n.Slot >= 0 {
			place = r.step.Slots.At(n.Slot)
		} else if w, ok := r.want(i + 1); ok {
			place = w.In.Sub(click.Whole(n.Beat))
		}
		out = append(out, count.At(bar, place, n.Beat))
	}
	return out
}

// fitsNone says why no reps were found in a take of a step.
func (r Rung) fitsNone(step string) string {
	if len(r.notes) == 0 && r.known != nil {
		return fmt.Sprintf("No note begins in the chunk of %q.", step)
	}
	if len(r.notes) == 0 {
		return fmt.Sprintf("The chunk of %q holds no slot of the click, so no note is expected in it.", step)
	}
	return fmt.Sprintf("None of them fit the reps of %q at %s bpm.", step, r.Tempo)
}

// played says at what tempo a take was played where that is not the rung's.
func (r Rung) played(l Laid) string {
	switch {
	case l.Last > 0:
		return fmt.Sprintf("The take goes from about %s to about %s bpm; each rep is heard at its own tempo.", tenths(l.Tempo), tenths(l.Last))
	case l.Tempo > 0:
		return fmt.Sprintf("It was played at about %s bpm, not at %s, and is heard at that.", tenths(r.nearest(l.Tempo)), r.Tempo)
	}
	return ""
}

// nearest is the step's rung nearest to a tempo in beats a minute where one is
// within a hundredth, and the tempo where none is.
func (r Rung) nearest(bpm float64) float64 {
	for _, t := range r.step.Tempo.Rungs() {
		if math.Abs(t.BPM()/bpm-1) < 0.01 {
			return t.BPM()
		}
	}
	return bpm
}
