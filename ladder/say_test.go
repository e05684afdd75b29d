package ladder

import (
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
)

func TestWhatIsAnnounced(t *testing.T) {
	var got []string
	for a := AnnounceNothing; a <= AnnounceBoth; a++ {
		got = append(got, fmt.Sprintf("%s: %v %v", a, a.Rungs(), a.Bars()))
	}
	if want := "nothing: false false, rungs: true false, bars: false true, rungs and bars: true true"; strings.Join(got, ", ") != want {
		t.Errorf("%s, want %s", strings.Join(got, ", "), want)
	}
}

// A word that cannot be kept is told of alone, before what else may be wrong.
func TestWordsOfNotesComeFirst(t *testing.T) {
	s := practice(nil).Steps[0]
	s.Notes.Score.File, s.Notes.Typed.Text = "a\x00", "C"
	if faults := s.Check(); len(faults) != 1 || faults[0].Key != "score file" {
		t.Errorf("%v", faults)
	}
}

// A ladder of a single rung has none above it to speak of.
func TestASingleRungThatStaysRough(t *testing.T) {
	p := newPlayer(practice(func(s *Step) {
		s.Tempo.From, s.Tempo.Goal = click.MinTempo, click.MinTempo
		s.Rule = Rule{Settle, 2, 1}
	}), false)
	p.do(Start{})
	for range 4 {
		p.rep(Rough)
		if line := p.state.Advice().Line; p.state.Standing.TooHard && !strings.Contains(line, "still rough at 10") {
			t.Errorf("it says %q", line)
		}
	}
	if !p.state.Standing.TooHard {
		t.Error("it is not too hard")
	}
}

// In the breath after a modelled rep the model is silent.
func TestABreathHasNoModel(t *testing.T) {
	p := newPlayer(practice(nil), false)
	p.do(Model{ModelEveryRep})
	p.do(Start{})
	breaths := 0
	for range 9 {
		p.next()
		if part := p.state.Sounding; part.Kind == click.Breath {
			if breaths++; part.Model != 0 {
				t.Errorf("the model is at %v in a breath", part.Model)
			}
		}
	}
	if breaths < 2 {
		t.Errorf("%d breaths", breaths)
	}
}
