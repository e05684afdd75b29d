package routines

import (
	"fmt"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
	"footing/ladder/counted"
	"footing/ladder/notes"
	"footing/ladder/notes/begin"
	"footing/ladder/passage"
	"footing/ladder/routine"
	"footing/ui/engrave"
	"footing/ui/engrave/paint"
	"footing/ui/window/document"
)

// recipe is the page on which a step is made from a pattern.
type recipe struct {
	v      *View
	text   *entry
	order  *choice
	add    *button
	warm   *button
	sketch *sketch
	page   fyne.CanvasObject

	drawn string  // for which text
	width float32 // and which width the sketch is
	is    begin.Recipe
	step  ladder.Step // of the text, where it can be read
	fault error
}

// exampleRecipe stands in the field at first, to be changed.
const exampleRecipe = "E flat major in thirds, sixteenths, my range"

func newRecipe(v *View) *recipe {
	p := &recipe{v: v}
	out := v.out()
	under := container.NewVScroll(nil)
	p.sketch = newSketch(func() {
		if under.Content != nil {
			under.Content.Refresh() // the drawing has another height
			under.Refresh()
		}
		p.draw()
	})
	p.text = newEntry(out, exampleRecipe, func(string) { p.draw() })
	p.text.OnSubmitted = func(string) { p.take() }
	p.add = newButton(out, "Add as a step", p.take)
	p.add.Importance = widget.HighImportance
	p.order = newChoice(out, begin.OrderNames(), func(string) {})
	p.warm = newButton(out, "Warm-up through all keys", p.warmUp)
	p.order.SetSelectedIndex(0)
	hints := container.NewVBox()
	for _, text := range begin.Hints() {
		l := widget.NewLabel(text)
		l.Wrapping, l.Importance, l.SizeName = fyne.TextWrapWord, widget.LowImportance, theme.SizeNameCaptionText
		hints.Add(l)
	}
	buttons := container.NewVBox(
		container.NewHBox(p.add, newButton(out, "Not now", p.dismiss), layout.NewSpacer()),
		container.NewBorder(nil, nil, p.warm, nil, p.order))
	p.page = container.NewBorder(container.NewVBox(heading("New step from a pattern"), p.text), buttons, nil, nil,
		under)
	under.Content = container.NewVBox(p.sketch.box, hints)
	return p
}

// Pattern asks for a pattern to make a step of.
func (v *View) Pattern() {
	if v.desk == nil {
		return
	}
	if v.form.fault != nil {
		v.say(v.form.fault.text, true)
		return
	}
	v.recipe = newRecipe(v)
	v.show()
	text := exampleRecipe
	if (v.recipe.own() == ladder.Instrument{}) {
		text = "E flat major in thirds, sixteenths, E3-C6"
	}
	v.recipe.text.SetText(text)
	v.recipe.text.TypedShortcut(&fyne.ShortcutSelectAll{})
	v.o.Window.Canvas().Focus(v.recipe.text)
}

// own is what the player plays: the routine's instrument, or that of the step in
// hand.
func (p *recipe) own() ladder.Instrument {
	d := p.v.desk
	return d.now.On(d.now.Steps[d.step]).Notes.Instrument
}

// draw reads the text and draws what it makes.
func (p *recipe) draw() {
	if p.v.recipe != p || p.drawn == p.text.Text && p.width == p.sketch.width {
		return
	}
	p.drawn, p.width = p.text.Text, p.sketch.width
	p.is, p.fault = begin.Parse(p.text.Text, p.own())
	if p.fault == nil {
		p.step, p.fault = p.is.Step(p.v.desk.now)
	}
	if p.fault != nil {
		p.add.Disable()
		p.warm.Disable()
		p.sketch.set(sketched{text: capital(p.fault.Error()), warm: true})
		return
	}
	p.add.Enable()
	p.warm.Enable()
	is := sketched{device: 1}
	if c := fyne.CurrentApp().Driver().CanvasForObject(p.sketch.box); c != nil {
		is.device = c.Scale()
	}
	is.space = float64(paint.LeastSpace * is.device)
	score, _, err := notes.Made(p.v.desk.now.On(p.step))
	if err == nil && p.width > 0 {
		is.drawing, err = layOut(score, float64(p.width*is.device)/is.space)
	}
	if err != nil {
		is.text, is.warm = capital(err.Error()), true
	}
	p.sketch.set(is)
}

// layOut lays all bars of a score out.
func layOut(score *passage.Score, width float64) (*engrave.Drawing, error) {
	return engrave.Layout(allBars(score), engrave.Options{Width: width, Between: 1})
}

// take adds the step to the routine, behind the one in hand.
func (p *recipe) take() {
	v := p.v
	if v.recipe != p || p.fault != nil || v.desk == nil {
		return
	}
	if len(v.desk.now.Steps) >= ladder.MaxSteps {
		p.sketch.set(sketched{text: fmt.Sprintf("The routine has %d steps already; begin a new one.", ladder.MaxSteps), warm: true})
		return
	}
	v.recipe = nil
	v.editSteps(func(d *desk) { d.add(p.step) })
	v.o.Window.Canvas().Focus(v.steps)
}

// warmUp makes a routine of a step for each key.
func (p *recipe) warmUp() {
	v := p.v
	if v.recipe != p || p.fault != nil {
		return
	}
	r, err := begin.WarmUp(p.is.Words, p.is.Instrument, begin.Order(max(0, p.order.SelectedIndex())))
	var f *routine.File
	if err == nil {
		f, err = routine.New(r)
	}
	if err != nil {
		p.sketch.set(sketched{text: capital(err.Error()), warm: true})
		return
	}
	v.recipe = nil
	v.leave(func() {
		doc := document.Begin(f, filepath.Join(v.o.Dir, document.FileName(strings.ReplaceAll(r.Name, ":", ""))))
		doc.Want()
		v.use(newDesk(doc), 0)
		v.show()
		v.o.Save(doc, func(err error) {
			v.show()
			v.list()
			if err == nil && v.desk != nil && v.desk.doc == doc {
				v.say(fmt.Sprintf("%s, saved in %s", counted.Of(len(r.Steps), "step"), v.shortPath(doc.Path())), false)
				v.o.Window.Canvas().Focus(v.steps)
			}
		})
	})
}

// dismiss goes back to the routine.
func (p *recipe) dismiss() {
	p.v.recipe = nil
	p.v.show()
}
