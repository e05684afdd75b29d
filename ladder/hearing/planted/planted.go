// Package planted makes takes of a step whose notes are known, with faults planted in
// them, and counts which of these are told, and what is told that was not played. For
// tests.
package planted

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"footing/audio/click"
	"footing/audio/takes"
	"footing/ladder"
	"footing/ladder/hearing"
	"footing/ladder/notes"
)

// Spec says what is played.
type Spec struct {
	takes.Spec
	// Faults are planted where it is true: a wrong note, one left out and one put in,
	// each in a rep of its own. Else the take is right.
	Faults bool
}

// Fault is one that was planted.
type Fault struct {
	Kind      hearing.FaultKind
	Slot, Rep int
}

// Take is a take of a step, and what is planted in it.
type Take struct {
	takes.Take
	Step   ladder.Step
	Notes  *notes.Notes
	Faults []Fault
}

// Reps of a take.
const Reps = 8

// Specs are so many takes, seeded from one seed on: instruments, articulations,
// places, tempos and registers mixed, every other with faults.
func Specs(n int, seed uint64) []Spec {
	instruments := append(takes.Instruments(), takes.Others()[:8]...)
	out := make([]Spec, n)
	for i := range out {
		rng := rand.New(rand.NewPCG(seed+uint64(i), 0xfa017))
		out[i] = Spec{takes.Spec{
			Instrument:   instruments[rng.IntN(len(instruments))],
			Articulation: []takes.Articulation{takes.Tongued, takes.Legato, takes.Slurred}[i/2%3],
			Place:        []takes.Place{takes.Dry, takes.Near}[i/6%2],
			BPM:          float64(rng.IntN(45) + 60), ScatterMs: 6, Up: rng.IntN(5), Seed: seed + uint64(i),
		}, i%2 == 0}
	}
	return out
}

// String is what a take is of, on one line.
func (s Spec) String() string {
	return fmt.Sprintf("%s, %s, %s, %.0f bpm, seed %d, faults %v", s.Instrument.Name, s.Articulation, s.Place, s.BPM, s.Seed, s.Faults)
}

// Make plays a take.
func Make(ctx context.Context, s Spec) (Take, error) {
	rng := rand.New(rand.NewPCG(s.Seed, 0x907e5))
	var out Take
	step, n, err := written(s, rng)
	if err != nil {
		return out, err
	}
	out.Step, out.Notes = step, n
	wants := n.Wants(step)
	beat := 60 / s.BPM
	period := beat * float64(step.Loop().RepBeats()+step.Breath)
	faults := map[int]hearing.FaultKind{}
	if s.Faults {
		reps := rng.Perm(Reps)
		faults[reps[0]+1], faults[reps[1]+1], faults[reps[2]+1] = hearing.WrongNote, hearing.MissedNote, hearing.ExtraNote
	}
	var sung []takes.Sung
	for rep := 1; rep <= Reps; rep++ {
		at := rng.IntN(len(wants)-2) + 1 // neither the first nor the last
		kind := faults[rep]
		if kind != "" {
			f := Fault{kind, at + 1, rep}
			out.Faults = append(out.Faults, f)
		}
		for i, w := range wants {
			key := w.Sounds[0] / 100
			long := beat / 4
			t := takes.Lead + float64(rep-1)*period + beat*float64(w.At.Num())/float64(w.At.Den())
			t += max(-2, min(2, rng.NormFloat64())) * s.ScatterMs / 1000
			note := takes.Sung{Note: takes.Note{Seconds: t, Midi: key, Slot: i + 1, Rep: rep}, Length: long}
			if i == at {
				switch kind {
				case hearing.MissedNote:
					continue
				case hearing.WrongNote:
					note.Midi = foreign(rng, wants, i, key)
				case hearing.ExtraNote:
					note.Length /= 2
					sung = append(sung, note)
					note.Seconds += long / 2
					note.Midi = foreign(rng, wants, i, key)
				}
			}
			sung = append(sung, note)
		}
	}
	out.Take, err = takes.Perform(ctx, s.Spec, sung)
	return out, err
}

// foreign is a key near another that neither it nor its neighbours are.
func foreign(rng *rand.Rand, wants []notes.Want, i, key int) int {
	for {
		k := key + rng.IntN(11) - 5
		if k != key && 100*k != wants[i-1].Sounds[0] && 100*k != wants[i+1].Sounds[0] {
			return k
		}
	}
}

// written is a step of two beats of sixteenths with a landing, and its notes, in an
// instrument's register: a scale, thirds, a chromatic run, a broken chord or leaps.
func written(s Spec, rng *rand.Rand) (ladder.Step, *notes.Notes, error) {
	var rows = [][]int{
		{0, 2, 4, 5, 7, 9, 11, 12, 14}, {0, 4, 2, 5, 4, 7, 5, 9, 7}, {0, 1, 2, 3, 4, 5, 6, 7, 8},
		{0, 4, 7, 12, 7, 4, 0, 4, 7}, {0, 2, 4, 2, 0, 2, 4, 5, 7}, {7, 5, 4, 2, 0, 2, 4, 5, 7},
	}
	row := rows[rng.IntN(len(rows))]
	if rng.IntN(4) == 0 {
		row = []int{rng.IntN(15)}
		for len(row) < 9 {
			if k := rng.IntN(15); k != row[len(row)-1] {
				row = append(row, k)
			}
		}
	}
	row = slices.Clone(row)
	if rng.IntN(2) == 0 {
		slices.Reverse(row)
	}
	var text strings.Builder
	for _, k := range row {
		text.WriteString(typed(s.Instrument.Low + s.Up + k))
	}
	step := ladder.DefaultStep()
	step.Name = "Weir Street run"
	step.Passage = ladder.Passage{From: 17, To: 17}
	step.Tempo = ladder.Range{From: click.BPM(int(s.BPM)), Goal: click.BPM(int(s.BPM)), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 4000}}
	step.Slots = click.EvenSlots(4)
	step.Breath, step.Reps = 2, Reps
	step.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(2), Landing: true}
	step.Notes.Typed = ladder.TypedNotes{Text: text.String() + "4 z4 |", Unit: "1/16"}
	n, _, err := notes.Of(step, nil)
	return step, n, err
}

// typed is a key as it is typed, with a sign on every note.
func typed(key int) string {
	letters := []string{"=C", "^C", "=D", "_E", "=E", "=F", "^F", "=G", "_A", "=A", "_B", "=B"}
	out := letters[key%12]
	for o := key/12 - 1; o < 4; o++ {
		out += ","
	}
	for o := key/12 - 1; o > 4; o-- {
		out += "'"
	}
	return out
}

// Figures count over takes.
type Figures struct {
	Takes, Right   int                       // in all, and those without a fault in them
	Planted, Found map[hearing.FaultKind]int // faults, and those told as what they are
	False          int                       // faults told that were not planted, in takes with faults
	FalseTakes     int                       // right takes of which a fault is told
	Notes, Unsure  int                       // of right takes
	Failed         []string                  // what went wrong, one line each
}

// Add hears a take and counts it.
func (f *Figures) Add(s Spec, t Take) error {
	if f.Planted == nil {
		f.Planted, f.Found = map[hearing.FaultKind]int{}, map[hearing.FaultKind]int{}
	}
	recording, err := hearing.Listen(t.Samples, takes.Rate)
	if err != nil {
		return err
	}
	report := hearing.Compare(recording, hearing.Question{Step: &t.Step, Notes: t.Notes})
	f.Takes++
	var told []hearing.Fault
	if report.Reading != nil {
		told = report.Reading.Faults
	}
	for _, p := range t.Faults {
		f.Planted[p.Kind]++
		found := slices.ContainsFunc(told, func(g hearing.Fault) bool { return p.is(g) })
		if found {
			f.Found[p.Kind]++
		} else {
			f.Failed = append(f.Failed, fmt.Sprintf("%s: not told: %+v, but %+v", s, p, told))
		}
	}
	for _, g := range told {
		if !slices.ContainsFunc(t.Faults, func(p Fault) bool { return p.is(g) }) {
			f.False++
			f.Failed = append(f.Failed, fmt.Sprintf("%s: told: %+v", s, g))
		}
	}
	if len(t.Faults) == 0 {
		f.Right++
		if len(told) > 0 {
			f.FalseTakes++
			f.False -= len(told)
		}
		if report.Reading != nil {
			f.Notes += report.Reading.Right + report.Reading.Unsure
			f.Unsure += report.Reading.Unsure
		}
	}
	return nil
}

// is reports whether a fault that is told is the planted one. One put in may be told
// after the note before as well.
func (p Fault) is(g hearing.Fault) bool {
	return g.Kind == p.Kind && g.Rep == p.Rep && (g.Slot == p.Slot || p.Kind == hearing.ExtraNote && g.Slot == p.Slot-1)
}

// Join adds the figures of other takes.
func (f *Figures) Join(o Figures) {
	if f.Planted == nil {
		f.Planted, f.Found = map[hearing.FaultKind]int{}, map[hearing.FaultKind]int{}
	}
	for k, n := range o.Planted {
		f.Planted[k] += n
		f.Found[k] += o.Found[k]
	}
	f.Takes, f.Right, f.False, f.FalseTakes = f.Takes+o.Takes, f.Right+o.Right, f.False+o.False, f.FalseTakes+o.FalseTakes
	f.Notes, f.Unsure = f.Notes+o.Notes, f.Unsure+o.Unsure
	f.Failed = append(f.Failed, o.Failed...)
}
