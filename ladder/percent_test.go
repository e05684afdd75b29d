package ladder

import (
	"math/big"
	"testing"

	"footing/audio/click"
	"footing/ladder/passage/pattern"
)

// A rung by percent is the exact one, rounded half up to a tenth of a bpm, and at
// least a tenth away.
func TestPercentIsExact(t *testing.T) {
	tenths := func(r *big.Rat) click.Tempo {
		r = new(big.Rat).Add(new(big.Rat).Quo(r, big.NewRat(100, 1)), big.NewRat(1, 2))
		return click.Tempo(new(big.Int).Div(r.Num(), r.Denom()).Int64()) * 100
	}
	for _, amount := range []int64{100, 999, 2500, 5000, 12_345, 100_000} {
		step := StepSize{Kind: ByPercent, Amount: amount}
		factor := big.NewRat(100_000+amount, 100_000)
		for tempo := click.BPM(20); tempo <= click.BPM(190); tempo += 97 {
			exact := big.NewRat(int64(tempo), 1)
			if got, _ := step.up(tempo); got != max(tempo+100, tenths(new(big.Rat).Mul(exact, factor))) {
				t.Fatalf("%v and %v up is %v", tempo, step, got)
			}
			if got, _ := step.Down(tempo); got != min(tempo-100, tenths(new(big.Rat).Quo(exact, factor))) {
				t.Fatalf("%v and %v down is %v", tempo, step, got)
			}
		}
	}
}

// A beat that reads as another is none.
func TestABeatHasAWordOfItsOwn(t *testing.T) {
	for unit, good := range map[click.Unit]bool{{Num: 1, Den: 4}: true, {Num: 1, Den: 8}: true, {Num: 2, Den: 8}: false, {Num: 5, Den: 7}: false} {
		r := practice(nil)
		r.Steps[0].Unit = unit
		if faults := r.Check(); (len(faults) == 0) != good {
			t.Errorf("a beat of %d/%d: %v", unit.Num, unit.Den, faults)
		}
	}
}

func TestNotesFromNowhere(t *testing.T) {
	var some Notes
	some.Instrument.Name = "bassoon"
	if !some.None() || !(Notes{}).None() {
		t.Error("an instrument alone is taken for notes")
	}
	for _, n := range []Notes{{Score: ScoreFile{File: "a.xml"}}, {Typed: TypedNotes{Text: "C"}}, {Pattern: pattern.Words{Key: "C major"}}} {
		if n.None() {
			t.Errorf("%+v is no source of notes", n)
		}
	}
}
