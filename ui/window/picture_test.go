package window

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/journal"
	"footing/ladder/passage/pattern"
	"footing/ladder/routine"
	"footing/ui/window/look"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// TestPictures holds the views to pictures that were looked at. After a change
// that is meant, write them anew with -update and look again.
func TestPictures(t *testing.T) {
	judged := func(r *rig) {
		r.press("Space")
		r.play(2 + 5 + 0.2)
		r.press("Right")
		r.play(5)
		r.press("Left")
		r.play(5)
		r.press("Right")
		r.play(1.1)
	}
	views := map[string]func(r *rig){
		"stand": judged,
		"stand-meters": func(r *rig) {
			r.session.Change(func(s ladder.Step) ladder.Step {
				s.Pickup = click.Frac(3, 2)
				s.Meters = []click.MeterChange{{Bar: 18, Meter: click.MakeMeter(3, 4)}, {Bar: 20, Meter: click.MakeMeter(5, 4)}}
				s.Chunk = ladder.Chunk{Bar: 16, At: click.Frac(5, 2), Length: click.Frac(7, 2), Landing: true}
				return s
			})
			r.press("Space")
			r.play(2 + 2.2)
		},
		"stand-far": func(r *rig) {
			r.session.Change(func(s ladder.Step) ladder.Step { s.Count = click.CountNumber; return s })
			r.press("/", "Space")
			r.play(2 + 1.8)
		},
		"stand-hushed": func(r *rig) {
			r.press("'", "'")
			r.press("Space")
			r.play(2 + 1.8)
		},
		"stand-first": func(r *rig) { r.root.caution() },
		"stand-typing": func(r *rig) {
			r.press("8", "4")
		},
		"stand-pencil": func(r *rig) {
			r.press("w")
			for _, c := range " early" {
				r.win.Canvas().Focused().TypedRune(c)
			}
		},
		"passage": func(r *rig) {
			r.session.Change(noted)
			r.press("F5", "Right", "Right", "Right", "Right")
		},
		"stand-notes": func(r *rig) {
			r.session.Change(noted)
			judged(r)
		},
		"stand-accents": func(r *rig) {
			r.session.Change(noted)
			r.session.Change(func(s ladder.Step) ladder.Step {
				s.Notes.Typed.Text = "B,,D,F,B, DB,F,E, D,F,B,D ECA,F, | B,DFD B,3(C DFLGA) (FDE)C |\nG,16 | B,,16 |"
				s.Notes.Marks, s.Accented = nil, ladder.AccentedBoth
				s.Pulse = click.OnBeat
				s.Chunk = ladder.Chunk{Bar: 18, Length: click.Whole(4), Landing: true}
				return s
			})
			r.refresh()
			r.press("Space")
			r.play(2 + 1.8)
		},
		"stand-notes-turn": func(r *rig) { // the last beat of a page, and before it the next
			r.session.Change(noted)
			r.session.Change(func(s ladder.Step) ladder.Step {
				s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(12), Landing: true}
				s.Count = click.CountNone
				return s
			})
			r.press("Space")
			r.play(2 + 6.3)
		},
		"passage-fingers": func(r *rig) {
			r.session.Change(fingered)
			r.press("F5", "Right", "Right", "Right", "f")
		},
		"passage-hands": func(r *rig) {
			r.session.Change(fingered)
			r.press("F5", "h", "Right", "Right", "Right", "Right")
		},
		"passage-empty": func(r *rig) { r.press("F5") },
		"passage-mark": func(r *rig) {
			r.session.Change(noted)
			r.press("F5", "Right", "w")
			for _, c := range "low tongue" {
				r.win.Canvas().Focused().TypedRune(c)
			}
		},
		"routines": func(r *rig) { r.press("F3") },
		"routines-pattern": func(r *rig) {
			r.press("F3")
			r.routines.Pattern()
		},
		"routines-order": func(r *rig) {
			r.press("F3")
			r.routines.Ordering()
			r.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
		},
		"routines-files": func(r *rig) { r.askExport() },
		"routines-score": func(r *rig) {
			two := strings.Replace(score, "</part-list>", `<score-part id="P2"><part-name>Clarinet in B♭</part-name></score-part></part-list>`, 1)
			from := strings.Index(score, "<part id")
			two = strings.Replace(two, "</score-partwise>", strings.Replace(score[from:], `id="P1"`, `id="P2"`, 1), 1)
			r.give(write(r.t, r.t.TempDir(), "weir-street.musicxml", two))
			r.press("Down")
		},
		"routines-goals": func(r *rig) {
			slow := strings.Replace(score, "<note>", `<direction><direction-type><words>Andante con moto</words></direction-type></direction><note>`, 1)
			r.give(write(r.t, r.t.TempDir(), "weir-street.musicxml", slow))
			r.press("Right", "Right")
		},
		"fault": func(r *rig) {
			path := filepath.Join(r.dir, "b-fault.yaml")
			_, err := routine.Load(path)
			r.at(viewRoutines)
			r.routines.Trouble(path, err)
			r.press("F3")
		},
		"help": func(r *rig) { r.press("F1") },
		"stand-cross": func(r *rig) {
			r.session.Change(func(s ladder.Step) ladder.Step {
				s = s.WithSlots(click.Cross(3, 2))
				s.Pulse, s.Accents = click.OnBeat, nil
				s.Chunk.Length = click.Whole(3)
				return s
			})
			r.press("Space")
			r.play(2 + 1.55)
		},
		"stand-shape": func(r *rig) { r.press("z", "Right", "Right", "Down") },
		"help-pedals": func(r *rig) {
			r.press("F1")
			r.help.setting(setPedals)
			r.press("Next")
		},
		"sound": func(r *rig) {
			r.out.dry = 2
			r.press("Space", "F10", "Down", "Left", "Left", "Left", "Left", "Left", "Left", "Down", "Down", "Down", "Right", "Right")
			r.play(2.2)
		},
	}
	views["sound-click"] = func(r *rig) {
		r.press("F10", "Next", "Right", "Right", "Right", "Right", "Right", "Right", "Down", "Down")
		r.press("Right", "Right", "Right", "Down", "Right", "Down", "Down", "Down", "Left", "Left", "Left")
	}
	views["sound-drone"] = func(r *rig) {
		r.press("F10", "Next", "Next", "Right", "Down", "Right", "Down", "Right", "Right", "Down")
	}
	sizes := map[string][]fyne.Size{
		"sound-click": {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"sound-drone": {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"stand-cross": {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"stand-shape": {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"sound":       {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"stand":       {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"stand-far":   {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"passage":     {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"stand-notes": {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"routines":    {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},

		"stand-accents":   {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"routines-goals":  {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"passage-fingers": {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
		"passage-hands":   {{Width: 1200, Height: 780}, {Width: 900, Height: 600}},
	}
	for name, prepare := range views {
		for _, palette := range []look.Choice{look.ChooseDay, look.ChooseNight} {
			at := sizes[name]
			if at == nil {
				at = []fyne.Size{{Width: 900, Height: 600}}
			}
			for _, size := range at {
				file := fmt.Sprintf("%s-%s-%.0fx%.0f.png", name, palette, size.Width, size.Height)
				t.Run(file, func(t *testing.T) {
					dir := t.TempDir()
					path := write(t, dir, "a-runs.yaml", runs)
					write(t, dir, "b-fault.yaml", "footing: 1\nname: With a fault\nsteps:\n  - name: Run\n    tempo: {from: 64, goal: 104, step: 4 bmp}\n    reps: 5\n")
					r := newRig(t, dir, path)
					r.set.setCautionsSeen()
					r.root.closeCard()
					r.diary.keep(journal.Entry{Kept: &journal.Kept{
						Place: journal.Place{Routine: path, Step: "Weir Street run"}, Day: journal.DayOf(r.now) - 6, Best: click.BPM(84),
					}})
					r.setPalette(palette)
					r.resize(size.Width, size.Height)
					prepare(r)
					r.golden(file)
				})
			}
		}
	}
}

// fingered is E major in thirds for a clarinet, over the break.
func fingered(s ladder.Step) ladder.Step {
	s.Notes = ladder.Notes{
		Pattern:    pattern.Words{Key: "E major", Figure: "thirds", Range: "E4-B5"},
		Instrument: ladder.Instrument{Name: "clarinet in B flat"},
	}
	s.Chunk = ladder.Chunk{Bar: 17, At: click.Whole(1), Length: click.Whole(1), Landing: true}
	return s
}

// noted is a step with notes, two of them marked.
func noted(s ladder.Step) ladder.Step {
	s.Notes = ladder.Notes{
		Typed: ladder.TypedNotes{Key: "Bb", Unit: "1/16", Text: "B,,D,F,B, DB,F,E, D,F,B,D ECA,F, | B,DFD B,CDF GAFD ECA,F, |\n" +
			"G,A,B,C DEFG FDB,D CA,F,E, | D,F,E,C, B,,D,C,A,, F,,A,,C,E, B,,4 |"},
		Instrument: ladder.Instrument{Name: "bassoon"},
		Marks: []ladder.NoteMark{
			{Bar: 18, At: click.Frac(9, 4), Text: "flick"},
			{Bar: 18, At: click.Frac(11, 4), Text: "not late"},
			{Bar: 20, At: click.Whole(2), Finger: "low-A"},
		},
	}
	return s
}

// golden compares the window with the picture, which it writes with -update.
func (r *rig) golden(name string) {
	r.t.Helper()
	got := r.win.Canvas().Capture()
	path := filepath.Join("testdata", name)
	if *update {
		var buf bytes.Buffer
		if err := png.Encode(&buf, got); err != nil {
			r.t.Fatal(err)
		}
		if err := os.WriteFile(path, buf.Bytes(), 0o600); err != nil {
			r.t.Fatal(err)
		}
		return
	}
	data, err := os.ReadFile(path)
	if err != nil {
		r.t.Fatalf("no golden picture: %v (write it with -update and look at it)", err)
	}
	want, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		r.t.Fatal(err)
	}
	if got.Bounds() != want.Bounds() {
		r.t.Fatalf("the picture is %v, want %v", got.Bounds(), want.Bounds())
	}
	if n := different(got, want); n > 0 {
		failed := filepath.Join("testdata", "failed", name)
		var buf bytes.Buffer
		if os.MkdirAll(filepath.Dir(failed), 0o700) == nil && png.Encode(&buf, got) == nil {
			_ = os.WriteFile(failed, buf.Bytes(), 0o600)
		}
		r.t.Errorf("%d pixels differ from %s; see %s", n, path, failed)
	}
}

// different counts the pixels that differ by more than rounding. Both pictures
// are opaque, so that their bytes mean the same with and without alpha.
func different(a, b image.Image) (n int) {
	const rounding = 2
	p, q := pixels(a), pixels(b)
	for i := 0; i+4 <= len(p) && i+4 <= len(q); i += 4 {
		for c := range 3 {
			if d := int(p[i+c]) - int(q[i+c]); d > rounding || d < -rounding {
				n++
				break
			}
		}
	}
	return n
}

func pixels(img image.Image) []byte {
	switch img := img.(type) {
	case *image.NRGBA:
		return img.Pix
	case *image.RGBA:
		return img.Pix
	}
	out := image.NewNRGBA(img.Bounds())
	draw.Draw(out, out.Bounds(), img, img.Bounds().Min, draw.Src)
	return out.Pix
}
