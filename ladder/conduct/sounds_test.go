package conduct

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/passage"
)

func TestSoundsAreMadeOnceForAStep(t *testing.T) {
	a := 440.0
	f := NewSounds(48_000, func() float64 { return a })
	plain, own := march.Step(nil), march.Step(func(s *ladder.Step) {
		s.Sounds.Bar, s.Sounds.Stereo = "brass", ladder.BeatsLeft
		s.Sounds.Levels[click.Piano] = ladder.Level{Given: true, DB: -20}
		s.Sounds.Drone.Note = passage.Pitch{Letter: passage.A, Octave: 3}
	})
	if f(plain) != nil {
		t.Error("a step without sounds of its own has some")
	}
	made := f(own)
	if made.Kits[click.BarRank] == nil || made.Kits[click.BeatRank] != nil || made.Kits[click.SlotRank] != nil {
		t.Errorf("the kits are %v", made.Kits)
	}
	if g := made.Gains; g != [5]float32{click.Piano: 0.1} {
		t.Errorf("the gains are %v", g)
	}
	if s := made.Sides; s != [3]click.Side{click.Right, click.Left, click.Left} {
		t.Errorf("the sides are %v", s)
	}
	if d := made.Drone; math.Abs(d.Hz-220) > 1e-9 || d.Level != 1 {
		t.Errorf("the drone is %v Hz at %v", d.Hz, d.Level)
	}
	own.Chunk.Length = click.Whole(1)
	if f(plain) != nil || f(own) != made {
		t.Error("they are made again for another chunk")
	}
	a = 442
	if tuned := f(own); math.Abs(tuned.Drone.Hz-221) > 1e-9 {
		t.Errorf("at another A the drone is %v Hz", tuned.Drone.Hz)
	}
	own.Sounds.Drone.A = 415
	if tuned := f(own); math.Abs(tuned.Drone.Hz-207.5) > 1e-9 {
		t.Errorf("with an A of its own the drone is %v Hz", tuned.Drone.Hz)
	}
	own.Sounds.Drone.Level = -12
	if before, after := f(own), own; f(after).Drone.Wave != before.Drone.Wave {
		t.Error("another level makes another wave")
	}
}

// The drone of a file goes through rungs, count-ins, breaths, chunks and steps on one
// phase, ends within a tenth of a second where a step has none, and is over at the end.
func TestADroneGoesThroughARoutine(t *testing.T) {
	const rate = 48_000
	a3 := passage.Pitch{Letter: passage.A, Octave: 3}
	short := func(name string, note passage.Pitch, edit func(*ladder.Step)) ladder.Step {
		return march.Step(func(s *ladder.Step) {
			s.Name, s.Reps, s.Rule.Kind, s.Sounds.Drone.Note = name, 2, ladder.Steady, note
			s.Tempo.Goal = click.BPM(76)
			edit(s)
		})
	}
	kit := click.Kit{Accent: []float32{0}, Beat: []float32{0}, Slot: []float32{0}}
	var x []float32
	var begins []int64 // of the steps
	r := Rendition{
		Routine: ladder.Routine{Name: "Runs", Steps: []ladder.Step{
			short("one", a3, func(*ladder.Step) {}), short("two", a3, func(s *ladder.Step) { s.Chunk.Length = click.Frac(5, 2); s.Tempo.From = click.BPM(72) }),
			short("none", passage.Pitch{}, func(s *ladder.Step) { s.Tempo.From = s.Tempo.Goal }),
			short("three", a3, func(s *ladder.Step) { s.Tempo.From = s.Tempo.Goal }),
		}},
		Rate: rate, Kit: &kit, Volume: 1, Sounds: NewSounds(rate, func() float64 { return 440 }),
		Sink: func(s []float32) error { x = append(x, s...); return nil },
	}
	r.Mark = func(p Place) {
		if p.Rep == 0 && int(p.Part.Step) == len(begins) {
			begins = append(begins, p.Frame)
		}
	}
	n, err := r.Render(context.Background())
	if err != nil || int64(len(x)) != n {
		t.Fatalf("%d frames, %d samples, %v", n, len(x), err)
	}
	peak := func(from, to int64) (p float32) {
		for _, v := range x[from:to] {
			p = max(p, v, -v)
		}
		return p
	}
	phase := func(at int64) float64 {
		sum := complex128(0)
		for i, v := range x[at : at+rate/10] { // 22 periods
			sum += complex(float64(v), 0) * cmplx.Rect(1, -2*math.Pi*220*float64(at+int64(i))/rate)
		}
		return cmplx.Phase(sum)
	}
	first := phase(rate)
	for at := int64(rate / 2); at+rate/10 < begins[2]; at += rate / 20 {
		if off := math.Remainder(phase(at)-first, 2*math.Pi); math.Abs(off) > 1e-3 {
			t.Fatalf("after %.2f s of two steps the phase is off by %v", float64(at)/rate, off)
		}
	}
	if p := peak(begins[2]+rate/10+1, begins[3]); p != 0 {
		t.Errorf("a step without a drone has one that peaks at %v", p)
	}
	if early, late := peak(begins[3], begins[3]+480), peak(begins[3]+rate, n); early > late/5 || early == 0 {
		t.Errorf("it comes back at %v, and peaks at %v then", early, late)
	}
	length, err := r.Length(context.Background())
	if err != nil || n-length < rate/11 || n-length > rate/9 {
		t.Errorf("it ends %d frames behind the routine, %v", n-length, err)
	}
	if p := peak(n-48, n); p > 0.001 || p == 0 {
		t.Errorf("its end peaks at %v", p)
	}
}

// In MIDI a rank with a sound of its own has a key of its own, and a level is one of
// velocity; what midicsv reads.
func TestSoundsInMIDI(t *testing.T) {
	step := march.Step(func(s *ladder.Step) {
		s.Chunk, s.CountIn, s.Breath = ladder.Chunk{Bar: 18, Length: click.Whole(2)}, 0, 0
		s.Slots, s.Reps, s.Rule.Kind, s.Tempo.Goal = click.EvenSlots(2), 1, ladder.Steady, s.Tempo.From
	})
	keys := func() (out string) {
		for _, n := range list(t, midi(t, Rendition{Routine: ladder.Routine{Name: "Runs", Steps: []ladder.Step{step}}, Rate: 48_000})).notes {
			out += fmt.Sprintf("%d/%d ", n.key, n.velo)
		}
		return out
	}
	if got := keys(); got != "76/112 77/64 76/88 77/64 " {
		t.Errorf("as usual the notes are %s", got)
	}
	step.Sounds.Bar, step.Sounds.Slot = "brass", "wood"
	step.Sounds.Levels[click.Piano], step.Sounds.Levels[click.MezzoForte] = ladder.Level{Given: true, DB: -40}, ladder.Level{Given: true, DB: -4}
	step.Sounds.Stereo, step.Sounds.Drone.Note = ladder.BeatsLeft, passage.Pitch{Letter: passage.A, Octave: 3}
	if got := keys(); got != "81/112 76/11 76/89 76/11 " {
		t.Errorf("with sounds of its own the notes are %s", got)
	}
}
