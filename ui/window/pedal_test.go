package window

import (
	"slices"
	"testing"

	"footing/ui/window/keys"
)

// Pedals are learned one after the other, beside the first key of what they do;
// Escape leaves one as it is, and all is there at the next start.
func TestPedalsAreLearned(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	r.press("Return", "F1")
	n := len(r.keys.Infos())
	for range n + 3 {
		r.press("Down") // past all actions and two settings, to the pedals
	}
	r.press("Return", "End", "5", "Escape", "Home")
	for _, tt := range []struct {
		action keys.Action
		want   []string
	}{
		{keys.Clean, []string{"Right", "End"}},
		{keys.Rough, []string{"Left", "Prior"}},
		{keys.StartStop, []string{"Space", "Home"}},
	} {
		if got := r.keys.Keys(tt.action); !slices.Equal(got, tt.want) {
			t.Errorf("%s has the keys %v, want %v", tt.action, got, tt.want)
		}
		if got := r.set.keys(tabKeys(r.tabs)...).Keys(tt.action); !slices.Equal(got, tt.want) {
			t.Errorf("the next start gives %s the keys %v, want %v", tt.action, got, tt.want)
		}
	}
	r.press("F2", "Home")
	if !r.view().State.Running {
		t.Error("the pedal does not start the click")
	}
}

// A line of the help is chosen by keys, and takes the next key.
func TestAKeyIsChangedByKeys(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "runs.yaml", runs))
	before := r.view().State.Standing.Tempo()
	r.press("F1", "Down", "Down", "Down", "Up", "Return", "z")
	if got := r.keys.Keys(keys.Clean); !slices.Equal(got, []string{"z", "Next"}) {
		t.Errorf("clean has the keys %v", got)
	}
	if got := r.view().State.Standing.Tempo(); got != before {
		t.Errorf("choosing a line moved the tempo from %s to %s", before, got)
	}
}
