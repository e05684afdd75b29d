package ladder

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
)

// names are the steps of reps as they were recorded.
func names(reps []Played) []string {
	var out []string
	for _, r := range reps {
		out = append(out, r.Name)
	}
	return out
}

func TestStepsInTurns(t *testing.T) {
	r := threeSteps(func(s *Step) { s.Rule = Rule{Earned, 2, 2} })
	r.Order = Order{Reps: 2}
	p := newPlayer(r, false)
	p.do(Start{})
	for range 9 {
		p.rep(Clean)
	}
	p.do(Leave{})
	run, trio, coda := r.Steps[0].Name, "Trio", "Coda"
	if got, want := names(p.recorded), []string{run, run, trio, trio, coda, coda, run, run, trio}; !slices.Equal(got, want) {
		t.Errorf("it goes through %q, want %q", got, want)
	}
	// Two cleans in each turn: the second time round is a rung higher.
	for i, want := range []int{64, 64, 64, 64, 64, 64, 68, 68, 68} {
		if got := p.recorded[i].Tempo; got != click.BPM(want) {
			t.Errorf("rep %d is at %s, want %d", i+1, got, want)
		}
	}
}

// What comes next is said with what is left of the turn, round and round.
func TestTheNextTurnIsSaid(t *testing.T) {
	r := threeSteps(func(s *Step) { s.Rule = Rule{Earned, 20, 2} })
	r.Order = Order{Reps: 2}
	p := newPlayer(r, false)
	p.do(Start{})
	var got []string
	for range 6 {
		p.next()
		for p.now.Kind != click.Rep {
			p.next()
		}
		got = append(got, p.state.Advice().Next)
	}
	if want := []string{"next: Trio, after 1 more rep", "next: Trio", "next: Coda, after 1 more rep", "next: Coda",
		"next: Weir Street run, after 1 more rep", "next: Weir Street run"}; !slices.Equal(got, want) {
		t.Errorf("it says %q", got)
	}
	if got := New(r, false).Advice().Next; got != "next: Trio, after 2 more reps" {
		t.Errorf("at rest it says %q", got)
	}
	r.Order = Order{Minutes: 5}
	if got := New(r, false).Advice().Next; got != "next: Trio, after 5 more minutes" {
		t.Errorf("by minutes it says %q", got)
	}
	r.Order = Order{}
	if got := New(r, false).Advice().Next; got != "next: Trio" {
		t.Errorf("as listed it says %q", got)
	}
}

// The word on the last rep of a turn counts for its step when it comes in the next
// one's count-in, and can be changed there.
func TestAVerdictAfterTheTurn(t *testing.T) {
	for _, tt := range []struct {
		verdicts []Verdict
		want     int
	}{{nil, 64}, {[]Verdict{Clean}, 68}, {[]Verdict{Clean, Clean}, 64}, {[]Verdict{Clean, Rough}, 64}, {[]Verdict{Rough, Clean}, 68}} {
		r := threeSteps(func(s *Step) { s.Rule, s.Breath = Rule{Earned, 1, 1}, 0 })
		r.Order = Order{Reps: 1}
		p := newPlayer(r, false)
		p.do(Start{})
		p.next() // count-in
		p.next() // rep
		p.next() // the count-in of the next step
		if p.state.StepAt != 1 {
			t.Fatalf("step %d is under way", p.state.StepAt)
		}
		for _, v := range tt.verdicts {
			if got := p.state.Reach(Judge{v, p.at(1)}); got != Counts && got != TakenBack {
				t.Errorf("%v: a verdict reaches %d", tt.verdicts, got)
			}
			p.do(Judge{v, p.at(1)})
		}
		p.do(GoTo{Step: 0, At: p.at(1)})
		if got := p.state.Standing.Tempo(); got != click.BPM(tt.want) {
			t.Errorf("%v: the step goes on at %s, want %d", tt.verdicts, got, tt.want)
		}
	}
}

// A turn of a minute at 60 is as many reps as fit in, with the one that it ends in: a
// rep of three beats and its breath of two last 5 s, so there are twelve.
func TestTurnsOfMinutes(t *testing.T) {
	r := threeSteps(func(s *Step) { s.Tempo.From = click.BPM(60); s.Rule = Rule{Earned, 20, 20} })
	r.Order = Order{Minutes: 1}
	p := newPlayer(r, false)
	p.do(Start{})
	for range 25 {
		p.rep(Skip)
	}
	p.do(Leave{})
	got := names(p.recorded)
	for i, name := range got {
		if want := r.Steps[i/12%3].Name; name != want {
			t.Errorf("rep %d is of %q, want %q", i+1, name, want)
		}
	}
}

// Hands free, in turns of any length: every step is practised to its goal, as often
// as it is alone, no turn is longer than asked for, and it ends.
func TestLawOfMixedOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := threeSteps(func(s *Step) {
			s.Tempo.Goal = click.BPM(rapid.SampledFrom([]int{64, 68, 76}).Draw(t, "goal"))
			s.Rule.Kind = RuleKind(rapid.IntRange(0, 5).Draw(t, "rule"))
			s.Breath = rapid.IntRange(0, 2).Draw(t, "breath")
			s.CountIn = rapid.IntRange(0, 2).Draw(t, "count-in")
		})
		for i := range r.Steps {
			r.Steps[i].Reps = rapid.IntRange(1, 4).Draw(t, "reps")
		}
		played := func(r Routine) []Played {
			p := newPlayer(r, true)
			p.do(Start{})
			for n := 0; !p.over; n++ {
				if n > 5000 {
					t.Fatal("it never ends")
				}
				p.next()
			}
			p.do(Leave{})
			return p.recorded
		}
		listed := played(r)
		r.Order.Reps = rapid.IntRange(1, 5).Draw(t, "turn")
		mixed := played(r)
		for _, s := range r.Steps {
			var a, b []click.Tempo
			for _, x := range listed {
				if x.Name == s.Name {
					a = append(a, x.Tempo)
				}
			}
			for _, x := range mixed {
				if x.Name == s.Name {
					b = append(b, x.Tempo)
				}
			}
			if !slices.Equal(a, b) {
				t.Fatalf("%s is practised at %v in turns, and at %v alone", s.Name, b, a)
			}
		}
		left := map[string]bool{}
		for i := len(mixed) - 1; i >= 0; i-- {
			left[mixed[i].Name] = true
			run := 1
			for k := i - 1; k >= 0 && mixed[k].Name == mixed[i].Name; k-- {
				run++
			}
			if len(left) > 1 && run > r.Order.Reps {
				t.Fatalf("a turn of %d reps, of at most %d", run, r.Order.Reps)
			}
		}
	})
}

func TestOrderInWords(t *testing.T) {
	for _, o := range []Order{{}, {Reps: 1}, {Reps: 3}, {Minutes: 5}, {Minutes: 99}} {
		if got, err := ParseOrder(o.String()); err != nil || got != o {
			t.Errorf("%s is read as %+v, %v", o, got, err)
		}
		if faults := o.check(); len(faults) > 0 {
			t.Errorf("%s: %v", o, faults)
		}
	}
	if got, err := ParseOrder("mixed"); err != nil || got != (Order{Reps: 3}) {
		t.Errorf("mixed alone is %v, %v", got, err)
	}
	for _, bad := range []string{"", "shuffled", "mixed, 0 reps", "mixed, 100 minutes", "mixed, two reps", "mixed, 3 bars", "mixed 3"} {
		if o, err := ParseOrder(bad); err == nil {
			t.Errorf("%q is read as %s", bad, o)
		}
	}
	for _, bad := range []Order{{Reps: 1, Minutes: 1}, {Reps: 100}, {Minutes: -1}} {
		if len(bad.check()) == 0 {
			t.Errorf("%+v passes", bad)
		}
	}
}
