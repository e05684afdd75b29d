package routines

import (
	"context"
	"errors"
	"fmt"
	"image"
	"path/filepath"
	"reflect"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/notesfile"
	"footing/ladder/passage"
	"footing/ladder/passage/abc"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/window/look"
)

// sketch is the drawing of a step's notes under the field that they are typed in,
// and above it a line on what is wrong with them.
type sketch struct {
	box    *fyne.Container
	raster *canvas.Raster
	line   *widget.Label
	moved  func() // called when the sketch is wider, narrower or has another height

	still *paint.Still // nil where there are no fonts to draw with
	is    sketched
	width float32 // that the notes were laid out for
}

// sketched is what is shown.
type sketched struct {
	drawing *engrave.Drawing // nil for none
	space   float64          // pixels of the screen to a staff space
	device  float32          // pixels of the screen to a unit of the window
	text    string
	warm    bool
	goals   []notes.Goal // that the score asks for
}

// tallest is how high a drawing is shown, in units of the window: what a graphics
// card takes whole.
const tallest = 6000

func newSketch(moved func()) *sketch {
	s := &sketch{moved: moved}
	if painter, err := paint.New(); err == nil {
		s.still = paint.NewStill(painter)
	}
	s.raster = canvas.NewRaster(func(w, h int) image.Image {
		if s.still == nil || s.is.drawing == nil {
			return image.NewUniform(look.Current().Paper)
		}
		return s.still.Image(s.is.drawing, look.Current(), false, w, h, s.is.space)
	})
	s.line = widget.NewLabel("")
	s.line.Wrapping = fyne.TextWrapWord
	s.box = &fyne.Container{Layout: s, Objects: []fyne.CanvasObject{s.raster, s.line}}
	return s
}

// set shows something else.
func (s *sketch) set(is sketched) {
	if is.drawing == nil && is.text != "" {
		is.drawing, is.space, is.device = s.is.drawing, s.is.space, s.is.device // the last that could be drawn stays
	}
	s.is = is
	s.line.Importance = widget.LowImportance
	if is.warm {
		s.line.Importance = widget.WarningImportance
	}
	s.line.SetText(is.text)
	if s.line.Hidden = is.text == ""; is.drawing == nil {
		s.raster.Hide()
	} else {
		s.raster.Show()
	}
	s.box.Refresh()
	s.raster.Refresh()
	s.moved()
}

// height is that of the drawing, in units of the window.
func (s *sketch) height() float32 {
	if s.is.drawing == nil {
		return 0
	}
	return min(float32(s.is.drawing.Height*s.is.space)/s.is.device, tallest)
}

// Layout is for Fyne.
func (s *sketch) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	top := float32(0)
	if s.is.text != "" {
		s.line.Resize(fyne.NewSize(size.Width, s.line.MinSize().Height))
		top = s.line.MinSize().Height
	}
	s.raster.Move(fyne.NewPos(0, top))
	s.raster.Resize(fyne.NewSize(size.Width, s.height()))
	if d := size.Width - s.width; size.Width > 0 && (d > 1 || d < -1) {
		s.width = size.Width
		s.moved()
	}
}

// MinSize is for Fyne.
func (s *sketch) MinSize([]fyne.CanvasObject) fyne.Size {
	h := s.height()
	if s.is.text != "" {
		h += s.line.MinSize().Height
	}
	return fyne.NewSize(10, h)
}

// sought is what a sketch is made of.
type sought struct {
	step  ladder.Step // but for its chunk
	dir   string
	width float32
}

// draw draws the notes of the step in hand where others are shown, off the main
// goroutine.
func (v *View) draw() {
	s := v.form.sketch
	if v.desk == nil || s.still == nil {
		return
	}
	want := sought{step: v.desk.now.On(v.desk.now.Steps[v.desk.step]), dir: filepath.Dir(v.desk.doc.Place()), width: s.width}
	want.step.Chunk, want.step.Tempo, want.step.Pencil = ladder.Chunk{}, ladder.Range{}, ""
	if v.sketched != nil && reflect.DeepEqual(*v.sketched, want) {
		return
	}
	v.endSketch()
	if want.width <= 0 {
		return // not laid out yet; Layout asks again
	}
	v.sketched = &want
	device := float32(1)
	if c := fyne.CurrentApp().Driver().CanvasForObject(s.box); c != nil {
		device = c.Scale()
	}
	step := want.step
	step.Chunk, step.Tempo = v.desk.now.Steps[v.desk.step].Chunk, v.desk.now.Steps[v.desk.step].Tempo
	anew := v.entered // a score may be another since
	v.entered = false
	ctx, cancel := context.WithCancel(context.Background())
	v.stopSketch = cancel
	is := sketched{space: float64(paint.LeastSpace * device), device: device}
	v.o.Read(func() {
		if anew || v.shelf.Dir != want.dir {
			v.shelf = &notesfile.Shelf{Dir: want.dir}
		}
		is.make(ctx, v.shelf, step, float64(want.width*device)/is.space)
	}, func() {
		cancel()
		if v.sketched == &want {
			v.stopSketch = nil
			if is.goals != nil || !is.warm { // while what is typed cannot be read, what it said stays
				v.form.offer(is.goals)
			}
			s.set(is)
		}
	})
}

// endSketch gives up a drawing that is not ready. It touches no widget.
func (v *View) endSketch() {
	if v.stopSketch != nil {
		v.stopSketch()
		v.stopSketch, v.sketched = nil, nil
	}
}

// make finds and lays out the notes of a step, for a width in staff spaces.
func (s *sketched) make(ctx context.Context, shelf *notesfile.Shelf, step ladder.Step, width float64) {
	found, err := shelf.Notes(ctx, step)
	if ctx.Err() != nil {
		return
	}
	var from engrave.Excerpt
	o := engrave.Options{Width: width, Numbers: true, Between: 1}
	n := found.Notes
	if n != nil {
		s.goals = n.Goals(step)
		from = engrave.Bars(n.Line, n.First, n.Last)
		for _, m := range n.Marks {
			text := m.Text
			if text == "" {
				text = m.Finger
			}
			o.Pencil = append(o.Pencil, engrave.PencilMark{Note: n.All[m.Note].First, Text: text})
		}
	} else if score, _, bad := notes.Made(step); bad == nil && score != nil { // the passage has other bars
		from = allBars(score)
	}
	if from.Line.Part != nil {
		var bad error
		if s.drawing, bad = engrave.Layout(from, o); bad != nil && err == nil {
			err = bad
		}
	}
	var faults notes.Faults
	switch {
	case errors.As(err, &faults) && len(faults) > 0:
		s.text, s.warm = told(faults), true
	case err != nil:
		s.text, s.warm = capital(err.Error())+".", true
	default:
		s.text = odd(found.Typed)
	}
}

// allBars is all of a score's first line.
func allBars(score *passage.Score) engrave.Excerpt {
	part := &score.Parts[0]
	lines := part.Lines()
	if len(lines) == 0 {
		return engrave.Excerpt{}
	}
	return engrave.Bars(lines[0], 0, len(part.Bars)-1)
}

// told is the first of some faults, with its place in what is typed, and how many
// there are besides.
func told(faults notes.Faults) string {
	f := faults[0]
	text := capital(f.Error())
	if f.Line > 0 {
		text = place(f.Line, f.Col) + f.Error()
	}
	if more := len(faults) - 1; more > 0 {
		text += fmt.Sprintf(" (and %d more)", more)
	}
	return text
}

// place is where something stands in a field.
func place(line, col int) string { return fmt.Sprintf("Line %d, column %d: ", line, col) }

// odd is what may not be meant in typed notes, each on a line.
func odd(remarks []abc.Remark) string {
	var lines []string
	for i, r := range remarks {
		if i == shownRemarks {
			lines = append(lines, fmt.Sprintf("and %d more", len(remarks)-i))
			break
		}
		lines = append(lines, place(r.Line, r.Col)+r.Text)
	}
	return strings.Join(lines, "\n")
}
