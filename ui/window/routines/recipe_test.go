package routines

import (
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"footing/ladder/notes/begin"
)

// A pattern is added as a step in a few words, and is drawn while they are typed.
func TestAStepIsMadeFromAPattern(t *testing.T) {
	r := newNoted(t)
	r.Pattern()
	p := r.recipe
	if p == nil || r.o.Window.Canvas().Focused() != fyne.Focusable(p.text) || p.text.Text != exampleRecipe {
		t.Fatal("the page does not come up, ready to be typed on")
	}
	if s := p.sketch.is; s.drawing == nil || s.text != "" {
		t.Errorf("the example says %q", s.text)
	}
	p.text.SetText("G minor, thrids")
	if s := p.sketch.is; !s.warm || !strings.Contains(s.text, `did you mean "thirds"?`) || !p.add.Disabled() || s.drawing == nil {
		t.Errorf("says %q", s.text)
	}
	p.text.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if r.recipe != p {
		t.Error("a recipe at fault is taken")
	}
	p.text.SetText("G minor in thirds up, sixteenths, one octave, slurred in twos")
	if n := len(p.sketch.is.drawing.Notes); n != 15 {
		t.Errorf("%d notes are drawn", n)
	}
	p.text.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if r.recipe != nil || r.stepNames() != "Typed, G natural minor, thirds up, Made, Scored" || r.desk.step != 1 {
		t.Errorf("the steps are %s, at %d", r.stepNames(), r.desk.step)
	}
	r.Save()
	want := `  - name: G natural minor, thirds up
    tempo: {goal: 80}
    slots: 4
    chunk: {landing: false}
    breath: 3
    reps: 3
    rule: steady
    pattern: {key: G minor, figure: thirds up, octaves: 1, group: 4, articulation: slurred in twos}
`
	if got := r.read("noted.yaml"); !strings.Contains(got, want) || !strings.Contains(got, "# by ear") {
		t.Errorf("the file is\n%s", got)
	}
}

// Without an instrument, the player's range is not known; that of another routine
// is left behind.
func TestARecipeWithoutAnInstrument(t *testing.T) {
	r := newRig(t)
	r.pick("Other")
	r.Pattern()
	p := r.recipe
	if strings.Contains(p.text.Text, "my range") || p.sketch.is.warm {
		t.Errorf("the example is %q: %q", p.text.Text, p.sketch.is.text)
	}
	p.text.SetText("C, my range")
	if s := p.sketch.is; !strings.Contains(s.text, "Your range is not known") {
		t.Errorf("says %q", s.text)
	}
	p.dismiss()
	if r.recipe != nil || !strings.Contains(r.words(), "Step") {
		t.Error("the page stays")
	}
	r.Pattern()
	r.pick("Morning runs")
	if r.recipe != nil || r.desk.now.Name != "Morning runs" {
		t.Error("another routine does not come up")
	}
}

func TestAWarmUpIsOneCommand(t *testing.T) {
	for i, name := range begin.OrderNames() {
		r := newNoted(t)
		r.Pattern()
		r.recipe.order.SetSelectedIndex(i)
		r.recipe.warm.OnTapped()
		if r.recipe != nil || len(r.desk.now.Steps) != []int{12, 12, 15}[i] || r.desk.doc.Path() == "" {
			t.Errorf("%s: %d steps, in %q", name, len(r.desk.now.Steps), r.desk.doc.Path())
		}
		text := r.read(filepath.Base(r.desk.doc.Path()))
		if !strings.Contains(text, "instrument: bassoon\n") || !strings.Contains(text, "pattern: {key: F sharp major, figure: thirds, group: 4}") {
			t.Errorf("%s: the file is\n%s", name, text)
		}
		r.Save()
		r.Pattern()
		if r.recipe.text.Text != exampleRecipe {
			t.Error("the instrument is not known")
		}
	}
}
