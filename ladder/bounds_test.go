package ladder_test

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

// Each bound of a step can be practised, and what lies one beyond it cannot.
func TestBoundsOfAStep(t *testing.T) {
	by := func(kind ladder.StepKind) func(*ladder.Step, int) {
		return func(s *ladder.Step, n int) {
			s.Tempo = ladder.Range{From: click.BPM(100), Goal: click.BPM(110), By: ladder.StepSize{Kind: kind, Amount: int64(n)}}
		}
	}
	for _, tt := range []struct {
		key       string
		low, high int
		set       func(*ladder.Step, int)
	}{
		{"count-in", 0, ladder.MaxRest, func(s *ladder.Step, n int) { s.CountIn = n }},
		{"breath", 0, ladder.MaxRest, func(s *ladder.Step, n int) { s.Breath = n }},
		{"reps", 1, ladder.MaxReps, func(s *ladder.Step, n int) { s.Reps = n }},
		{"clean", 1, ladder.MaxNeed, func(s *ladder.Step, n int) { s.Rule.Clean = n }},
		{"rough", 1, ladder.MaxNeed, func(s *ladder.Step, n int) { s.Rule.Rough = n }},
		{"step", 100, 100_000, by(ladder.ByBPM)},
		{"step", 100, 100_000, by(ladder.ByPercent)},
		{"from", int(click.MinTempo), 104_000, func(s *ladder.Step, n int) { s.Tempo.From = click.Tempo(n) }},
		{"goal", 64_000, int(click.MaxTempo), func(s *ladder.Step, n int) { s.Tempo.Goal = click.Tempo(n) }},
		{"from", 1, ladder.MaxRungs - 1, func(s *ladder.Step, n int) {
			s.Tempo = ladder.Range{Below: n, Goal: click.BPM(200), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 100}}
		}},
		{"bars", 17, ladder.MaxBar, func(s *ladder.Step, n int) { s.Passage.To, s.Chunk.Bar, s.Chunk.Length = n, 17, click.Whole(1) }},
		{"swing", 1, click.MaxSlots, func(s *ladder.Step, n int) { s.Slots = click.Swing(3, n) }},
	} {
		for _, n := range []int{tt.low - 1, tt.low, tt.high, tt.high + 1} {
			s := march.Step(nil)
			tt.set(&s, n)
			faults := s.Check()
			switch within := n >= tt.low && n <= tt.high; {
			case within && len(faults) > 0:
				t.Errorf("%s: %d is refused: %v", tt.key, n, faults[0])
			case !within && len(faults) == 0:
				t.Errorf("%s: %d is taken", tt.key, n)
			}
		}
	}
}

// The first number of a swing ratio has bounds as the second has; none is no swing.
func TestBoundsOfASwing(t *testing.T) {
	for n, ok := range map[int]bool{1: true, click.MaxSlots: true, click.MaxSlots + 1: false} {
		s := march.Step(nil)
		if s.Slots = click.Swing(n, 1); (len(s.Check()) == 0) != ok {
			t.Errorf("%d:1 gives %v", n, s.Check())
		}
	}
}

// A step of as many rungs as a ladder may have is taken, below the goal as above
// the start, and its sentence says how many there may be.
func TestAsManyRungsAsThereAre(t *testing.T) {
	for below, ok := range map[int]bool{23: true, 24: false} {
		s := march.Step(nil)
		s.Tempo = ladder.Range{Below: below, Goal: click.BPM(104), By: bpm(4)} // 104 − 23 × 4 = 12
		if faults := s.Check(); (len(faults) == 0) != ok {
			t.Errorf("%d rungs below: %v", below, faults)
		}
	}
	s := march.Step(nil)
	s.Tempo = ladder.Range{From: click.BPM(64), Goal: click.BPM(64), By: bpm(4)}
	if faults := s.Check(); len(faults) > 0 {
		t.Errorf("a start on the goal: %v", faults)
	}
	s.Tempo = ladder.Range{Below: 1, Goal: click.BPM(14), By: bpm(4)}
	if faults := s.Check(); len(faults) > 0 {
		t.Errorf("one rung below, at 10 bpm: %v", faults)
	}
}

// A chunk begins within its bar, and a beat is any note value that has a word.
func TestWhereAChunkBeginsAndWhatABeatIs(t *testing.T) {
	for at, ok := range map[click.Beats]bool{click.Whole(-1): false, {}: true, click.Frac(15, 4): true, click.Whole(4): false} {
		s := march.Step(func(s *ladder.Step) { s.Chunk.At, s.Chunk.Length = at, click.Frac(1, 4) })
		if faults := s.Check(); (len(faults) == 0) != ok {
			t.Errorf("a chunk from beat %v of the bar: %v", at, faults)
		}
	}
	for unit, ok := range map[click.Unit]bool{{Num: 1, Den: 4}: true, {Num: 1, Den: 8}: true, {Num: 1, Den: 2}: true, {Num: 1, Den: 3}: false} {
		r := ladder.Routine{Name: "Morning runs", Steps: []ladder.Step{march.Step(func(s *ladder.Step) { s.Unit, s.Chunk.At, s.Chunk.Length = unit, click.Beats{}, click.Whole(1) })}}
		if faults := r.Check(); (len(faults) == 0) != ok {
			t.Errorf("a beat of %v: %v", unit, faults)
		}
	}
}

// A last rung by percent is never one that nobody could tell from the goal.
func TestNoRungBesideTheGoal(t *testing.T) {
	for _, tt := range []struct {
		from, goal click.Tempo
		want       string
	}{
		{100_000, 110_200, "[100 110.2]"},     // 110 is two tenths from it
		{100_000, 110_300, "[100 110 110.3]"}, // and here three
		{100_000, 100_200, "[100 100.2]"},     // the start stays, however near
		{100_000, 100_100, "[100 100.1]"},     //
		{100_000, 120_900, "[100 110 120.9]"}, // 121 would be above
		{100_000, 121_200, "[100 110 121.2]"}, //
		{100_000, 121_000, "[100 110 121]"},   //
		{10_000, 10_900, "[10 10.9]"},         //
		{395_000, 400_000, "[395 400]"},       // the next rung would be above 400
		{350_000, 400_000, "[350 385 400]"},   //
		{363_600, 400_000, "[363.6 400]"},     // 399.96, rounded
	} {
		rungs := ladder.Range{From: tt.from, Goal: tt.goal, By: percent(10)}.Rungs()
		if got := fmt.Sprint(rungs); got != tt.want {
			t.Errorf("from %v to %v by 10%%: %s, want %s", tt.from, tt.goal, got, tt.want)
		}
	}
	// By bpm every rung is one, however near.
	if got := fmt.Sprint(ladder.Range{From: 100_000, Goal: 104_100, By: bpm(4)}.Rungs()); got != "[100 104 104.1]" {
		t.Errorf("by 4 bpm: %s", got)
	}
}

func TestDownLeavesNoTempoThatCannotBePlayed(t *testing.T) {
	for _, tt := range []struct {
		by   ladder.StepSize
		from click.Tempo
		to   click.Tempo
		ok   bool
	}{
		{bpm(4), 14_000, 10_000, true},
		{bpm(4), 13_999, 9_999, false},
		{percent(10), 11_000, 10_000, true},
		{percent(10), 10_900, 9_900, false},
		{percent(1), 10_100, 10_000, true},
		{ladder.StepSize{Kind: ladder.ByPercent, Amount: 100}, 20_000, 19_900, true}, // a tenth at least
		{byMarks, 40_000, 38_000, true},
		{byMarks, 41_000, 40_000, true},
		{byMarks, 12_000, 10_000, true},
		{byMarks, 11_999, 9_999, false},
		{byMarks, 300_000, 208_000, true},
		{byMarks, 208_000, 200_000, true},
	} {
		if got, ok := tt.by.Down(tt.from); got != tt.to || ok != tt.ok {
			t.Errorf("down from %v by %v is %v, %v; want %v, %v", tt.from, tt.by, got, ok, tt.to, tt.ok)
		}
	}
}

// Every word reads back as what it names, and a number beyond the names has the
// last one rather than none.
func TestWords(t *testing.T) {
	for v, word := range map[ladder.Verdict]string{
		ladder.Clean: "clean", ladder.Rough: "rough", ladder.Skip: "skip", ladder.Unjudged: "unjudged", 200: "skip",
	} {
		if v.String() != word {
			t.Errorf("verdict %d is %q, want %q", v, v, word)
		}
		got, err := ladder.ParseVerdict(word)
		if named := v >= ladder.Clean && v <= ladder.Skip; named && (got != v || err != nil) || v == ladder.Unjudged && err == nil {
			t.Errorf("%q reads as %v, %v", word, got, err)
		}
	}
	if _, err := ladder.ParseVerdict("fine"); err == nil || !strings.Contains(err.Error(), "clean, rough or skip") {
		t.Errorf("no verdict: %v", err)
	}
	for s, word := range map[ladder.Source]string{
		ladder.Nobody: "nobody", ladder.Player: "player", ladder.Ears: "ears", ladder.HandsFree: "hands free", 99: "hands free",
	} {
		if s.String() != word {
			t.Errorf("source %d is %q, want %q", s, s, word)
		}
	}
	if got := ladder.RuleKind(99).String(); got != "arch" {
		t.Errorf("a rule that does not exist is %q", got)
	}
	for by, word := range map[ladder.StepSize]string{bpm(4): "4 bpm", percent(5): "5%", byMarks: "marks"} {
		if by.String() != word {
			t.Errorf("a step of %q, want %q", by, word)
		}
	}
}

// A text may be as long as its bound, and holds nothing that cannot be shown.
func TestTextsOfARoutine(t *testing.T) {
	for _, tt := range []struct {
		name string
		ok   bool
	}{
		{strings.Repeat("é", ladder.MaxName), true}, {strings.Repeat("é", ladder.MaxName+1), false},
		{"a\u2028b", false}, {"a\u2029b", false}, {"a\ufeffb", false}, {"a\ufffeb", false}, {"a\uffffb", false}, {"a\x7fb", false}, {"a\tb", false},
		{"♭ and ♯", true}, {"a b", true}, {"a ", false}, {" a", false},
	} {
		r := ladder.Routine{Name: "Morning runs", Steps: []ladder.Step{march.Step(nil)}}
		r.Steps[0].Name = tt.name
		if faults := r.Check(); (len(faults) == 0) != tt.ok {
			t.Errorf("a step called %q: %v", tt.name, faults)
		}
	}
	many := func(n int) ladder.Routine {
		r := ladder.Routine{Name: "Morning runs"}
		for i := range n {
			s := march.Step(nil)
			s.Name = fmt.Sprint("step ", i)
			r.Steps = append(r.Steps, s)
		}
		return r
	}
	for n, ok := range map[int]bool{1: true, ladder.MaxSteps: true, ladder.MaxSteps + 1: false} {
		if faults := many(n).Check(); (len(faults) == 0) != ok {
			t.Errorf("%d steps: %v", n, faults[:min(1, len(faults))])
		}
	}
	pencil := many(1)
	pencil.Steps[0].Pencil = strings.Repeat("a", ladder.MaxNote)
	if faults := pencil.Check(); len(faults) > 0 {
		t.Errorf("a pencil mark of %d characters: %v", ladder.MaxNote, faults)
	}
	// A second step without a name is told of that alone.
	nameless := many(2)
	nameless.Steps[0].Name, nameless.Steps[1].Name = "", ""
	if faults := nameless.Check(); len(faults) != 2 {
		t.Errorf("two steps without a name: %v", faults)
	}
}
