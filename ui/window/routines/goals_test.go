package routines

import (
	"strings"
	"testing"

	"footing/audio/click"
)

// A tempo word sets nothing unasked: it is offered where a routine is made of a score, and
// an arrow takes it.
func TestATempoWordIsOffered(t *testing.T) {
	andante := strings.Replace(alone, `<score-part id="P2"><part-name>Horns</part-name></score-part>`, "", 1)
	andante = strings.Replace(andante, "<metronome><beat-unit>quarter</beat-unit><per-minute>104</per-minute></metronome>", "<words>Andante</words>", 1)
	for _, tt := range []struct {
		keys []string
		want string // the tempo in the file
	}{
		{[]string{"Return"}, ""},
		{[]string{"Right", "Return"}, "tempo: {from: 36, goal: 60}"},
		{[]string{"Right", "Right", "Return"}, "tempo: {from: 50, goal: 84}"},
		{[]string{"Right", "Right", "Right", "Right", "Return"}, "tempo: {from: 36, goal: 60}"},
	} {
		r := newRig(t)
		r.Take(elsewhere(t, "march.musicxml", andante))
		if words := r.words(); !strings.Contains(words, "The score has Andante in bar 1: tables go from 60 to 108.") || len(r.opening.goals.buttons) != 3 {
			t.Fatalf("the page says\n%s", words)
		}
		for _, key := range tt.keys {
			r.Key(key, false)
		}
		got := r.read("weir-street-march.yaml")
		if tt.want == "" && strings.Contains(got, "tempo:") || !strings.Contains(got, tt.want) {
			t.Errorf("after %v the routine is\n%swant %s", tt.keys, got, tt.want)
		}
	}
}

// On the step's page what the notes say stands under the goal, and a button takes it.
func TestAGoalIsTakenOnTheStepsPage(t *testing.T) {
	r := newNoted(t)
	g := r.form.goals
	if g.box.Visible() {
		t.Error("notes without a tempo offer one")
	}
	r.form.inputs[notesKey].set("Q:1/4=80\nC,D,E,F, G,A,B,C |")
	if !g.box.Visible() || len(g.buttons) != 1 || len(g.offered) != 1 || g.offered[0].Says != "quarter = 80 in bar 1" {
		t.Fatalf("offered is %+v", g.offered)
	}
	if goal := r.form.inputs[goalKey].text(); goal != "100" {
		t.Errorf("the goal is %s unasked", goal)
	}
	r.form.inputs["tempo from"].set("90")
	r.form.inputs[goalKey].set("x")
	r.form.inputs[notesKey].set("Q:1/4=80\nC,D,E,F, G,A,B,C | q")
	if !g.box.Visible() {
		t.Error("what is offered goes while a field is at fault")
	}
	for b := range g.buttons {
		b.OnTapped()
	}
	if goal, from := r.form.inputs[goalKey].text(), r.form.inputs["tempo from"].text(); goal != "80" || from != "48" {
		t.Errorf("the ladder goes from %s to %s, want 48 to 80", from, goal)
	}
	if g.now != click.BPM(80) {
		t.Errorf("the goal that is marked is %v", g.now)
	}
	r.form.inputs[notesKey].set("C,D,E,F, G,A,B,C |")
	if g.box.Visible() {
		t.Error("what is not written any more is offered")
	}
	r.Save()
	if got := r.read("noted.yaml"); !strings.Contains(got, "goal: 80") {
		t.Errorf("the file is\n%s", got)
	}
}
