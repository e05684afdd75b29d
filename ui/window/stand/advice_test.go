package stand

import (
	"slices"
	"testing"

	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

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
