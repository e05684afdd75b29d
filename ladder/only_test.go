package ladder

import (
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

// Of any step only the places that are meant sound, at least one in a bar that has
// such a place, and the step can be practised still.
func TestOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before := DefaultStep()
		before.Name, before.Passage = "Run", Passage{Piece: "Weir Street March", From: 1, To: 9}
		before.Tempo = Range{From: click.BPM(60), Goal: click.BPM(80), By: StepSize{Kind: ByBPM, Amount: 4000}}
		before.Meter = click.MakeMeter(rapid.IntRange(1, 9).Draw(t, "beats"), 4)
		before.Meters = []click.MeterChange{{Bar: 5, Meter: click.MakeMeter(rapid.IntRange(1, 9).Draw(t, "more beats"), 4)}}
		before.Chunk = Chunk{Bar: 1, Length: click.Whole(1)}
		before.Slots = rapid.OneOf(rapid.Map(rapid.IntRange(1, click.MaxSlots), click.EvenSlots), rapid.Just(click.Swing(2, 1))).Draw(t, "slots")
		if faults := before.Check(); len(faults) > 0 {
			t.Fatalf("the step that was drawn has faults: %v", faults)
		}
		what := Only(rapid.IntRange(0, 2).Draw(t, "what"))
		s := before.Only(what)
		if faults := s.Check(); len(faults) > 0 {
			t.Fatalf("the step has faults: %v", faults)
		}
		m, err := s.Measures()
		if err != nil {
			t.Fatal(err)
		}
		for n := m.From(); n <= m.To(); n++ {
			bar := m.Bar(n)
			for beat := range bar.Beats {
				for i, d := range s.Accents.Marks(bar, s.Slots, beat) {
					want := map[Only]bool{
						OnlyBarLines:     beat == 0 && i == 0,
						OnlyEvenBeats:    beat%2 == 1 && i == 0,
						OnlySecondHalves: click.Frac(1, 2).Cmp(s.Slots.At(i)) <= 0,
					}[what]
					if (d != click.Silent) != want {
						t.Fatalf("in bar %d of %d beats, slot %d of beat %d is %s", n, bar.Beats, i+1, beat+1, d)
					}
				}
			}
		}
		if s.Slots != before.Slots && (before.Slots.Count() > 1 || what != OnlySecondHalves) {
			t.Fatalf("slots %s became %s", before.Slots, s.Slots)
		}
	})
}
