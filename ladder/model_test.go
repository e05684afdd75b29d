package ladder

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
)

// follow plays phrases and writes each as a letter with the model's gain in
// percent where it sounds: c, r and b, an exclamation mark where it is final.
func (p *player) follow(phrases int) string {
	var out []string
	for range phrases {
		if !p.next() {
			break
		}
		word := p.now.Kind.String()[:1]
		if part := p.state.Sounding; part.Model > 0 {
			word += fmt.Sprintf("%.0f", 100*part.Model)
		}
		if p.now.Final {
			word += "!"
		}
		out = append(out, word)
	}
	return strings.Join(out, " ")
}

func (p *player) want(t *testing.T, phrases int, want string) {
	t.Helper()
	if got := p.follow(phrases); got != want {
		t.Errorf("plays %q, want %q", got, want)
	}
}

// By default the model is silent; once it sounds in the next rep only, a second
// press lets it sound in all, a third in none.
func TestTheKeyOfTheModel(t *testing.T) {
	p := newPlayer(practice(nil), false)
	press := func(fades bool) { p.do(Model{p.state.Model.Press(fades)}) }
	p.do(Start{})
	p.want(t, 2, "c r")
	press(false)
	p.want(t, 5, "b r100 b r b")
	if p.state.Model != NoModel {
		t.Errorf("after the once the mode is %v", p.state.Model)
	}
	press(false)
	p.want(t, 1, "r100")
	press(false) // while it sounds
	p.want(t, 4, "b r100 b r100")
	press(false)
	p.want(t, 2, "b r")
	press(false)
	press(false)
	p.want(t, 4, "b r100 b r100")
	press(false)
	p.want(t, 3, "b r b")
	press(true)
	press(true)
	if p.state.Model != ModelFades {
		t.Errorf("two presses lead to %v, want fades", p.state.Model)
	}
	p.want(t, 2, "r100 b")
	p.do(Stop{p.at(0)})
	p.do(Start{})
	p.want(t, 2, "c r100") // it outlasts a stop
	p.do(Open{Routine: practice(nil)})
	p.do(Model{ModelFades + 1})
	if p.state.Model != ModelFades {
		t.Errorf("a mode that there is not leads to %v", p.state.Model)
	}
}

// A press while the click is silent plays the chunk once and stops. The rep is
// none of the player's.
func TestTheModelAlone(t *testing.T) {
	for _, breath := range []int{0, 2} {
		p := newPlayer(practice(func(s *Step) { s.Breath = breath }), false)
		p.do(Model{ModelOnce})
		p.do(Model{ModelOnce})
		p.want(t, 9, "c r100!")
		if !p.over || p.state.Running || p.state.Model != NoModel {
			t.Errorf("it goes on: %+v", p.state)
		}
		p.do(Start{})
		p.want(t, 2, "c r")
		p.do(Leave{p.at(0)})
		if len(p.recorded) != 0 {
			t.Errorf("recorded %+v", p.recorded)
		}
	}
}

// Pressed again before the model has begun, the click goes on as practice; later,
// from the next start on.
func TestFromTheModelAloneToPractice(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Model{ModelOnce})
	p.next()
	p.do(Model{ModelEveryRep})
	p.want(t, 3, "r100 b r100")
	p.do(Stop{p.at(0)})
	p.do(Model{NoModel})

	p.do(Model{ModelOnce})
	p.want(t, 2, "c r100!")
	p.do(Model{ModelEveryRep})
	if p.next() || p.state.Running {
		t.Error("the click goes on after a phrase that is final")
	}
	p.do(Start{})
	p.want(t, 3, "c r100 b")
}

// A stop takes back a model that was to sound once.
func TestAStopTakesBackTheOnce(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Model{ModelOnce})
	p.next()
	p.do(Stop{p.at(0)})
	p.do(Start{})
	p.want(t, 3, "c r b")
	p.do(Model{ModelOnce})
	p.do(Stop{p.at(0)})
	p.do(Start{})
	p.want(t, 2, "c r")
}

// The rep in which the model sounds once does not count, unless somebody speaks
// on it; one of those in which it always sounds does.
func TestWhatAModelledRepCounts(t *testing.T) {
	steady := practice(func(s *Step) { s.Rule.Kind, s.Reps = Steady, 2 })
	for _, tt := range []struct {
		mode    ModelMode
		verdict Verdict
		tempos  string // of the reps
		records int
	}{
		{NoModel, Unjudged, "64 64 68", 3},
		{ModelOnce, Unjudged, "64 64 64", 2},
		{ModelOnce, Clean, "64 64 68", 3},
		{ModelEveryRep, Unjudged, "64 64 68", 3},
	} {
		p := newPlayer(steady, false)
		p.do(Start{})
		p.next()
		p.do(Model{tt.mode})
		p.rep(tt.verdict)
		p.rep(Unjudged)
		p.rep(Unjudged)
		p.do(Leave{p.at(0)})
		if got := strings.Trim(fmt.Sprint(p.tempos), "[]"); got != tt.tempos || len(p.recorded) != tt.records {
			t.Errorf("%v, %v: reps at %s, %d recorded; want %s, %d", tt.mode, tt.verdict, got, len(p.recorded), tt.tempos, tt.records)
		}
	}
	// Nor is it the last of a routine that ends by itself.
	p := newPlayer(practice(func(s *Step) {
		s.Rule.Kind, s.Reps, s.Breath, s.CountIn = Steady, 1, 0, 0
		s.Tempo.From, s.Tempo.Goal = click.BPM(64), click.BPM(64)
	}), false)
	p.do(Start{})
	p.do(Model{ModelOnce})
	p.want(t, 3, "r100 r!")
}

// The model fades rung by rung, and is silent at the goal.
func TestTheModelFades(t *testing.T) {
	ladder := func(s *Step) {
		s.Rule.Kind, s.Reps, s.Breath = Steady, 1, 0
		s.Tempo.From, s.Tempo.Goal = click.BPM(60), click.BPM(76)
	}
	p := newPlayer(practice(ladder), false)
	p.do(Model{ModelFades})
	p.do(Start{})
	p.want(t, 20, "c r100 c r75 c r50 c r25 c r!")

	p = newPlayer(practice(func(s *Step) { s.Tempo.From, s.Tempo.Goal = click.BPM(60), click.BPM(76) }), false)
	p.do(Model{ModelFades})
	for _, tt := range []struct {
		tempo int
		want  string
	}{{50, "r100"}, {60, "r100"}, {63, "r100"}, {64, "r75"}, {75, "r25"}, {76, "r"}, {99, "r"}} {
		p.do(SetTempo{click.BPM(tt.tempo)})
		p.do(Start{})
		p.next()
		p.want(t, 1, tt.want)
		p.do(Stop{})
	}
	// One rung has nothing to fade along.
	p = newPlayer(practice(func(s *Step) { s.Tempo.From, s.Tempo.Goal = click.BPM(60), click.BPM(60) }), false)
	p.do(Model{ModelFades})
	p.do(Start{})
	p.want(t, 3, "c r100 b")
}

func TestPresses(t *testing.T) {
	for _, tt := range []struct {
		fades bool
		want  []ModelMode // from each mode
	}{
		{false, []ModelMode{ModelOnce, ModelEveryRep, NoModel, NoModel}},
		{true, []ModelMode{ModelOnce, ModelFades, NoModel, NoModel}},
	} {
		for m, want := range tt.want {
			if got := ModelMode(m).Press(tt.fades); got != want {
				t.Errorf("a press from %v leads to %v, want %v (fades: %v)", ModelMode(m), got, want, tt.fades)
			}
		}
	}
}

func TestModesHaveWords(t *testing.T) {
	if got := fmt.Sprint(NoModel, ModelOnce, ModelEveryRep, ModelFades, ModelFades+3); got != "no model once every rep fades fades" {
		t.Error(got)
	}
}
