package ladder

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
)

// climb judges rep after rep and returns the tempos they were played at.
func climb(p *player, verdicts string) string {
	p.do(Start{})
	var out []string
	for _, v := range verdicts {
		t := p.rep(map[rune]Verdict{'c': Clean, 'r': Rough, 's': Skip, '.': Unjudged}[v])
		out = append(out, t.String())
	}
	return strings.Join(out, " ")
}

func rule(kind RuleKind, clean, rough, reps int, goal int) Routine {
	return practice(func(s *Step) {
		s.Rule = Rule{kind, clean, rough}
		s.Reps = reps
		s.Tempo.Goal = click.BPM(goal)
	})
}

func TestRules(t *testing.T) {
	for _, tt := range []struct {
		name           string
		routine        Routine
		verdicts, want string
		line           string
	}{
		{"steady climbs without a verdict", rule(Steady, 3, 2, 2, 72), "......", "64 64 68 68 72 72", "routine done"},
		{"steady plays a skipped rep again", rule(Steady, 3, 2, 2, 72), ".s..", "64 64 64 68", "1 of 2 reps, then up to 72"},
		{"earned climbs on cleans in a row", rule(Earned, 3, 2, 5, 72), "cccc", "64 64 64 68", "1 clean in a row — 2 more climb to 72"},
		{"a rough breaks the row", rule(Earned, 3, 2, 5, 72), "ccrcccc", "64 64 64 64 64 64 68", "1 clean in a row — 2 more climb to 72"},
		{"earned goes down on roughs in a row", rule(Earned, 1, 2, 5, 72), "ccrrr", "64 68 72 72 68", "1 rough — 1 more goes down to 64"},
		{"skipped and unjudged reps break no row", rule(Earned, 2, 2, 5, 72), "cs.cc", "64 64 64 64 68", "1 clean in a row — 1 more climbs to 72"},
		{"still rough on the lowest: cut the chunk", rule(Earned, 3, 2, 5, 72), "rr", "64 64", "still rough at 64: cut the chunk?"},
		{"earned stays at the goal", rule(Earned, 1, 2, 5, 68), "cccc", "64 68 68 68", "the goal, 68, is reached"},
		{"settle goes down at each rough, below the lowest", rule(Settle, 2, 2, 5, 72), "rrrccc", "64 60 56 52 52 56", "1 clean in a row — 1 more climbs to 60"},
		{"settle proposes a smaller chunk below the lowest", rule(Settle, 2, 2, 5, 72), "r", "64", "still rough at 64: cut the chunk?"},
		{"two up, one down", rule(TwoUpOneDown, 1, 2, 5, 80), "ccccccc", "64 72 68 76 72 80 80", "the goal, 80, is reached"},
		{"two up, one down falls on roughs", rule(TwoUpOneDown, 1, 2, 5, 80), "crrc", "64 72 72 68", "1 clean in a row climbs to 72"},
		{"leap goes to the goal in turn", rule(Leap, 3, 2, 2, 76), "............", "64 64 76 76 68 68 76 76 72 72 76 76", "routine done"},
		{"leap plays a slow rough again", rule(Leap, 3, 2, 1, 76), "r.....", "64 64 76 68 76 72", "at the goal: 0 of 1 rep, then back to 76"},
		{"arch goes up and down", rule(Arch, 3, 2, 3, 72), "...........", "64 64 64 68 68 72 68 68 64 64 64", "routine done"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlayer(tt.routine, false)
			if got := climb(p, tt.verdicts); got != tt.want {
				t.Errorf("played at\n  %s\nwant\n  %s", got, tt.want)
			}
			if got := p.state.Advice().Line; got != tt.line {
				t.Errorf("says %q, want %q", got, tt.line)
			}
		})
	}
}

// What a rule does not use changes nothing, and what it does use changes something:
// the tempos, or whether a smaller chunk is proposed.
func TestRulesUseWhatTheySay(t *testing.T) {
	verdicts := []string{"cccccccccc", "rr", "crcrcc", "ccrrrcccc", "......"}
	course := func(kind RuleKind, clean, rough int) (out []string) {
		for _, v := range verdicts {
			p := newPlayer(rule(kind, clean, rough, 2, 80), false)
			at := climb(p, v)
			out = append(out, fmt.Sprint(at, p.state.Standing.TooHard))
		}
		return out
	}
	for _, name := range RuleNames() {
		kind, err := ParseRule(name)
		if err != nil {
			t.Fatal(err)
		}
		clean, rough := kind.Uses()
		usual := fmt.Sprint(course(kind, 2, 2))
		if got := fmt.Sprint(course(kind, 3, 2)) != usual; got != clean {
			t.Errorf("%s: another number of cleans changes something: %v, want %v", name, got, clean)
		}
		if got := fmt.Sprint(course(kind, 2, 3)) != usual; got != rough {
			t.Errorf("%s: another number of roughs changes something: %v, want %v", name, got, rough)
		}
	}
}

// Ten marks below 120 is 80, and a rung is done after three right in a row
// (M. Estrin, "How to Master Technical Passages for Woodwind Players").
func TestPublishedExampleTenMarksBelow(t *testing.T) {
	p := newPlayer(practice(func(s *Step) {
		s.Tempo = Range{Below: 10, Goal: click.BPM(120), By: StepSize{Kind: ByMarks}}
		s.Rule = Rule{Earned, 3, 2}
	}), false)
	var want []string
	for _, bpm := range []int{80, 84, 88, 92, 96, 100, 104, 108, 112, 116, 120} {
		for range 3 {
			want = append(want, fmt.Sprint(bpm))
		}
	}
	if got := climb(p, strings.Repeat("c", 33)); got != strings.Join(want, " ") {
		t.Errorf("played at\n  %s\nwant\n  %s", got, strings.Join(want, " "))
	}
}

// An arch over 110, 115, 120, 125, 130 with 5, 4, 3, 2, 1 reps and back is 29
// reps in all, with the top played once ("The Pyramid", Stees bassoon column,
// 29 March 2015; the sum is computed).
func TestPublishedExampleArch(t *testing.T) {
	p := newPlayer(practice(func(s *Step) {
		s.Tempo = Range{From: click.BPM(110), Goal: click.BPM(130), By: StepSize{ByBPM, 5000}}
		s.Rule, s.Reps = Rule{Arch, 3, 2}, 5
	}), false)
	var got []string
	p.do(Start{})
	for tempo := p.rep(Unjudged); tempo != 0; tempo = p.rep(Unjudged) {
		got = append(got, tempo.String())
	}
	want := "110 110 110 110 110 115 115 115 115 120 120 120 125 125 130 125 125 120 120 120 115 115 115 115 110 110 110 110 110"
	if strings.Join(got, " ") != want || len(got) != 29 {
		t.Errorf("%d reps at\n  %s\nwant 29 at\n  %s", len(got), strings.Join(got, " "), want)
	}
	if !p.over || p.state.Running {
		t.Error("the arch does not end by itself")
	}
}

// A rung of 5 reps of 2 beats with landing and 2 of breath at 60 lasts
// 2 + 5 × 5 beats, 27 s (common practice, no source).
func TestARungLasts27Seconds(t *testing.T) {
	p := newPlayer(practice(func(s *Step) {
		s.Tempo = Range{From: click.BPM(60), Goal: click.BPM(60), By: StepSize{ByBPM, 4000}}
		s.Rule = Rule{Steady, 3, 2}
	}), true)
	p.do(Start{})
	for p.next() {
	}
	if p.beats != click.Whole(27) {
		t.Errorf("the rung lasts %v beats, want 27", p.beats)
	}
	if got := click.Span(p.beats, click.BPM(60), 48_000); got != (click.Place{Frame: 27 * 48_000}) {
		t.Errorf("the rung lasts %v frames, want 27 s", got)
	}
}

func TestHandsFreeGoesFromStepToStep(t *testing.T) {
	r := rule(Earned, 1, 2, 5, 68)
	second := r.Steps[0]
	second.Name, second.Rule.Kind, second.Reps = "Slow sixteenths", Steady, 1
	r.Steps = append(r.Steps, second)
	p := newPlayer(r, true)
	p.do(Start{})
	for p.next() {
	}
	if got := fmt.Sprint(p.tempos); got != "[64 68 64 68]" || !p.over {
		t.Errorf("reps at %s, over %v; want [64 68 64 68] and an end", got, p.over)
	}
	if p.state.Reps != 4 || p.state.Cleans != 4 {
		t.Errorf("%d reps, %d clean; want 4 and 4", p.state.Reps, p.state.Cleans)
	}
}

func TestACountInComesAtAStartAndAtAChangeOfTempo(t *testing.T) {
	p := newPlayer(rule(Steady, 3, 2, 2, 68), false)
	p.do(Start{})
	var kinds []string
	for p.next() {
		kinds = append(kinds, p.now.Kind.String())
	}
	want := "count-in rep breath rep breath count-in rep breath rep breath"
	if got := strings.Join(kinds, " "); got != want {
		t.Errorf("sounds\n  %s\nwant\n  %s", got, want)
	}
}

// What is to come on a rung is what cleans would still take, by any rule.
func TestToCome(t *testing.T) {
	for _, tt := range []struct {
		name     string
		routine  Routine
		verdicts string
		want     int
	}{
		{"earned wants cleans in a row", rule(Earned, 3, 2, 5, 72), "", 3},
		{"and one fewer after a clean", rule(Earned, 3, 2, 5, 72), "c", 2},
		{"and all again after a rough", rule(Earned, 3, 2, 5, 72), "ccr", 3},
		{"and no fewer after a skip", rule(Earned, 3, 2, 5, 72), "cs", 2},
		{"and all on the next rung", rule(Earned, 3, 2, 5, 72), "ccc", 3},
		{"more than the step's reps", rule(Earned, 4, 2, 2, 72), "", 4},
		{"settle wants them too", rule(Settle, 2, 2, 5, 72), "c", 1},
		{"two up, one down as well", rule(TwoUpOneDown, 1, 2, 5, 80), "", 1},
		{"steady wants its reps", rule(Steady, 3, 2, 4, 72), ".r", 2},
		{"and one more for a skip", rule(Steady, 3, 2, 4, 72), ".s", 3},
		{"leap plays a slow rough again", rule(Leap, 3, 2, 2, 76), "r", 2},
		{"an arch has fewer higher up", rule(Arch, 3, 2, 3, 72), "...", 2},
	} {
		p := newPlayer(tt.routine, false)
		climb(p, tt.verdicts)
		p.state.Sounding = Part{}
		if got := p.state.ToCome(); got != tt.want {
			t.Errorf("%s: %d to come after %q, want %d", tt.name, got, tt.verdicts, tt.want)
		}
	}
	// As long as the player stays, where they set the tempo by hand.
	s := New(rule(Steady, 3, 2, 4, 72), false)
	s.Standing.ByHand = click.BPM(70)
	if got := s.ToCome(); got != 0 {
		t.Errorf("%d to come at a tempo set by hand", got)
	}
}

// The rep that sounds is taken for what it is judged, and for clean until then.
func TestToComeAfterTheRepThatSounds(t *testing.T) {
	for _, tt := range []struct {
		verdict Verdict
		want    int
	}{{Unjudged, 1}, {Clean, 1}, {Rough, 3}, {Skip, 2}} {
		p := newPlayer(rule(Earned, 3, 2, 5, 72), false)
		climb(p, "c")
		s := p.state
		s.Sounding = Part{Seq: 99, Kind: click.Rep, Tempo: s.Standing.Tempo()}
		s.open = []rep{{part: s.Sounding, word: tt.verdict}}
		if got := s.ToCome(); got != tt.want {
			t.Errorf("%v: %d to come, want %d", tt.verdict, got, tt.want)
		}
	}
}
