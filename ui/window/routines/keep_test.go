package routines

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"footing/ladder/routine"
)

// close is what the window does at its end.
func (r *rig) close() {
	r.t.Helper()
	if err := r.Leave(); err != nil {
		r.t.Fatal(err)
	}
	if err := r.open.Last(time.Time{}); err != nil {
		r.t.Fatal(err)
	}
}

func TestANewRoutineIsKeptWhateverIsClickedNext(t *testing.T) {
	for _, tt := range []struct {
		name string
		next func(*rig)
	}{
		{"another routine", func(r *rig) { r.pick("Other") }},
		{"New", func(r *rig) { r.fresh() }},
		{"Duplicate", func(r *rig) { r.duplicate() }},
		{"Practise", func(r *rig) { r.practise() }},
		{"another view", func(r *rig) { r.leave(func() {}) }},
		{"the window's close", func(r *rig) { r.close(); r.Enter() }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := newRig(t)
			r.fresh()
			r.name.SetText("Evening runs")
			tt.next(r)
			if got := r.read("evening-runs.yaml"); !strings.Contains(got, "name: Evening runs") {
				t.Errorf("the file is\n%s", got)
			}
			if n := len(r.entries); n != 3 {
				t.Errorf("%d routines in the list, want the new one too", n)
			}
		})
	}
}

func TestANewRoutineThatWasNotTouchedLeavesNoFile(t *testing.T) {
	r := newRig(t)
	r.fresh()
	r.pick("Other")
	r.fresh()
	r.close()
	entries, err := os.ReadDir(r.dir)
	if err != nil || len(entries) != 2 {
		t.Errorf("%d files, %v; want the two that were there", len(entries), err)
	}
}

func TestACopyOfACopyLosesNeither(t *testing.T) {
	r := newRig(t)
	r.pick("Other")
	r.duplicate()
	r.form.inputs["reps"].set("9")
	r.duplicate()
	r.pick("Morning runs")
	for _, name := range []string{"other-copy.yaml", "other-copy-copy.yaml"} {
		if got := r.read(name); !strings.Contains(got, "reps: 9") {
			t.Errorf("%s is\n%s", name, got)
		}
	}
	if !strings.Contains(r.line.Text, "other-copy-copy.yaml") {
		t.Errorf("where the copy went is not said: %q", r.line.Text)
	}
}

func TestAValueAtFaultIsNotDroppedOnTheWay(t *testing.T) {
	r := newRig(t)
	r.fresh()
	r.name.SetText("Evening runs")
	r.form.inputs["tempo step"].set("4 bmp")
	r.pick("Other")
	if r.desk.now.Name != "Evening runs" || r.form.inputs["tempo step"].text() != "4 bmp" {
		t.Errorf("%q is open, with a step of %q", r.desk.now.Name, r.form.inputs["tempo step"].text())
	}
	if r.Leave() == nil {
		t.Error("a step with a fault counts as taken over")
	}
	r.Enter()
	if got := r.form.inputs["tempo step"].text(); got != "4 bmp" {
		t.Errorf("back in the view it is %q", got)
	}
	r.form.inputs["tempo step"].set("4 bpm")
	r.pick("Other")
	if got := r.read("evening-runs.yaml"); !strings.Contains(got, "Evening runs") {
		t.Errorf("the mended file is\n%s", got)
	}
}

func TestASaveThatFailedIsTriedAgain(t *testing.T) {
	r := newRig(t)
	r.pick("Other")
	r.form.inputs["reps"].set("9")
	theirs := "footing: 1\nname: Other\nsteps:\n  - name: Theirs\n"
	r.write("other.yaml", theirs)
	r.Save()
	if r.read("other.yaml") != theirs {
		t.Fatal("the other's work was written over")
	}
	if !r.desk.changed() {
		t.Error("what could not be saved counts as saved")
	}
	r.close()
	if r.read("other.yaml") != theirs {
		t.Error("the other's work was written over")
	}
	f, err := routine.Load(filepath.Join(r.dir, "other 2.yaml"))
	if err != nil || f.Routine().Steps[0].Reps != 9 {
		t.Errorf("mine is not kept beside it: %v", err)
	}
}
