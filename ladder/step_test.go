package ladder_test

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

func marks(t *testing.T, line string) []click.Dynamics {
	t.Helper()
	m, err := click.ParseMarks(line)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// meters changes the meter in bars, each written as "19 3/4".
func meters(changes ...string) func(*ladder.Step) {
	return func(s *ladder.Step) {
		for _, c := range changes {
			var bar, above, below int
			fmt.Sscanf(c, "%d %d/%d", &bar, &above, &below)
			s.Meters = append(s.Meters, click.MeterChange{Bar: bar, Meter: click.MakeMeter(above, below)})
		}
	}
}

func TestStepCheck(t *testing.T) {
	tests := []struct {
		name   string
		change func(*ladder.Step)
		key    string // of the only fault, "" when there is none
		says   string
	}{
		{"as written", func(*ladder.Step) {}, "", ""},
		{"the default", func(s *ladder.Step) { *s = ladder.DefaultStep() }, "", ""},
		{"chunk to the last beat", func(s *ladder.Step) { s.Chunk.Length = click.Whole(11) }, "", ""},
		{"chunk over the end", func(s *ladder.Step) { s.Chunk.Length = click.Whole(12) }, "beats", "write at most 11 beats"},
		{"no chunk", func(s *ladder.Step) { s.Chunk.Length = click.Beats{} }, "beats", "more than 0"},
		{"too fine a chunk", func(s *ladder.Step) { s.Chunk.Length = click.Frac(1, 961) }, "beats", "finer than 1/960"},
		{"chunk before the passage", func(s *ladder.Step) { s.Chunk.Bar = 16 }, "start", "outside bars 17-20"},
		{"chunk behind the passage", func(s *ladder.Step) { s.Chunk.Bar = 21 }, "start", "outside bars 17-20"},
		{"chunk past the bar", func(s *ladder.Step) { s.Chunk.At = click.Whole(4) }, "start", "beat 5 of a bar of 4"},
		{"bars the wrong way round", func(s *ladder.Step) { s.Passage = ladder.Passage{From: 20, To: 17} }, "bars", "20-17"},
		{"goal under the start", func(s *ladder.Step) { s.Tempo.Goal = click.BPM(60) }, "goal", "the goal 60 is under the start 64"},
		{"goal too fast", func(s *ladder.Step) { s.Tempo.Goal = click.BPM(401) }, "goal", "10 to 400"},
		{"start too slow", func(s *ladder.Step) { s.Tempo.From = click.BPM(9) }, "from", "10 to 400"},
		{"step too fine", func(s *ladder.Step) { s.Tempo.By.Amount = 99 }, "step", "0.1 bpm"},
		{"percent too coarse", func(s *ladder.Step) { s.Tempo.By = percent(101) }, "step", "100%"},
		{"no such spacing", func(s *ladder.Step) { s.Tempo.By.Kind = 3 }, "step", "no spacing"},
		{"400 rungs", func(s *ladder.Step) {
			s.Tempo = ladder.Range{From: 60_000, Goal: 60_000 + 399*100, By: ladder.StepSize{Amount: 100}}
		}, "", ""},
		{"401 rungs", func(s *ladder.Step) {
			s.Tempo = ladder.Range{From: 60_000, Goal: 60_000 + 400*100, By: ladder.StepSize{Amount: 100}}
		}, "step", "larger step"},
		{"too many rungs below", func(s *ladder.Step) { s.Tempo = ladder.Range{Below: 30, Goal: click.BPM(104), By: bpm(4)} },
			"from", "at most 23 rungs below"},
		{"no rung below", func(s *ladder.Step) { s.Tempo = ladder.Range{Below: 3, Goal: click.BPM(11), By: bpm(4)} },
			"goal", "higher goal"},
		{"no rungs below asked for", func(s *ladder.Step) { s.Tempo = ladder.Range{Goal: click.BPM(104), By: bpm(4)} },
			"from", "1 to 399 rungs below"},
		{"a mark too many", func(s *ladder.Step) { s.Accents = click.Accents{marks(t, "f p p p p")} }, "dynamics", "5 marks for 4 slots"},
		{"a line too few", func(s *ladder.Step) { s.Accents = click.Accents{marks(t, "f p p p"), marks(t, "f p p p")} },
			"dynamics", "2 lines of dynamics for 4 beats"},
		{"the beat does not fit", func(s *ladder.Step) { s.Unit = click.Unit{Num: 3, Den: 8} }, "beat", "write beat: quarter"},
		{"no meter", func(s *ladder.Step) { s.Meter = click.MakeMeter(4, 5) }, "meter", "4/4"},
		{"meters that change", meters("19 3/4", "20 4/4"), "", ""},
		{"a change at the first bar", meters("17 3/4"), "meters", "write a bar from 18 to 20 (bar 17 has meter:)"},
		{"a change past the passage", meters("21 3/4"), "meters", "bar 21 of bars 17-20"},
		{"a change in a passage of one bar", func(s *ladder.Step) { meters("18 3/4")(s); s.Passage.To, s.Chunk.Bar = 17, 17 }, "meters", "leave the change out"},
		{"changes out of order", meters("20 3/4", "19 2/4"), "meters", "each bar once, in order"},
		{"a change to no meter", func(s *ladder.Step) { s.Meters = []click.MeterChange{{Bar: 19, Meter: click.MakeMeter(3, 5)}} }, "meters", "3/5 is not a meter"},
		{"the beat does not fit a change", meters("19 7/8"), "beat", "a bar of 7/8 is not a whole number of quarter beats; write beat: eighth"},
		{"chunk over the end of shorter bars", func(s *ladder.Step) { meters("19 3/4")(s); s.Chunk.Length = click.Whole(10) }, "beats", "write at most 9 beats"},
		{"chunk past a shorter bar", func(s *ladder.Step) { meters("18 1/4")(s) }, "start", "beat 2 of a bar of 1"},
		{"lines of dynamics for the longest bar", func(s *ladder.Step) {
			meters("19 5/4")(s)
			s.Accents = click.Accents{marks(t, "f p p p"), marks(t, "f p p p"), marks(t, "f p p p"), marks(t, "f p p p")}
		}, "dynamics", "4 lines of dynamics for 5 beats"},
		{"a pickup", func(s *ladder.Step) { s.Pickup = click.Frac(1, 2) }, "", ""},
		{"a pickup of a bar", func(s *ladder.Step) { s.Pickup = click.Whole(4) }, "pickup", "less than 4"},
		{"a chunk from a pickup", func(s *ladder.Step) {
			s.Pickup, s.Chunk.Bar, s.Chunk.At = click.Frac(1, 2), 16, click.Frac(7, 2)
		}, "", ""},
		{"a chunk from before a pickup", func(s *ladder.Step) {
			s.Pickup, s.Chunk.Bar, s.Chunk.At = click.Frac(1, 2), 16, click.Whole(2)
		}, "start", "starts at 16:3, before a pickup of 1/2 beats; start it at 16:4+1/2 or later"},
		{"no swing", func(s *ladder.Step) { s.Slots = click.Swing(13, 1) }, "swing", "2:1"},
		{"count-in too long", func(s *ladder.Step) { s.CountIn = 33 }, "count-in", "0 to 32"},
		{"negative breath", func(s *ladder.Step) { s.Breath = -1 }, "breath", "0 to 32"},
		{"no reps", func(s *ladder.Step) { s.Reps = 0 }, "reps", "1 to 99"},
		{"no cleans", func(s *ladder.Step) { s.Rule.Clean = 0 }, "clean", "1 to 20"},
		{"too many roughs", func(s *ladder.Step) { s.Rule.Rough = 21 }, "rough", "1 to 20"},
		{"no such rule", func(s *ladder.Step) { s.Rule.Kind = 6 }, "rule", "steady"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := march.Step(nil)
			tt.change(&s)
			faults := s.Check()
			switch {
			case tt.key == "" && len(faults) > 0:
				t.Errorf("faults %v", faults)
			case tt.key != "" && len(faults) != 1:
				t.Errorf("%d faults %v, want one", len(faults), faults)
			case tt.key != "" && (faults[0].Key != tt.key || !strings.Contains(faults[0].Error(), tt.says)):
				t.Errorf("%s: %s; want %s: …%s…", faults[0].Key, faults[0].Error(), tt.key, tt.says)
			}
		})
	}
}

func TestRoutineCheck(t *testing.T) {
	second := march.Step(nil)
	second.Name = "Trio, slow"
	tests := []struct {
		name   string
		change func(*ladder.Routine)
		step   int
		key    string
		says   string
	}{
		{"as written", func(*ladder.Routine) {}, 0, "", ""},
		{"no name", func(r *ladder.Routine) { r.Name = "" }, -1, "name", "empty"},
		{"a blank around the name", func(r *ladder.Routine) { r.Name = "Runs " }, -1, "name", "blank"},
		{"a line break in the name", func(r *ladder.Routine) { r.Name = "Runs\nof May" }, -1, "name", "cannot be shown"},
		{"not UTF-8", func(r *ladder.Routine) { r.Steps[0].Name = "Tr\xedo" }, 0, "name", "cannot be shown"},
		{"a long name", func(r *ladder.Routine) { r.Steps[1].Name = strings.Repeat("é", 201) }, 1, "name", "longer than 200"},
		{"no steps", func(r *ladder.Routine) { r.Steps = nil }, -1, "steps", "0 steps"},
		{"the same name twice", func(r *ladder.Routine) { r.Steps[1].Name = r.Steps[0].Name }, 1, "name", "step 1 is called"},
		{"lines in a pencil mark", func(r *ladder.Routine) { r.Steps[0].Pencil = "thumb\noff" }, 0, "", ""},
		{"a bell in a pencil mark", func(r *ladder.Routine) { r.Steps[0].Pencil = "thumb\a" }, 0, "pencil", "cannot be shown"},
		{"lines in a piece", func(r *ladder.Routine) { r.Steps[0].Passage.Piece = "Weir\nStreet" }, 0, "piece", "cannot be shown"},
		{"a beat without a word", func(r *ladder.Routine) {
			r.Steps[1].Meter, r.Steps[1].Unit = click.MakeMeter(5, 4), click.Unit{Num: 5, Den: 4}
			r.Steps[1].Chunk.At = click.Beats{}
		}, 1, "beat", "write one of whole"},
		{"no such pulse", func(r *ladder.Routine) { r.Steps[0].Pulse = 9 }, 0, "pulse", "doubled"},
		{"no such counting", func(r *ladder.Routine) { r.Steps[0].Count = 9 }, 0, "count", "takadimi"},
		{"a step that cannot be practised", func(r *ladder.Routine) { r.Steps[1].Reps = 0 }, 1, "reps", "1 to 99"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := ladder.Routine{Name: "Morning runs", Steps: []ladder.Step{march.Step(nil), second}}
			tt.change(&r)
			faults := r.Check()
			switch {
			case tt.key == "" && len(faults) > 0:
				t.Errorf("faults %v", faults)
			case tt.key != "" && len(faults) != 1:
				t.Errorf("%d faults %v, want one", len(faults), faults)
			case tt.key != "" && (faults[0].Step != tt.step || faults[0].Key != tt.key || !strings.Contains(faults[0].Error(), tt.says)):
				t.Errorf("step %d, %s: %s; want step %d, %s: …%s…", faults[0].Step, faults[0].Key, faults[0].Error(), tt.step, tt.key, tt.says)
			}
		})
	}
}

func TestRuleWords(t *testing.T) {
	for _, word := range ladder.RuleNames() {
		kind, err := ladder.ParseRule(word)
		if err != nil || kind.String() != word {
			t.Errorf("%q reads as %v, %v", word, kind, err)
		}
	}
	if _, err := ladder.ParseRule("eager"); err == nil || !strings.Contains(err.Error(), "steady | earned") {
		t.Errorf("a rule that does not exist: %v", err)
	}
}
