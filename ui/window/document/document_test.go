package document

import (
	"errors"
	"fmt"
	"syscall"
	"testing"
	"time"

	"pgregory.net/rapid"

	"footing/ladder"
	"footing/ladder/routine"
)

// fakeFile is a file on a disk of which a test says how it behaves.
type fakeFile struct {
	path   string
	text   ladder.Routine // in memory
	disk   ladder.Routine
	known  ladder.Routine // on the disk, as far as the file knows
	copies map[string]ladder.Routine
	writes int
	fails  error
	slow   chan struct{} // a write waits for it; nil for a quick disk
}

func (f *fakeFile) Path() string            { return f.path }
func (f *fakeFile) Routine() ladder.Routine { return f.text }
func (f *fakeFile) Changed() bool           { return f.text.Name != f.known.Name || f.path == "" }

func (f *fakeFile) Set(r ladder.Routine) error {
	f.text = r
	return nil
}

func (f *fakeFile) Save() error {
	if f.slow != nil {
		<-f.slow
	}
	switch {
	case f.fails != nil:
		return &routine.SaveError{Path: f.path, Err: f.fails}
	case f.disk.Name != f.known.Name:
		return &routine.SaveError{Path: f.path, Err: routine.ErrChanged}
	}
	f.disk, f.known = f.text, f.text
	f.writes++
	return nil
}

func (f *fakeFile) SaveAs(path string) error {
	if f.fails != nil {
		return &routine.SaveError{Path: path, Err: f.fails}
	}
	f.path, f.disk, f.known = path, f.text, f.text
	f.writes++
	return nil
}

func (f *fakeFile) SaveCopy() (string, error) {
	if f.fails != nil {
		return "", &routine.SaveError{Path: f.path, Err: f.fails}
	}
	f.path += " 2"
	f.known = f.text
	f.copies[f.path] = f.text
	f.disk = f.text
	f.writes++
	return f.path, nil
}

func named(n int) ladder.Routine {
	step := ladder.DefaultStep()
	step.Name = "Run"
	return ladder.Routine{Name: fmt.Sprint("version ", n), Steps: []ladder.Step{step}}
}

func opened() (*Document, *fakeFile) {
	f := &fakeFile{path: "runs", text: named(0), disk: named(0), known: named(0), copies: map[string]ladder.Routine{}}
	return Open(f), f
}

var morning = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

func TestAnEditIsSavedAWhileAfterTheLastOne(t *testing.T) {
	d, f := opened()
	if d.Due(morning.Add(time.Hour)) || d.Unsaved() {
		t.Error("a document that nobody edited is to be saved")
	}
	d.Change(named(0), morning)
	if d.Unsaved() {
		t.Error("the same version again counts as an edit")
	}
	d.Change(named(1), morning)
	d.Change(named(2), morning.Add(saveAfter/2))
	if d.Due(morning.Add(saveAfter)) {
		t.Error("it is due before the player has paused")
	}
	at := morning.Add(saveAfter * 3 / 2)
	if !d.Due(at) {
		t.Fatal("it is never due")
	}
	if err := d.Save(at); err != nil || f.disk.Name != "version 2" || d.Unsaved() || d.Due(at.Add(time.Hour)) {
		t.Errorf("saved with %v, the disk holds %q, unsaved %v", err, f.disk.Name, d.Unsaved())
	}
	d.Change(named(3), at)
	d.Change(named(2), at)
	if err := d.Save(at); err != nil || f.writes != 1 {
		t.Errorf("%d writes, %v; what came back to what is on the disk needs none", f.writes, err)
	}
}

func TestAFullDiskLosesNothing(t *testing.T) {
	d, f := opened()
	f.fails = syscall.ENOSPC
	d.Change(named(1), morning)
	if err := d.Save(morning); !errors.Is(err, syscall.ENOSPC) || !errors.Is(d.Trouble(), syscall.ENOSPC) {
		t.Fatalf("the save says %v, the document %v", err, d.Trouble())
	}
	if d.Due(morning.Add(saveAfter)) || !d.Due(morning.Add(tryAgain)) || !d.Unsaved() {
		t.Error("it is not tried again after a while")
	}
	f.fails = nil
	if err := d.Save(morning.Add(tryAgain)); err != nil || d.Trouble() != nil || f.disk.Name != "version 1" {
		t.Errorf("with room again: %v, trouble %v, the disk holds %q", err, d.Trouble(), f.disk.Name)
	}
}

func TestAFileChangedElsewhereWaitsForThePlayer(t *testing.T) {
	changed := func(t *testing.T) (*Document, *fakeFile) {
		d, f := opened()
		f.disk = named(9)
		d.Change(named(1), morning)
		if err := d.Save(morning); !errors.Is(err, routine.ErrChanged) {
			t.Fatalf("saved over the other's work: %v", err)
		}
		if d.Due(morning.Add(time.Hour)) {
			t.Error("it is tried again without the player's word")
		}
		return d, f
	}
	d, f := changed(t)
	if err := d.KeepBoth(morning); err != nil || d.Path() != "runs 2" || d.Trouble() != nil || f.copies["runs 2"].Name != "version 1" {
		t.Errorf("keep both: %v, kept at %q with trouble %v", err, d.Path(), d.Trouble())
	}
	d, f = changed(t)
	if d.Drop(); d.Unsaved() || d.Trouble() != nil {
		t.Error("take theirs leaves something to save")
	}
	if err := d.Last(morning); err != nil || f.writes != 0 {
		t.Errorf("after take theirs the end writes %d times, %v", f.writes, err)
	}
	d, f = changed(t)
	if err := d.Last(morning); err != nil || len(f.copies) != 1 {
		t.Errorf("the end keeps %d copies, %v", len(f.copies), err)
	}
	d, f = opened()
	f.disk = named(9)
	if err := d.Last(morning); err != nil || len(f.copies) != 0 {
		t.Errorf("without an edit the end leaves %d copies behind, %v", len(f.copies), err)
	}
}

// While the disk is slow the document answers at once, and what is edited
// meanwhile is saved after it.
func TestASlowDiskKeepsNobodyWaiting(t *testing.T) {
	d, f := opened()
	f.slow = make(chan struct{})
	d.Change(named(1), morning)
	saved := make(chan error)
	go func() { saved <- d.Save(morning) }()
	f.slow <- struct{}{} // the save is under way
	// It can end at any time from here on; whichever comes first, nothing is lost.
	d.Change(named(2), morning)
	_, _, _ = d.Routine(), d.State(), d.Path()
	if err := <-saved; err != nil {
		t.Fatal(err)
	}
	if !d.Unsaved() {
		t.Fatal("the edit that came meanwhile counts as saved")
	}
	f.slow = nil
	if err := d.Save(morning); err != nil || f.disk.Name != "version 2" {
		t.Errorf("then: %v, the disk holds %q", err, f.disk.Name)
	}
}

func TestANewDocumentHasNoFileUntilItIsEditedOrWanted(t *testing.T) {
	for _, tt := range []struct {
		name   string
		do     func(*Document)
		writes int
	}{
		{"left alone", func(*Document) {}, 0},
		{"wanted", (*Document).Want, 1},
		{"edited", func(d *Document) { d.Change(named(1), morning) }, 1},
	} {
		f := &fakeFile{text: named(0)}
		path := t.TempDir() + "/new.yaml"
		d := Begin(f, path)
		tt.do(d)
		if err := d.Last(morning); err != nil || f.writes != tt.writes {
			t.Errorf("%s: %d writes, %v, want %d", tt.name, f.writes, err, tt.writes)
		}
		if got := d.Path(); tt.writes > 0 && got != path {
			t.Errorf("%s: kept at %q", tt.name, got)
		}
	}
}

// Whatever happens to the document and to its file, at the end the last version
// is on the disk, and so is what another program wrote there.
func TestNoVersionIsEverLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, f := opened()
		n, theirs, at := 0, "", morning
		t.Repeat(map[string]func(*rapid.T){
			"edit":  func(*rapid.T) { n++; d.Change(named(n), at) },
			"wait":  func(t *rapid.T) { at = at.Add(time.Duration(rapid.IntRange(1, 12).Draw(t, "s")) * time.Second) },
			"fail":  func(*rapid.T) { f.fails = syscall.EIO },
			"mend":  func(*rapid.T) { f.fails = nil },
			"other": func(*rapid.T) { n++; f.disk = named(n); theirs = f.disk.Name },
			"save": func(*rapid.T) {
				if d.Due(at) {
					_ = d.Save(at)
				}
			},
		})
		f.fails = nil
		last := d.Routine().Name
		elsewhere := f.disk.Name
		if err := d.Last(at); err != nil {
			t.Fatal(err)
		}
		if d.Unsaved() {
			t.Fatal("something is not saved at the end")
		}
		if last != "version 0" && f.disk.Name != last && f.known.Name != last {
			t.Fatalf("the last version is %q, the disk holds %q", last, f.disk.Name)
		}
		if elsewhere == theirs && theirs != "" && f.disk.Name != theirs && len(f.copies) == 0 {
			t.Fatalf("%q, which another program wrote, was written over", theirs)
		}
	})
}
