package routines

import (
	"errors"
	"image/color"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/begin"
	"footing/ladder/routine"
	"footing/ui/window/look"
)

// fault is what is wrong with a value, and in which field.
type fault struct {
	field string // the ID of its key
	text  string
}

// form shows a step as the file's own keys and values.
type form struct {
	inputs  map[string]input
	groups  []*canvas.Text
	labels  []*canvas.Text
	label   map[string]*canvas.Text // of each field
	object  *container.Scroll
	changed func(ladder.Step)
	out     outward
	good    map[string]string // the step as it is without what is left
	left    []string          // the fields whose text could not be taken over
	fault   *fault            // why; nil when nothing is left
	wrong   string            // the field that is marked, by its key's ID
	filling bool
	sketch  *sketch
	goals   *goals
	redraw  func() // asks for a drawing of another width; nil for none
}

// input is a field's widget.
type input struct {
	object fyne.CanvasObject
	text   func() string
	set    func(string)
	mark   func(error)
}

func newForm(out outward, changed func(ladder.Step)) *form {
	f := &form{inputs: map[string]input{}, label: map[string]*canvas.Text{}, changed: changed, out: out}
	f.sketch = newSketch(f.resized)
	f.goals = newGoals(out, "", f.aim)
	var rows []fyne.CanvasObject
	group := ""
	for _, k := range routine.Keys() {
		if k.Group != group && k.Group != "" {
			t := f.text(k.Group, look.Bold)
			f.groups = append(f.groups, t)
			rows = append(rows, t, canvas.NewRectangle(color.Transparent))
		}
		group = k.Group
		label := k.Name
		if group != "" {
			label = "    " + label
		}
		t := f.text(label, look.Regular)
		f.labels = append(f.labels, t)
		f.label[k.ID] = t
		in := f.input(k)
		f.inputs[k.ID] = in
		rows = append(rows, t, in.object)
		if k.ID == goalKey {
			rows = append(rows, canvas.NewRectangle(color.Transparent), f.goals.box)
		}
		if k.ID == notesKey {
			rows = append(rows, canvas.NewRectangle(color.Transparent), f.sketch.box)
		}
	}
	f.object = container.NewVScroll(&fyne.Container{Layout: rowsLayout{}, Objects: rows})
	return f
}

// goalKey is the field of the goal, under which those that the score asks for are offered.
const goalKey = "tempo goal"

// offer shows what the score says of its tempo.
func (f *form) offer(goals []notes.Goal) {
	f.goals.set(goals)
	if step, bad := parse(f.good); bad == nil {
		f.goals.mark(step.Tempo.Goal)
	}
	f.object.Content.Refresh()
}

// aim takes a goal that the score asks for.
func (f *form) aim(goal click.Tempo) {
	step, _, _ := take(f.good, f.texts())
	step.Tempo = begin.To(step.Tempo, goal)
	f.filling = true
	for id, v := range routine.Texts(step) {
		if in := f.inputs[id]; in.text() != v && strings.HasPrefix(id, "tempo ") {
			in.set(v)
		}
	}
	f.filling = false
	f.edited()
}

// notesKey is the field of typed notes, under which the notes are drawn.
const notesKey = "notes"

// resized lays the form out again when the drawing in it is another.
func (f *form) resized() {
	if f.object != nil {
		f.object.Content.Refresh()
		f.object.Refresh()
	}
	if f.redraw != nil {
		f.redraw()
	}
}

func (f *form) text(s string, face look.Face) *canvas.Text {
	t := canvas.NewText(s, look.Current().Soft)
	t.TextSize, t.FontSource = 18, face.Resource()
	return t
}

func (f *form) input(k routine.Key) input {
	if k.Choices != nil {
		s := newChoice(f.out, k.Choices, func(string) { f.edited() })
		return input{s, func() string { return s.Selected }, s.SetSelected, func(error) {}}
	}
	e := newEntry(f.out, k.Hint, func(string) { f.edited() })
	if k.ID == notesKey {
		e.MultiLine, e.Wrapping, e.TextStyle.Monospace = true, fyne.TextWrapWord, true
		e.SetMinRowsVisible(4)
	}
	e.fit = k.Fit
	return input{e, func() string { return e.Text }, e.SetText, e.mark}
}

// show fills the form with a step. Where it is another version of the step that
// was shown, a text that could not be taken over stays.
func (f *form) show(s ladder.Step, same bool) {
	if !same {
		f.left = nil
		f.mark(nil)
	}
	f.filling = true
	f.good = routine.Texts(s)
	for id, v := range f.good {
		in := f.inputs[id]
		typed := same && strings.TrimSpace(in.text()) == v // and the blank after it is on its way
		if in.text() != v && !typed && !slices.Contains(f.left, id) {
			in.set(v)
		}
	}
	f.filling = false
	f.goals.mark(s.Tempo.Goal)
}

// edited takes over what can be read after a change.
func (f *form) edited() {
	if f.filling {
		return
	}
	step, left, bad := take(f.good, f.texts())
	f.goals.mark(step.Tempo.Goal)
	f.good, f.left = routine.Texts(step), left
	f.mark(bad)
	f.changed(step)
}

// texts are what stands in the fields.
func (f *form) texts() map[string]string {
	texts := map[string]string{}
	for id, in := range f.inputs {
		texts[id] = in.text()
	}
	return texts
}

// parse reads what stands in the fields.
func parse(texts map[string]string) (ladder.Step, *fault) {
	step, err := routine.FromTexts(texts)
	var bad *routine.KeyError
	switch {
	case errors.As(err, &bad):
		return step, &fault{bad.ID, bad.Error()}
	case err != nil:
		return step, &fault{"name", err.Error()}
	}
	return step, nil
}

// mark keeps what could not be taken over, and shows it.
func (f *form) mark(bad *fault) {
	f.fault = bad
	f.point(bad)
}

// point shows which field is at fault: its name always, its frame while nobody
// types in it.
func (f *form) point(bad *fault) {
	now := ""
	if bad != nil {
		now = bad.field
	}
	if f.wrong != "" && f.wrong != now {
		f.inputs[f.wrong].mark(nil)
	}
	if now != "" {
		f.inputs[now].mark(errors.New(bad.text))
	}
	if was := f.wrong; was != now {
		f.wrong = now
		f.colour(was)
		f.colour(now)
	}
}

// colour gives the name of a field its colour.
func (f *form) colour(id string) {
	t, ok := f.label[id]
	if !ok {
		return
	}
	t.Color = look.Current().Soft
	if id == f.wrong {
		t.Color = look.Current().Warm
	}
	t.Refresh()
}

// recolour follows the palette.
func (f *form) recolour() {
	p := look.Current()
	for _, t := range f.groups {
		t.Color = p.Accent
		t.Refresh()
	}
	for id := range f.label {
		f.colour(id)
	}
	f.sketch.raster.Refresh()
}

// rowsLayout sets pairs of a label and an input under each other.
type rowsLayout struct{}

const (
	labelWidth = 130
	rowGap     = 6
)

func (rowsLayout) each(objects []fyne.CanvasObject, place func(label, in fyne.CanvasObject, y, h float32)) float32 {
	y := float32(0)
	for i := 0; i+1 < len(objects); i += 2 {
		if !objects[i+1].Visible() {
			continue
		}
		h := max(objects[i].MinSize().Height, objects[i+1].MinSize().Height)
		place(objects[i], objects[i+1], y, h)
		y += h + rowGap
	}
	return y
}

// Layout is for Fyne.
func (l rowsLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	l.each(objects, func(label, in fyne.CanvasObject, y, h float32) {
		label.Move(fyne.NewPos(8, y))
		label.Resize(fyne.NewSize(labelWidth, h))
		from := float32(labelWidth)
		if _, drawn := in.(*fyne.Container); drawn { // notes have the whole width
			from = 8
		}
		in.Move(fyne.NewPos(from, y))
		in.Resize(fyne.NewSize(max(size.Width-from-16, 10), h))
	})
}

// MinSize is for Fyne.
func (l rowsLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	h := l.each(objects, func(_, _ fyne.CanvasObject, _, _ float32) {})
	return fyne.NewSize(labelWidth+160, h)
}
