package window

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2/test"

	"footing/audio/click"
	"footing/ladder/routine"
	"footing/ui/window/document"
)

// Tomorrow the Stand shows where the player stood: the routine, the step, and the
// rung of every step, also when the program had no time to say good-bye.
func TestTheWindowOpensOnTheRungThatWasLeft(t *testing.T) {
	for _, tt := range []struct {
		name  string
		leave func(r *rig)
		edit  [2]string // of the file, overnight
		want  click.Tempo
	}{
		{"closed", func(r *rig) { r.leave() }, [2]string{}, click.BPM(76)},
		{"broken off", func(r *rig) { r.wait(2 * time.Second) }, [2]string{}, click.BPM(76)},
		{"another ladder in the file", func(r *rig) { r.leave() }, [2]string{"step: 4 bpm", "step: 5 bpm"}, click.BPM(74)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			path := write(t, dir, "runs.yaml", runs)
			app := test.NewTempApp(t)
			r := newRigIn(t, app, dir, path)
			r.press("Up", "Up", "Up", "]", "n", "Up")
			r.wait(2 * time.Second)
			tt.leave(r)
			if tt.edit[0] != "" {
				write(t, dir, "runs.yaml", strings.Replace(r.read(path), tt.edit[0], tt.edit[1], 1))
			}

			again := newRigIn(t, app, dir, "")
			if s := again.view().State; s.StepAt != 1 || s.Standing.Tempo() != click.BPM(52) {
				t.Errorf("opened on step %d at %s, want 1 at 52", s.StepAt, s.Standing.Tempo())
			}
			again.press("v")
			s := again.view().State
			if s.Standing.Tempo() != tt.want || s.Step().Chunk.Length != click.Whole(3) {
				t.Errorf("the first step stands at %s with %s beats, want %s with 3", s.Standing.Tempo(), s.Step().Chunk.Length, tt.want)
			}
			if again.view().Edits != 0 {
				t.Error("to go on counts as an edit")
			}
		})
	}
}

func TestARoutineThatIsTakenUpAgainStandsWhereItWasLeft(t *testing.T) {
	dir := t.TempDir()
	path := write(t, dir, "runs.yaml", runs)
	r := newRig(t, dir, path)
	r.press("Up", "Up")
	for _, name := range []string{"other.yaml", "runs.yaml"} {
		f, err := routine.Load(write(t, dir, name, runs))
		if err != nil {
			t.Fatal(err)
		}
		r.practise(document.Open(f), 0)
	}
	if got := r.view().State.Standing.Tempo(); got != click.BPM(72) {
		t.Errorf("it stands at %s, want 72", got)
	}
}
