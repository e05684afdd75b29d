package routines

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"footing/audio/track"
	"footing/ladder/conduct/export"
)

// said is what the page says.
func (r *rig) saidOfFiles(want string) {
	r.t.Helper()
	if got := r.View.exporting.line.Text; got != want {
		r.t.Errorf("the page says %q, want %q", got, want)
	}
}

// What is chosen is what is written, and where is suggested until the player says.
func TestARoutineGoesIntoFiles(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.form.inputs["name"].object.(*entry).TypedShortcut(ExportShortcut())
	p := r.View.exporting
	if p == nil || r.o.Window.Canvas().Focused() != fyne.Focusable(p.what) || r.detail.Objects[0] != p.page {
		t.Fatal("the page does not come up, ready to choose")
	}
	music := filepath.Join(r.dir, "music")
	for _, tt := range []struct {
		what, as int
		where    string
		pieces   int
	}{
		{0, 0, "Morning runs.wav", 1}, {1, 1, "Weir Street run.flac", 1}, {1, 4, "Weir Street run.mid", 1},
		{2, 1, "Weir Street run", 11}, {3, 2, "Morning runs", 2}, {4, 3, "Morning runs", 23},
		{5, 1, "Weir Street run, 64 bpm.flac", 1}, {15, 4, "Weir Street run, 104 bpm.mid", 1},
	} {
		p.what.SetSelectedIndex(tt.what)
		p.as.SetSelectedIndex(tt.as)
		if want := filepath.Join(music, tt.where); p.where.Text != want {
			t.Errorf("%d as %d goes to %s, want %s", tt.what, tt.as, p.where.Text, want)
		}
		p.write.OnTapped()
		e := r.exports[len(r.exports)-1]
		if len(e.Pieces) != tt.pieces || e.Folder != (filepath.Ext(tt.where) == "") || e.Kind != kinds[tt.as].kind || e.Encoding != kinds[tt.as].encoding || e.Notes || e.Replace || e.Source != filepath.Join(r.dir, "morning.yaml") {
			t.Errorf("%d as %d is %+v", tt.what, tt.as, e)
		}
		r.exported([]export.Made{{Length: 65 * time.Second}}, nil)
	}
	p.what.SetSelectedIndex(4)
	p.write.OnTapped()
	r.exported([]export.Made{{Length: 65 * time.Second}}, nil)
	r.saidOfFiles("1 file, 1:05 long, is in " + filepath.Join(music, "Morning runs") + ".")
	p.what.SetSelectedIndex(0)
	p.where.SetText("slow.flac")
	p.notes.SetSelectedIndex(1)
	p.as.SetSelectedIndex(0)
	n := len(r.exports)
	p.where.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if len(r.exports) != n {
		t.Error("a WAV file is called slow.flac")
	}
	r.saidOfFiles("The name of such a file ends in .wav.")
	p.as.SetSelectedIndex(3)
	p.where.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if e := r.exports[len(r.exports)-1]; e.Path != filepath.Join(music, "slow.flac") || e.Encoding != track.Int24 || !e.Notes || e.Kind != export.FLAC {
		t.Errorf("what was typed is %+v", e)
	}
	r.exported([]export.Made{{Length: 3 * time.Second}}, nil)
	r.saidOfFiles(filepath.Join(music, "slow.flac") + " is written, 0:03 long.")
	if got := p.back.Text; got != "Done" {
		t.Errorf("the way back is called %q", got)
	}
}

// While it is written the page says how far, and can stop it; what is there is only
// replaced when the player says so once more.
func TestWritingIsStopped(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	r.Export()
	p := r.View.exporting
	p.what.SetSelectedIndex(2)
	p.write.OnTapped()
	r.progress(export.Progress{File: "02 Weir Street run, 68 bpm.wav", Number: 2, Of: 11, Done: 30, Total: 120})
	r.saidOfFiles("2 of 11, 02 Weir Street run, 68 bpm.wav: 25 %")
	if p.write.Text != "Stop" || len(r.exports) != 1 {
		t.Errorf("the button says %q", p.write.Text)
	}
	p.begin() // Enter in the field
	if len(r.exports) != 1 {
		t.Error("it is written twice at once")
	}
	p.write.OnTapped()
	if r.exporting.Err() == nil {
		t.Error("the button does not stop it")
	}
	r.exported(make([]export.Made, 1), context.Canceled)
	r.saidOfFiles("Stopped; 1 file is whole, and stays in " + filepath.Join(r.dir, "music", "Weir Street run") + ".")
	r.progress(export.Progress{File: "late", Of: 1})
	p.what.SetSelectedIndex(0)
	p.write.OnTapped()
	r.progress(export.Progress{File: "Morning runs.wav", Number: 1, Of: 1, Done: 130, Total: 120})
	r.saidOfFiles("Morning runs.wav: 100 %")
	r.exported(nil, context.Canceled)
	r.saidOfFiles("Stopped; nothing was written.")
	p.write.OnTapped()
	r.exported(nil, ErrThere)
	r.saidOfFiles("There is a file of that name. Write once more to replace it.")
	if p.write.Text != "Replace it" {
		t.Errorf("the button says %q", p.write.Text)
	}
	p.write.OnTapped()
	if e := r.exports[len(r.exports)-1]; !e.Replace {
		t.Error("it is not replaced")
	}
	r.exported(nil, errors.New("the disk is full"))
	r.saidOfFiles("The disk is full.")
	p.write.OnTapped()
	if e := r.exports[len(r.exports)-1]; e.Replace {
		t.Error("it is replaced without a question")
	}
	// Another routine stops it, and so does Not now.
	r.pick("Other")
	if r.exporting.Err() == nil || r.View.exporting != nil {
		t.Error("another routine does not stop it")
	}
	r.exported(nil, context.Canceled)
	r.Export()
	r.View.exporting.dismiss()
	if r.View.exporting != nil || r.detail.Objects[0] != r.editor {
		t.Error("the page stays")
	}
}

// A field at fault is said first: it would not be in the files.
func TestNothingIsWrittenOfAFault(t *testing.T) {
	r := newRig(t)
	r.Export() // of nothing
	r.pick("Morning runs")
	r.form.inputs["tempo goal"].set("fast")
	r.Export()
	if r.View.exporting != nil || !r.warm {
		t.Errorf("the page comes up; said %q", r.said)
	}
}
