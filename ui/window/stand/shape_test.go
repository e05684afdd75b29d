package stand

import (
	"reflect"
	"testing"

	"footing/audio/click"
)

func marks(t *testing.T, lines ...string) (out click.Accents) {
	t.Helper()
	for _, line := range lines {
		m, err := click.ParseMarks(line)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, m)
	}
	return out
}

func TestOneKeyLeavesAPartOfTheBarSounding(t *testing.T) {
	r := newRig(t)
	before := r.step()
	silent := "- - - -"
	for _, tt := range []struct {
		key  string
		want click.Accents
	}{
		{"F6", marks(t, "f - - -", silent, silent, silent)},
		{"F6", marks(t, silent, "mf - - -", silent, "mf - - -")},
		{"F6", marks(t, "- - mf mf")},
		{"F6", before.Accents},
	} {
		r.keys(tt.key)
		if got := r.step().Accents; !reflect.DeepEqual(got, tt.want) {
			t.Fatalf("%s: the dynamics are %v, want %v", tt.key, got, tt.want)
		}
		if r.said.Text == "" {
			t.Errorf("%s: nothing is said", tt.key)
		}
	}
}

// Dynamics that were changed in between are what comes back.
func TestWhatIsShapedAfterOnlyIsKept(t *testing.T) {
	r := newRig(t)
	r.keys("F6", "z", "Up", "Return")
	shaped := r.step().Accents
	r.keys("F6", "F6", "F6", "F6")
	if got := r.step().Accents; !reflect.DeepEqual(got, shaped) {
		t.Errorf("the dynamics are %v, want those that were shaped, %v", got, shaped)
	}
}

func TestABarIsShapedStrokeByStrokeByKeys(t *testing.T) {
	r := newRig(t)
	rung := r.state().Standing.Rung
	r.keys("z")
	if want := (place{18, 1, 0}); r.shaped != want {
		t.Errorf("the first stroke is %v, want that with which the chunk begins, %v", r.shaped, want)
	}
	_, pages := bar(r.o.Desk.View())
	for range pages[0] {
		r.keys("Left")
	}
	r.keys("Down", "Right", "Up", "Up", "Up")
	for range pages[0] {
		r.keys("Right")
	}
	r.keys("Down", "Down", "Down", "Down", "Down")
	last := len(pages[0]) - 1
	for i, want := range map[int]click.Dynamics{0: click.MezzoForte, 1: click.Forte, last: click.Silent} {
		if got := r.markAt(pages[0][i]); got != want {
			t.Errorf("stroke %d of the bar is %s, want %s; the step has %v", i+1, got, want, r.step().Accents)
		}
	}
	if at := pages[0][last]; at != (place{18, 3, r.step().Slots.Count() - 1}) {
		t.Errorf("the last stroke is %v", at)
	}
	r.mark(0, 2, 1)
	if r.shaped != pages[0][2] || r.markAt(r.shaped) == click.Piano {
		t.Error("a click does not choose and turn a stroke")
	}
	r.keys("z")
	if r.shaping || len(r.pages) == 1 {
		t.Error("the key does not end what it began")
	}
	r.keys("z")
	if r.state().Standing.Rung != rung {
		t.Error("shaping moved the rung")
	}
	r.keys("Escape", "Up")
	if r.state().Standing.Rung != rung+1 {
		t.Error("after Escape an arrow does not move the rung")
	}
	r.keys("z", "[")
	if r.shaping || r.step().Chunk.Length != click.Whole(1) {
		t.Error("another key does not end the shaping and do what it does")
	}
}
