package window

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"footing/audio/track"
	"footing/ladder/conduct/export"
	"footing/ui/window/routines"
)

// exported writes what is open at the Stand.
func (r *rig) exported(e routines.Export) (made []export.Made, err error) {
	r.t.Helper()
	e.Routine = r.view().State.Routine
	e.Source = r.doc.Load().Path()
	if e.Folder {
		e.Pieces = export.Rungs(e.Routine)
	} else {
		e.Pieces = []export.Piece{export.Whole(e.Routine)}
	}
	r.export(context.Background(), e, func(export.Progress) {}, func(m []export.Made, e error) { made, err = m, e })
	return made, err
}

const brief = `footing: 1
name: Short
instrument: bassoon
steps:
  - name: Weir Street run
    notes: C,2 D,2 E,2 F,2 |
    tempo: {from: 200, goal: 204, step: 4 bpm}
    chunk: {start: "1:1", beats: 1, landing: false}
    count-in: 1
    breath: 0
    reps: 1
    rule: steady
`

// Ctrl+E asks in whatever view; files are written with the window's sound and level.
func TestFilesAreWritten(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-short.yaml", brief))
	r.set.setCautionsSeen()
	r.root.closeCard()
	r.win.Canvas().(fyne.Shortcutable).TypedShortcut(routines.ExportShortcut())
	if r.root.view != viewRoutines {
		t.Fatal("the key leads nowhere")
	}
	out := filepath.Join(dir, "out.wav")
	r.sound.SetLevel(60)
	made, err := r.exported(routines.Export{Path: out, Kind: export.WAV})
	if err != nil || len(made) != 1 || made[0].Rungs != 2 || made[0].Reps != 2 {
		t.Fatalf("%+v, %v", made, err)
	}
	loud := peak(t, out)
	if _, err := r.exported(routines.Export{Path: out}); !errors.Is(err, routines.ErrThere) {
		t.Errorf("a file is replaced unasked: %v", err)
	}
	r.sound.SetLevel(30)
	if _, err := r.exported(routines.Export{Path: out, Replace: true}); err != nil {
		t.Error(err)
	}
	if soft := peak(t, out); soft < 0.24*loud || soft > 0.26*loud {
		t.Errorf("at half the level the peak is %v, at full %v", soft, loud)
	}
	folder := filepath.Join(dir, "phone")
	if made, err := r.exported(routines.Export{Path: folder, Folder: true, Kind: export.MIDI, Notes: true}); err != nil || len(made) != 2 {
		t.Fatalf("%+v, %v", made, err)
	}
	data := r.read(filepath.Join(folder, "01 Weir Street run, 200 bpm.mid"))
	if bassoon := string([]byte{0xC0, 70}); !strings.Contains(data, bassoon) || !strings.Contains(data, "model") {
		t.Error("the notes are not in the file")
	}
}

// A step's own sounds are in its files as they are in the window: in two channels where
// it has sides, and over a drone that follows the player's A.
func TestFilesSoundAsTheStepDoes(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-short.yaml", strings.Replace(brief, "    rule", "    stereo: beats left\n    levels: {f: -40 dB}\n    drone: {note: A3, level: 12 dB}\n    rule", 1)))
	read := func(name string) (left, right []float32) {
		path := filepath.Join(dir, name)
		if _, err := r.exported(routines.Export{Path: path, Kind: export.WAV, Encoding: track.Int24}); err != nil {
			t.Fatal(err)
		}
		f, err := track.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if c := f.Info().Channels; c != 2 {
			t.Fatalf("%s has %d channels", name, c)
		}
		for buf := make([]float32, 4096); ; {
			n, err := f.Read(buf)
			for i := 0; i < n; i += 2 {
				left, right = append(left, buf[i]), append(right, buf[i+1])
			}
			if err != nil {
				return left, right
			}
		}
	}
	rises := func(x []float32) (n int) {
		for i := range x[1:] {
			if x[i] < 0 && x[i+1] >= 0 {
				n++
			}
		}
		return n
	}
	left, right := read("440.wav")
	if slices.Equal(left, right) {
		t.Error("left and right are the same")
	}
	// The slots are silent here, so the right is the drone alone: of A3, half of the A.
	seconds := float64(len(right)) / rate
	for range 6 {
		r.press("a")
	}
	_, sharp := read("446.wav")
	for _, tt := range []struct {
		a int
		x []float32
	}{{440, right}, {446, sharp}} {
		if got, want := float64(rises(tt.x))/seconds, float64(tt.a)/2; math.Abs(got-want) > 1.5/seconds {
			t.Errorf("with an A of %d the right rises %.1f times a second through zero, want %.1f", tt.a, got, want)
		}
	}
}

// peak is the largest sample of a file.
func peak(t *testing.T, path string) (p float32) {
	t.Helper()
	f, err := track.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	buf := make([]float32, 4096)
	for {
		n, err := f.Read(buf)
		for _, v := range buf[:n] {
			p = max(p, v, -v)
		}
		if err != nil || n == 0 {
			return p
		}
	}
}

// Without notes there are none to be heard; and the end of the window ends the writing,
// which leaves nothing half done.
func TestWhatIsNotWritten(t *testing.T) {
	dir := t.TempDir()
	r := newRig(t, dir, write(t, dir, "a-runs.yaml", runs))
	out := filepath.Join(dir, "out.wav")
	if _, err := r.exported(routines.Export{Path: out, Notes: true}); err == nil || !strings.Contains(err.Error(), "there are no notes to be heard") {
		t.Errorf("without notes: %v", err)
	}
	r.exports.stop()
	if _, err := r.exported(routines.Export{Path: out}); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end: %v", err)
	}
	if found, _ := os.ReadDir(dir); len(found) != 1 {
		t.Errorf("%d files are there", len(found))
	}
}
