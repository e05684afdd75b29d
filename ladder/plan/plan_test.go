package plan

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

func five(s *ladder.Step) { s.Passage.From, s.Passage.To = 1, 5; s.Chunk.Bar = 1 }

func reasons(cuts []ladder.Cut) string {
	var out []string
	for _, c := range cuts {
		out = append(out, c.Why)
	}
	return strings.Join(out, ", ")
}

// The forward chain of five bars in full, as D. Ash and D. Holding chain (Human
// Factors 32, 1990): each link is added to all before it. The other orders are common
// practice, no source.
func TestPlansOfFiveBars(t *testing.T) {
	for _, tt := range []struct {
		kind Kind
		want string
	}{
		{Forward, "bar 1, bars 1-2, bars 1-3, bars 1-4, the passage"},
		{Backward, "bar 5, bars 4-5, bars 3-5, bars 2-5, the passage"},
		{Joined, "bar 1, bar 2, bars 1-2, bar 3, bars 2-3, bars 1-3, bar 4, bars 3-4, bars 1-4, bar 5, bars 4-5, the passage"},
		{Halves, "bar 1, bar 2, bars 1-2, bar 3, bars 1-3, bar 4, bar 5, bars 4-5, the passage"},
		{Around, "the two notes at 3:2+3/4, the notes around 3:2+3/4, the beat, two beats, the bar, the passage"},
	} {
		t.Run(tt.kind.String(), func(t *testing.T) {
			s := march.Step(five)
			if got := reasons(Make(tt.kind, s, click.Frac(39, 4), nil)); got != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
		})
	}
}

func TestASingleBarIsCutByBeats(t *testing.T) {
	s := march.Step(func(s *ladder.Step) { s.Passage.From, s.Passage.To = 18, 18 })
	if got, want := reasons(Make(Forward, s, click.Beats{}, nil)), "the beat at 18:1, 2 beats from 18:1, 3 beats from 18:1, the passage"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// Around a change between notes that are no slots, the chunks are of notes.
func TestAroundAChangeOfNotes(t *testing.T) {
	s := march.Step(five)
	edges := []click.Beats{{}, click.Whole(1), click.Frac(3, 2), click.Whole(2), click.Whole(3), click.Whole(4)}
	cuts := Make(Around, s, click.Frac(3, 2), edges)
	for i, want := range []struct{ from, length click.Beats }{
		{click.Whole(1), click.Whole(1)}, {click.Beats{}, click.Whole(3)}, {click.Whole(1), click.Whole(1)}, {click.Beats{}, click.Whole(2)},
	} {
		if cuts[i].At != want.from || cuts[i].Length != want.length {
			t.Errorf("%s: %s beats from %s, want %s from %s", cuts[i].Why, cuts[i].Length, cuts[i].At, want.length, want.from)
		}
	}
}

// Of every plan: it can be saved and practised, its cuts cover the passage, none is
// there twice running, a chain's cuts all begin or end together, and each of the
// neighbours joined is covered by what joins it.
func TestLawsOfPlans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := march.Step(func(s *ladder.Step) {
			s.Passage.From = rapid.IntRange(1, 20).Draw(t, "from")
			s.Passage.To = s.Passage.From + rapid.SampledFrom([]int{0, 1, 2, 4, 16, 70, 140}).Draw(t, "more bars")
			s.Pickup = click.Frac(rapid.Int64Range(0, 7).Draw(t, "pickup"), 2)
			s.Slots = click.EvenSlots(rapid.IntRange(1, 6).Draw(t, "slots"))
			s.Chunk = ladder.Chunk{Bar: s.Passage.From, Length: click.Whole(1)}
		})
		m, err := s.Measures()
		if err != nil {
			t.Fatal(err)
		}
		spot := m.Start().Add(click.Frac(rapid.Int64Range(0, m.Length().Times(4).Num()/m.Length().Times(4).Den()).Draw(t, "spot"), 4))
		for _, kind := range Kinds() {
			cuts := Make(kind, s, spot, nil)
			s.Plan = cuts
			if k := Of(s, nil); k < 0 || len(cuts) > 2 && Kinds()[k] != kind && !slices.Equal(Make(Kinds()[k], s, spot, nil), cuts) {
				t.Fatalf("%s is taken for kind %d", kind, k)
			}
			if faults := s.Check(); len(faults) > 0 {
				t.Fatalf("%s: %v", kind, faults)
			}
			var covered []bool
			for beat := m.Start(); beat.Less(m.End()); beat = beat.Add(click.Frac(1, 2)) {
				in := false
				for _, c := range cuts {
					from := m.Place(c.Bar, c.At)
					in = in || from.Cmp(beat) <= 0 && beat.Less(from.Add(c.Length))
				}
				covered = append(covered, in)
			}
			for i, in := range covered {
				if !in {
					t.Fatalf("%s: half beat %d is in no chunk", kind, i)
				}
			}
			for i, c := range cuts {
				if c.Why == "" || i > 0 && cuts[i-1].Bar == c.Bar && cuts[i-1].At == c.At && cuts[i-1].Length == c.Length {
					t.Fatalf("%s: cut %d is %+v", kind, i, c)
				}
				from := m.Place(c.Bar, c.At)
				to := from.Add(c.Length)
				switch whole := m.Length().Cmp(click.Whole(ladder.MaxChunkBeats)) <= 0; {
				case kind == Forward && whole && from != m.Start(),
					kind == Backward && to != m.End() && whole:
					t.Fatalf("%s: cut %d, %s to %s", kind, i, from, to)
				case kind == Forward && i > 0 && cuts[i-1].Length.Cmp(c.Length) > 0, kind == Backward && i > 0 && cuts[i-1].Length.Cmp(c.Length) > 0:
					t.Fatalf("%s: cut %d is shorter than the one before", kind, i)
				}
			}
		}
	})
}
