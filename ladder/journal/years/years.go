// Package years makes up what a bassoonist of a town wind band practises over weeks
// and years, the same for the same seed. For tests.
package years

import (
	"iter"
	"math/rand/v2"
	"time"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/march"
)

// Routine is what is practised: four steps of invented pieces.
func Routine() ladder.Routine {
	named := func(name, piece string, from, to int, low, goal int, bar int) ladder.Step {
		return march.Step(func(s *ladder.Step) {
			s.Name, s.Passage = name, ladder.Passage{Piece: piece, From: from, To: to}
			s.Tempo.From, s.Tempo.Goal = click.BPM(low), click.BPM(goal)
			s.Chunk.Bar = bar
		})
	}
	return ladder.Routine{Name: "Morning runs", Steps: []ladder.Step{
		named("Weir Street run", "Weir Street March", 17, 20, 56, 104, 18),
		named("Trio, the turn", "Weir Street March", 43, 46, 48, 88, 43),
		named("Second strain", "Weir Street March", 25, 28, 60, 96, 25),
		named("B flat in thirds", "", 1, 2, 60, 80, 1),
	}}
}

// Practice is sessions of entries, in their order: on about five days of the week
// one or two, of reps reps each about. path is the routine's file.
func Practice(seed uint64, start time.Time, days, reps int, path string) iter.Seq[[]journal.Entry] {
	return func(yield func([]journal.Entry) bool) {
		rng := rand.New(rand.NewPCG(seed, 12))
		r := Routine()
		skill := make([]float64, len(r.Steps)) // rungs that go well
		var met []journal.Entry
		for _, s := range r.Steps {
			met = append(met, journal.Entry{Met: &journal.Met{
				Place: journal.Place{Routine: path, Step: s.Name}, Piece: s.Passage.Piece, From: s.Passage.From, To: s.Passage.To, Goal: s.Tempo.Goal,
			}})
		}
		if !yield(met) {
			return
		}
		for day := range days {
			if rng.IntN(7) < 2 {
				continue
			}
			for n := range 1 + rng.IntN(2) {
				at := time.Date(start.Year(), start.Month(), start.Day()+day, 8+9*n, rng.IntN(60), rng.IntN(60), 0, start.Location())
				if !yield(session(rng, r, skill, journal.Session{Key: rng.Int64(), Start: at}, reps, path)) {
					return
				}
			}
		}
	}
}

// session is one session on one or two steps, those that go worst more often.
func session(rng *rand.Rand, r ladder.Routine, skill []float64, in journal.Session, reps int, path string) (out []journal.Entry) {
	at := in.Start
	number := 0
	for range 1 + rng.IntN(2) {
		i := min(rng.IntN(len(r.Steps)), rng.IntN(len(r.Steps)))
		step := r.Steps[i]
		step.Chunk.Landing = rng.IntN(4) > 0
		able := skill[i]
		if rng.IntN(3) == 0 { // some other place of the passage, which is behind the spot
			bar, beat := rng.IntN(step.Passage.To-step.Passage.From+1), rng.IntN(4)
			step.Chunk.Bar, step.Chunk.At = step.Passage.From+bar, click.Whole(beat)
			step.Chunk.Length = click.Whole(1 + rng.IntN(4-beat))
			able = max(able-float64((3*bar+2*beat)%5), 0)
		}
		rungs := step.Tempo.Rungs()
		rung, run := min(max(int(able)-2, 0), len(rungs)-1), 0
		for range reps/2 + rng.IntN(reps/2+1) {
			number++
			v := ladder.Clean
			if rng.Float64() < 0.1+0.25*max(0, float64(rung)-able) {
				v = ladder.Rough
			}
			p := ladder.Played{Number: number, Name: step.Name, Tempo: rungs[rung], Chunk: step.Chunk, Verdict: v, Source: ladder.Player, Whole: true}
			rep := journal.Played(p, step, path, in, at)
			at = at.Add(rep.Looped())
			rep.At = at
			out = append(out, journal.Entry{Rep: &rep})
			if run++; v == ladder.Rough {
				run, rung = 0, max(rung-1, 0)
			} else if run == 3 {
				run, rung = 0, min(rung+1, len(rungs)-1)
			}
		}
		skill[i] = min(skill[i]+0.35*rng.Float64(), float64(len(rungs)-1))
		if rng.IntN(6) == 0 {
			text := []string{"flick on the high A: thumb earlier", "whisper key off before the high A", "not late into the third beat", "left hand quiet"}[rng.IntN(4)]
			out = append(out, journal.Entry{Mark: &journal.Mark{Place: journal.Place{Routine: path, Step: step.Name}, At: at, Text: text}})
		}
	}
	return out
}

// Rep is a single rep of a step of a routine of its own.
func Rep(name string, at time.Time, tempo click.Tempo, v ladder.Verdict) journal.Entry {
	step := march.Step(func(s *ladder.Step) { s.Name, s.Passage.Piece = name, name })
	r := journal.Played(ladder.Played{Number: 1, Name: name, Tempo: tempo, Chunk: step.Chunk, Verdict: v, Source: ladder.Player, Whole: true},
		step, "/music/"+name+".yaml", journal.Session{Key: at.UnixNano(), Start: at.Add(-time.Minute)}, at)
	return journal.Entry{Rep: &r}
}
