package hearing

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/audio/judge"
	"footing/ladder"
	"footing/ladder/march"
)

// run is two beats from bar 18, beat 2, of a march in 4/4, with landing.
func run(edit func(*ladder.Step)) ladder.Step {
	s := march.Step(nil)
	s.Tempo = ladder.Range{From: click.BPM(60), Goal: click.BPM(72), By: ladder.StepSize{Kind: ladder.ByMarks}}
	s.Reps, s.Rule.Kind = 8, ladder.Steady
	if edit != nil {
		edit(&s)
	}
	return s
}

// The counts follow from the rules of the ladder: steady plays the step's
// reps, earned three cleans, an arch over four rungs 4, 3, 2, 1, 2, 3, 4.
func TestRepsOfARung(t *testing.T) {
	earned := func(s *ladder.Step) { s.Rule = ladder.Rule{Kind: ladder.Earned, Clean: 3, Rough: 2} }
	arch := func(s *ladder.Step) { s.Rule.Kind, s.Reps = ladder.Arch, 4 }
	for _, tt := range []struct {
		name  string
		edit  func(*ladder.Step)
		tempo click.Tempo
		want  int
		at    click.Tempo
	}{
		{"first rung of a steady climb", nil, 0, 8, click.BPM(60)},
		{"a rung by its tempo", nil, click.BPM(66), 8, click.BPM(66)},
		{"a tempo by hand", nil, click.BPM(61), 8, click.BPM(61)},
		{"earned", earned, 0, 3, click.BPM(60)},
		{"an arch at its foot", arch, 0, 4, click.BPM(60)},
		{"an arch higher up", arch, click.BPM(63), 3, click.BPM(63)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			step := run(tt.edit)
			if faults := step.Check(); len(faults) > 0 {
				t.Fatal(faults)
			}
			if r := Of(step, tt.tempo); r.Reps != tt.want || r.Tempo != tt.at {
				t.Errorf("%d reps at %s, want %d at %s", r.Reps, r.Tempo, tt.want, tt.at)
			}
		})
	}
}

// A beat at 60 is a second: a rep of two beats, a landing of one and a breath
// of two come round every 5 s, sixteenths every 0.25 s.
func TestPlacesOfARep(t *testing.T) {
	g := Of(run(nil), 0).Grid(3, 1.25)
	if len(g.Places) != 27 || g.BPM != 60 || g.SlotsPerBeat != 4 || !g.Landing {
		t.Fatalf("%d places, %+v", len(g.Places), g)
	}
	for i, p := range g.Places {
		want := judge.Place{Seconds: 1.25 + 5*float64(i/9) + 0.25*float64(i%9), Slot: i%9 + 1, Rep: i/9 + 1}
		if math.Abs(p.Seconds-want.Seconds) > 1e-9 || p.Slot != want.Slot || p.Rep != want.Rep {
			t.Errorf("place %d is %+v, want %+v", i, p, want)
		}
	}
}

func TestWhichSlotsAreNotes(t *testing.T) {
	for _, tt := range []struct {
		name   string
		edit   func(*ladder.Step)
		want   []float64 // seconds at 60 bpm from the first note
		counts string
	}{
		{"a chunk of half a beat", func(s *ladder.Step) { s.Chunk.Length = click.Frac(1, 2) }, []float64{0, 0.25, 1}, "2 e 3"},
		{"begun within a beat", func(s *ladder.Step) { s.Chunk.At, s.Chunk.Length = click.Frac(3, 2), click.Whole(1) }, []float64{0, 0.25, 0.5, 0.75, 1.5}, "& a 3 e 4"},
		{"in a pickup", func(s *ladder.Step) {
			s.Pickup = click.Whole(1)
			s.Chunk = ladder.Chunk{Bar: 16, At: click.Whole(3), Length: click.Whole(1), Landing: true}
		}, []float64{0, 0.25, 0.5, 0.75, 1}, "4 e & a 1"},
		{"over a change of meter", func(s *ladder.Step) {
			s.Meters = []click.MeterChange{{Bar: 19, Meter: click.MakeMeter(3, 4)}}
			s.Slots = click.EvenSlots(1)
			s.Chunk = ladder.Chunk{Bar: 18, At: click.Whole(3), Length: click.Whole(4), Landing: true}
		}, []float64{0, 1, 2, 3, 4}, "4 1 2 3 1"},
		{"silent slots", func(s *ladder.Step) {
			s.Accents = click.Accents{{click.Forte, click.Silent, click.Silent, click.Silent}}
			s.Chunk.Length = click.Whole(1)
		}, []float64{0, 0.25, 0.5, 0.75, 1}, "2 e & a 3"},
		{"a doubled pulse over triplets", func(s *ladder.Step) {
			s.Pulse, s.Slots, s.Chunk.Length, s.Chunk.Landing = click.Doubled, click.EvenSlots(3), click.Whole(1), false
		}, []float64{0, 1.0 / 3, 2.0 / 3}, "2 la li"},
		{"swung, on the offbeat", func(s *ladder.Step) {
			s.Pulse, s.Slots, s.Chunk.Length = click.Offbeat, click.Swing(2, 1), click.Whole(1)
		}, []float64{0, 2.0 / 3, 1}, "2 & 3"},
		{"three against two", func(s *ladder.Step) {
			s.Slots, s.Chunk.Length = click.Cross(3, 2), click.Whole(1)
		}, []float64{0, 1.0 / 3, 1.0 / 2, 2.0 / 3, 1}, "2 la & li 3"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := Of(run(tt.edit), 0)
			var got []float64
			for _, p := range r.Grid(1, 0).Places {
				got = append(got, p.Seconds)
			}
			if !slices.EqualFunc(got, tt.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
				t.Errorf("notes at %v, want %v", got, tt.want)
			}
			if labels := strings.Join(r.Labels(), " "); len(r.Labels()) != len(got) || labels != tt.counts {
				t.Errorf("counted %q, want %q", labels, tt.counts)
			}
		})
	}
}

// take plays reps of the rung, the first note at first, with scatter, and the
// notes for which drop says so left out.
func take(r Rung, reps int, first, scatter float64, rng *rand.Rand, drop func(judge.Place) bool) []hear.Onset {
	var out []hear.Onset
	for _, p := range r.Grid(reps, first).Places {
		if drop == nil || !drop(p) {
			out = append(out, hear.Onset{Seconds: p.Seconds + rng.NormFloat64()*scatter, Midi: 60, Certainty: 1})
		}
	}
	return out
}

func TestLay(t *testing.T) {
	noodle := func(from float64, n int, step float64) (out []hear.Onset) {
		for i := range n {
			out = append(out, hear.Onset{Seconds: from + float64(i)*step})
		}
		return out
	}
	r := Of(run(nil), 0)
	rng := rand.New(rand.NewPCG(1, 2))
	for _, tt := range []struct {
		name   string
		onsets []hear.Onset
		first  float64
		reps   int
		inside int
	}{
		{"as the session plays it", take(r, 8, 3.7, 0.01, rng, nil), 3.7, 8, 72},
		{"fewer reps", take(r, 3, 11, 0.01, rng, nil), 11, 3, 27},
		{"more reps", take(r, 13, 0.4, 0.01, rng, nil), 0.4, 13, 117},
		{"a note of each rep missed", take(r, 8, 3.7, 0.01, rng, func(p judge.Place) bool { return p.Slot == p.Rep }), 3.7, 8, 64},
		{"a rep left out", take(r, 8, 3.7, 0.01, rng, func(p judge.Place) bool { return p.Rep == 4 }), 3.7, 8, 63},
		{"a false start", take(r, 8, 3.7, 0.01, rng, func(p judge.Place) bool { return p.Rep == 1 && p.Slot > 2 }), 3.7, 8, 65},
		{"warming up before and noodling after", slices.Concat(noodle(0.1, 12, 0.31), take(r, 8, 9, 0.01, rng, nil), noodle(49.5, 9, 0.23)), 9, 8, 72},
		{"the next rung follows", slices.Concat(take(r, 8, 2, 0.005, rng, nil), take(Of(run(nil), click.BPM(63)), 8, 2+40+2*60.0/63, 0.005, rng, nil)), 2, 16, 144},
	} {
		t.Run(tt.name, func(t *testing.T) {
			l := r.Lay(tt.onsets)
			if math.Abs(l.First-tt.first) > 0.02 || l.Reps != tt.reps || l.To-l.From != tt.inside {
				t.Errorf("%d reps from %.3f s with %d onsets; want %d from %.3f with %d", l.Reps, l.First, l.To-l.From, tt.reps, tt.first, tt.inside)
			}
		})
	}
}

// A take is heard at the tempo that was played, whichever was told, and that is
// said; reps that come in early or late, after breaths of any length, are all
// found.
func TestLayAsItWasPlayed(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	told := Of(run(nil), click.BPM(60))
	at63 := take(Of(run(nil), click.BPM(63)), 8, 3, 0.006, rng, nil)
	l := told.Lay(at63)
	if l.Reps != 8 || math.Abs(l.Tempo-63) > 0.7 || !strings.Contains(told.played(l), "played at about 63 bpm, not at 60") {
		t.Errorf("%d reps at %.1f bpm: %q", l.Reps, l.Tempo, told.played(l))
	}
	var free []hear.Onset
	at := 2.0
	for range 8 {
		free = append(free, take(told, 1, at, 0.006, rng, nil)...)
		at += 3.3 + rng.Float64()
	}
	if l := told.Lay(free); l.Reps != 8 || l.Tempo != 0 || l.To-l.From != 72 || told.played(l) != "" {
		t.Errorf("free breaths: %d reps with %d notes at %.1f bpm", l.Reps, l.To-l.From, l.Tempo)
	}
}

// A session that climbs is heard on all its rungs, however far they lie apart and
// whichever was told.
func TestLayTheWholeClimb(t *testing.T) {
	for _, rungs := range [][]int{{60, 63, 66, 69, 72}, {60, 72, 84, 96, 104}, {40, 60, 80, 100, 120}} {
		step := run(func(s *ladder.Step) {
			s.Tempo = ladder.Range{From: click.BPM(rungs[0]), Goal: click.BPM(rungs[4]), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 1000}}
		})
		for _, told := range []click.Tempo{0, click.BPM(rungs[2]), click.BPM(rungs[4])} {
			for _, late := range []float64{0, 0.025} {
				rng := rand.New(rand.NewPCG(9, 2))
				var onsets []hear.Onset
				at := 2.0
				for _, bpm := range rungs {
					for _, p := range Of(step, click.BPM(bpm)).Grid(2, at).Places {
						o := hear.Onset{Seconds: p.Seconds + rng.NormFloat64()*0.006, Midi: 60 + p.Slot*2%7, Certainty: 1, PlacedMs: 2}
						if p.Slot == 4 {
							o.Seconds += late
						}
						onsets = append(onsets, o)
					}
					at += (2*5 + 2) * 60 / float64(bpm)
				}
				r := Compare(Recording{Onsets: onsets}, Question{Step: &step, Tempo: told})
				if r.Reps != 10 || len(r.Missed)+r.Extra+r.Doubled > 0 || (r.Weak != nil) != (late > 0) || late > 0 && r.Weak.ToSlot != 4 {
					t.Errorf("%v told %s, %.0f ms late: %d reps, %q", rungs, told, 1000*late, r.Reps, r.Sentence)
				}
			}
		}
	}
}

// The rung that is asked for is found in a take of the whole climb.
func TestLayFindsALaterRung(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	var onsets []hear.Onset
	at, want := 2.0, 0.0
	for _, tempo := range []int{60, 63, 66, 69, 72} {
		if tempo == 69 {
			want = at
		}
		r := Of(run(nil), click.BPM(tempo))
		onsets = append(onsets, take(r, 8, at, 0.005, rng, nil)...)
		at += (8*5 + 2) * 60 / float64(tempo)
	}
	l := Of(run(nil), click.BPM(69)).Lay(onsets)
	if math.Abs(l.First-want) > 0.02 || l.Reps != 8 {
		t.Errorf("%d reps from %.3f s, want 8 from %.3f", l.Reps, l.First, want)
	}
}

func TestLayWithoutAnythingToLay(t *testing.T) {
	r := Of(run(nil), 0)
	if l := r.Lay(nil); l.Reps != 0 {
		t.Errorf("%d reps in silence", l.Reps)
	}
	if l := r.LayFrom([]hear.Onset{{Seconds: 1}, {Seconds: 2}}, 30); l.Reps != 0 {
		t.Errorf("%d reps after the end", l.Reps)
	}
}

// Whatever the step, an evenly played take of it is found where it begins. (With
// one note a beat, nothing but the breath would part one rep from the next.)
func TestLayFindsAnyStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := run(func(s *ladder.Step) {
			s.Slots = click.EvenSlots(rapid.IntRange(2, 6).Draw(t, "slots"))
			s.Chunk.Length = click.Whole(rapid.IntRange(1, 4).Draw(t, "beats"))
			s.Chunk.Landing = rapid.Bool().Draw(t, "landing")
			s.Breath = rapid.IntRange(1, 4).Draw(t, "breath")
			s.Reps = rapid.IntRange(1, 9).Draw(t, "reps")
		})
		r := Of(step, click.BPM(rapid.IntRange(30, 160).Draw(t, "bpm")))
		first := rapid.Float64Range(0, 20).Draw(t, "first")
		reps := rapid.IntRange(1, 12).Draw(t, "played")
		rng := rand.New(rand.NewPCG(uint64(reps), 1))
		onsets := take(r, reps, first, 0.002, rng, nil)
		l := r.Lay(onsets)
		if math.Abs(l.First-first) > 0.01 || l.Reps != reps || l.To-l.From != len(onsets) {
			t.Fatalf("%d reps from %.3f s, %d onsets; want %d from %.3f, %d", l.Reps, l.First, l.To-l.From, reps, first, len(onsets))
		}
	})
}

// A rep that begins at 18:2 has its fifth to eighth sixteenth in 18:3.
func TestChunkToCut(t *testing.T) {
	r := Of(run(nil), 0)
	for _, tt := range []struct {
		cut  judge.Cut
		want ladder.Chunk
		ok   bool
	}{
		{judge.Cut{FromSlot: 5, ToSlot: 6, Landing: 9}, ladder.Chunk{Bar: 18, At: click.Whole(2), Length: click.Whole(1), Landing: true}, true},
		{judge.Cut{FromSlot: 4, ToSlot: 5, Landing: 9}, ladder.Chunk{Bar: 18, At: click.Whole(1), Length: click.Whole(2), Landing: true}, true},
		{judge.Cut{FromSlot: 8, ToSlot: 8, Landing: 9}, ladder.Chunk{Bar: 18, At: click.Whole(2), Length: click.Whole(1), Landing: true}, true},
		{judge.Cut{FromSlot: 0, Landing: 9}, ladder.Chunk{}, false},
		{judge.Cut{FromSlot: 10, Landing: 12}, ladder.Chunk{}, false},
	} {
		if got, ok := r.Chunk(tt.cut); got != tt.want || ok != tt.ok {
			t.Errorf("cutting %+v gives %+v %v, want %+v %v", tt.cut, got, ok, tt.want, tt.ok)
		}
	}
}

func BenchmarkLay(b *testing.B) {
	r := Of(run(nil), 0)
	onsets := take(r, 700, 3, 0.01, rand.New(rand.NewPCG(1, 2)), nil) // an hour
	for b.Loop() {
		r.Lay(onsets)
	}
}

// A note between the slots is counted by its place in the beat.
func TestNotesBetweenTheSlotsAreCounted(t *testing.T) {
	step, n := bass(t, func(s *ladder.Step) {
		s.Notes.Typed = ladder.TypedNotes{Text: "d2 e2 f3 g a4 z4 |", Key: "C", Unit: "1/16"}
		s.Slots = click.EvenSlots(1)
	})
	if got := strings.Join(OfNotes(step, 0, n).Labels(), " "); got != "1 & 2 a 3" {
		t.Errorf("counted %q", got)
	}
}
