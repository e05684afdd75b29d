package stand

import (
	"slices"
	"testing"

	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"footing/audio/click"
	"footing/ladder"
)

// advice is what stands on the Stand's two lines of advice.
func (r *rig) advice() []string {
	var out []string
	for _, o := range test.LaidOutObjects(r.p.status) {
		if t, ok := o.(*canvas.Text); ok {
			out = append(out, t.Text)
		}
	}
	return out
}

// A chunk that is too hard is named by its notes where there are some.
func TestTheStandNamesWhatToCutOut(t *testing.T) {
	plain, noted := practised(), practised()
	noted.Notes.Typed = ladder.TypedNotes{Text: "CDEF GABc | cBAG FEDC | CDEF GABc | cBAG FEDC |"}
	for want, step := range map[string]ladder.Step{"halve it: may help more than slower": plain, "halve it: from A to G": noted} {
		step.Rule.Rough = 1
		r := newRig(t, step)
		r.keys("Space")
		r.play(5.5)
		r.keys("Left")
		r.Refresh()
		if got := r.advice(); !r.state().Standing.TooHard || !slices.Contains(got, want) {
			t.Errorf("a rough on the lowest rung: %q, want %q", got, want)
		}
	}
}

// With an instrument whose fingers are known, its hardest change is proposed in place of
// half the chunk, and H cuts it out.
func TestTheHardestChangeIsProposed(t *testing.T) {
	step := practised()
	step.Rule.Rough = 1
	step.Notes.Instrument.Name = "clarinet in B flat"
	step.Notes.Typed = ladder.TypedNotes{Unit: "1/4", Text: "CDEF | GA^c=B | CDEF | GABc |"}
	step.Chunk = ladder.Chunk{Bar: 18, Length: click.Whole(4)}
	r := newRig(t, step)
	r.keys("h")
	if got := r.step().Chunk.Length; got != click.Whole(2) {
		t.Fatalf("while all is well H leaves %s beats", got)
	}
	r.session.Change(func(s ladder.Step) ladder.Step { s.Chunk = step.Chunk; return s })
	r.keys("Space")
	r.play(7.5)
	r.keys("Left")
	r.Refresh()
	if got := r.advice(); !r.state().Standing.TooHard || !slices.Contains(got, "cut out its hardest change: from A to C sharp") {
		t.Fatalf("a rough on the lowest rung: %q", got)
	}
	r.keys("h")
	if c := r.step().Chunk; c.At != click.Whole(1) || c.Length != click.Whole(2) {
		t.Errorf("H leaves %s beats from %s", c.Length, c.At)
	}
}
