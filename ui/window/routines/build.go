package routines

import (
	"errors"
	"io/fs"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
	"footing/ui/window/document"
	"footing/ui/window/look"
)

// build makes the widgets once.
func (v *View) build() {
	out := v.out()
	v.files = newList(out, func() int { return len(v.entries) }, v.fileRow)
	v.files.selects(func(i int) {
		if !v.busy && i < len(v.entries) {
			v.open(v.entries[i].Path)
		}
	})
	v.steps = newList(out, func() int {
		if v.desk == nil {
			return 0
		}
		return len(v.desk.now.Steps)
	}, v.stepRow)
	v.steps.selects(func(i int) {
		if v.busy || v.desk == nil || i == v.desk.step || i >= len(v.desk.now.Steps) {
			return
		}
		if v.form.fault != nil {
			v.say(v.form.fault.text, true)
			return
		}
		v.desk.step = i
		v.show()
	})
	v.files.right, v.steps.left = v.steps, v.files
	v.form = newForm(out, v.edited)
	v.form.redraw = v.draw
	v.name = newEntry(out, "name of the routine", func(s string) {
		if v.busy || v.desk == nil {
			return
		}
		v.desk.now.Name = strings.TrimSpace(s)
		v.desk.doc.Name(filepath.Join(v.o.Dir, document.FileName(s)))
		v.said = ""
		v.status()
	})
	v.line = widget.NewLabel("")
	v.line.Wrapping = fyne.TextWrapWord
	v.save = newButton(out, "Save", v.Save)
	v.copied = newButton(out, "Duplicate routine", v.duplicate)
	v.written = newButton(out, "Into files …", v.Export)
	practise := newButton(out, "Practise", v.practise)
	practise.Importance = widget.HighImportance

	v.order = newButton(out, "", v.Ordering)
	stepButtons := container.NewVBox(
		container.NewGridWithColumns(2,
			newButton(out, "Add", func() { v.editSteps(func(d *desk) { d.add(newStep(d.now.Steps[d.step])) }) }),
			newButton(out, "Remove", func() { v.editSteps((*desk).remove) }),
			newButton(out, "Up", func() { v.editSteps(func(d *desk) { d.move(-1) }) }),
			newButton(out, "Down", func() { v.editSteps(func(d *desk) { d.move(1) }) })),
		newButton(out, "Duplicate step", func() { v.editSteps(func(d *desk) { d.add(d.now.Steps[d.step]) }) }),
		newButton(out, "From a pattern …", v.Pattern),
		v.order)
	fileButtons := container.NewVBox(
		container.NewGridWithColumns(2, newButton(out, "New", v.fresh), newButton(out, "Open…", v.elsewhere)),
		v.copied, v.written)
	left := container.NewBorder(heading("Routines"), fileButtons, nil, nil, v.files)
	middle := container.NewBorder(heading("Steps"), stepButtons, nil, nil, v.steps)
	v.steps.beyond = v.toNotes
	right := container.NewBorder(container.NewBorder(nil, nil, heading("Step"), newButton(out, "Notes", v.toNotes)), nil, nil, nil, v.form.object)
	head := container.NewBorder(nil, nil, nil, container.NewHBox(v.save, practise), v.name)
	v.editor = container.NewBorder(
		container.NewVBox(head, v.line), nil, nil, nil,
		&fyne.Container{Layout: split{0.40, 220, 18}, Objects: []fyne.CanvasObject{middle, right}})
	v.detail = container.NewStack()
	v.divider = canvas.NewRectangle(look.Current().Hair)
	columns := &fyne.Container{Layout: split{0.25, 220, 36}, Objects: []fyne.CanvasObject{left, v.detail, v.divider}}
	v.root = &fyne.Container{Layout: margin{22, edge}, Objects: []fyne.CanvasObject{columns}}
}

// out is what the view's inputs leave to it and the window.
func (v *View) out() outward {
	return outward{save: v.Save, open: v.elsewhere, export: v.Export, key: v.o.Key}
}

func heading(text string) fyne.CanvasObject {
	l := widget.NewLabel(text)
	l.TextStyle.Bold = true
	return l
}

// row is a line of a list: a name, and something small under it.
func row() fyne.CanvasObject {
	name := widget.NewLabel("name")
	name.Truncation = fyne.TextTruncateEllipsis
	sub := widget.NewLabel("sub")
	sub.SizeName, sub.Importance = theme.SizeNameCaptionText, widget.LowImportance
	sub.Truncation = fyne.TextTruncateEllipsis
	return &fyne.Container{Layout: tight{}, Objects: []fyne.CanvasObject{name, sub}}
}

func setRow(o fyne.CanvasObject, name, sub string, bold, warm bool) {
	lines := o.(*fyne.Container).Objects
	n, s := lines[0].(*widget.Label), lines[1].(*widget.Label)
	n.TextStyle.Bold = bold
	s.Importance = widget.LowImportance
	if warm {
		s.Importance = widget.WarningImportance
	}
	n.SetText(name)
	s.SetText(sub)
}

func (v *View) fileRow(i int, o fyne.CanvasObject) {
	e := v.entries[i]
	sub := filepath.Base(e.Path)
	path := ""
	if doc, _ := v.o.AtStand(); doc != nil {
		path = doc.Path()
	}
	switch {
	case errors.Is(e.Err, fs.ErrNotExist):
		sub = "not found: " + sub
	case e.Err != nil:
		sub = "has a fault: " + sub
	case e.Path == path:
		sub = "at the Stand · " + sub
	}
	setRow(o, e.Name, sub, e.Path == path, e.Err != nil)
}

func (v *View) stepRow(i int, o fyne.CanvasObject) {
	s := v.desk.now.Steps[i]
	sub := s.Rule.Kind.String() + ", to " + s.Tempo.Goal.String()
	if s.Tempo.From != 0 {
		sub = s.Rule.Kind.String() + ", " + s.Tempo.From.String() + " to " + s.Tempo.Goal.String()
	}
	setRow(o, s.Name, sub, i == v.desk.step, false)
}

// newStep is a plain step on the same passage.
func newStep(like ladder.Step) ladder.Step {
	s := ladder.DefaultStep()
	s.Name, s.Passage, s.Meter, s.Unit, s.Tempo = "New step", like.Passage, like.Meter, like.Unit, like.Tempo
	s.Meters, s.Pickup = like.Meters, like.Pickup
	s.Chunk.Bar = like.Passage.From
	if m, err := s.Measures(); err == nil && m.Bar(m.From()).Beats < 4 {
		s.Chunk.Length = like.Chunk.Length
	}
	return s
}

// editSteps edits the list of steps.
func (v *View) editSteps(edit func(*desk)) {
	if v.desk == nil || v.form.fault != nil {
		return
	}
	edit(v.desk)
	v.said = ""
	v.show()
}

// edited takes a change of the form over.
func (v *View) edited(s ladder.Step) {
	if v.desk == nil {
		return
	}
	v.said = ""
	v.desk.set(s)
	v.steps.Refresh()
	v.status()
	v.draw()
}

// toNotes leads to the field of typed notes, which is far down the form.
func (v *View) toNotes() {
	if v.desk == nil {
		return
	}
	in := v.form.inputs[notesKey].object
	v.form.object.ScrollToOffset(fyne.NewPos(0, max(in.Position().Y-rowGap, 0)))
	v.o.Window.Canvas().Focus(in.(fyne.Focusable))
}

// show brings every widget in line with what is open.
func (v *View) show() {
	v.busy = true
	defer func() { v.busy = false }()
	v.files.Refresh()
	selected := -1
	for i, e := range v.entries {
		if v.desk != nil && e.Path == v.desk.doc.Path() || v.bad != nil && e.Path == v.bad.path {
			selected = i
		}
	}
	if selected >= 0 {
		v.files.Select(selected)
	} else {
		v.files.UnselectAll()
	}
	var body fyne.CanvasObject
	switch {
	case v.opening != nil:
		body = v.opening.page
	case v.bad != nil:
		body = v.badPage()
	case v.desk == nil:
		body = container.NewCenter(widget.NewLabel("Open a routine on the left, or begin a new one."))
	case v.exporting != nil:
		body = v.exporting.page
	case v.recipe != nil:
		body = v.recipe.page
	case v.ordering != nil:
		v.ordering.follow()
		body = v.ordering.page
	default:
		if v.name.Text != v.desk.now.Name {
			v.name.SetText(v.desk.now.Name)
		}
		v.steps.Refresh()
		v.steps.Select(v.desk.step)
		now := filled{v.desk, v.desk.step}
		v.form.show(v.desk.now.Steps[v.desk.step], v.filled == now)
		v.filled = now
		v.restore()
		v.draw()
		body = v.editor
	}
	if v.desk == nil {
		v.copied.Disable()
		v.written.Disable()
	} else {
		v.shown = v.desk.doc.State()
		v.copied.Enable()
		v.written.Enable()
	}
	v.Recolour()
	if len(v.detail.Objects) != 1 || v.detail.Objects[0] != body {
		v.detail.Objects = []fyne.CanvasObject{body}
		v.detail.Refresh()
	}
	v.status()
	if v.o.Changed != nil {
		v.o.Changed()
	}
}

// Recolour follows the palette.
func (v *View) Recolour() {
	v.form.recolour()
	if v.recipe != nil {
		v.recipe.sketch.raster.Refresh()
	}
	v.divider.FillColor = look.Current().Hair
	v.divider.Refresh()
}

// status is the line under the editor, and whether there is something to save.
func (v *View) status() {
	if v.desk == nil {
		return
	}
	text, importance := v.shortPath(v.desk.path()), widget.LowImportance
	if v.desk.doc.Path() == "" {
		text += " (not saved yet)"
	}
	if v.said != "" {
		text, importance = v.said, widget.MediumImportance
		if v.warm {
			importance = widget.WarningImportance
		}
	}
	bad := v.form.fault
	if bad == nil {
		bad = v.desk.clash()
	}
	v.order.SetText(orderLabel(v.desk.now.Order))
	v.form.point(bad)
	if bad != nil && !strings.Contains(v.said, bad.text) {
		text, importance = bad.field+": "+bad.text, widget.WarningImportance
	}
	v.line.Importance = importance
	v.line.SetText(text)
	if v.desk.changed() {
		v.save.Enable()
	} else {
		v.save.Disable()
	}
}

// shortPath is a path without the player's own folder.
func (v *View) shortPath(path string) string {
	if filepath.Dir(path) == filepath.Clean(v.o.Dir) {
		return filepath.Base(path)
	}
	return path
}

// badPage says all that is wrong with a file: the places, and the text around
// them.
func (v *View) badPage() fyne.CanvasObject {
	faults := explain(v.bad.path, v.bad.err, v.bad.data)
	head, was := "This file cannot be practised yet", "It was left as it is: "
	if errors.Is(v.bad.err, fs.ErrNotExist) {
		head, was = "There is no such file", "Give the path of a routine, or a command (see footing -h). Looked for: "
		faults = nil
	}
	title := heading(head)
	left := widget.NewLabel(was + v.shortPath(v.bad.path))
	left.Wrapping = fyne.TextWrapWord
	page := container.NewVBox(title, left)
	for _, f := range faults {
		what := widget.NewLabel(f.line)
		what.Wrapping, what.Importance = fyne.TextWrapWord, widget.WarningImportance
		page.Add(what)
		if f.excerpt != "" {
			text := widget.NewLabel(f.excerpt)
			text.TextStyle.Monospace = true
			page.Add(container.NewHScroll(text))
		}
	}
	again := newButton(v.out(), "Read it again", func() {
		v.read(v.bad.path)
	})
	return container.NewBorder(nil, container.NewHBox(again, layout.NewSpacer()), nil, nil, container.NewVScroll(page))
}

// split gives the first object a share of the width, at least so much, and
// leaves a gap, in the middle of which a third object is a line.
type split struct{ share, least, gap float32 }

// Layout is for Fyne.
func (l split) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	first := max(size.Width*l.share, l.least)
	objects[0].Move(fyne.NewPos(0, 0))
	objects[0].Resize(fyne.NewSize(first, size.Height))
	objects[1].Move(fyne.NewPos(first+l.gap, 0))
	objects[1].Resize(fyne.NewSize(size.Width-first-l.gap, size.Height))
	for _, line := range objects[2:] {
		line.Move(fyne.NewPos(first+l.gap/2, -edge))
		line.Resize(fyne.NewSize(1, size.Height+2*edge))
	}
}

// MinSize is for Fyne.
func (l split) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(2*l.least+l.gap, 200) }

// edge is how far the view keeps off the header and the foot of the window.
const edge = 12

// margin keeps its object off the edges.
type margin struct{ x, y float32 }

// Layout is for Fyne.
func (m margin) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for _, o := range objects {
		o.Move(fyne.NewPos(m.x, m.y))
		o.Resize(fyne.NewSize(size.Width-2*m.x, size.Height-2*m.y))
	}
}

// MinSize is for Fyne.
func (m margin) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return objects[0].MinSize().AddWidthHeight(2*m.x, 2*m.y)
}

// tight sets two labels close under each other.
type tight struct{}

// Layout is for Fyne.
func (tight) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	for i, o := range objects {
		o.Move(fyne.NewPos(0, float32(i)*22-4))
		o.Resize(fyne.NewSize(size.Width, o.MinSize().Height))
	}
}

// MinSize is for Fyne.
func (tight) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(60, 54) }
