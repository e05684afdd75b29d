package routines

import (
	"fmt"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"footing/ladder"
)

// ordering is the page on which a routine is told in which order its steps come.
type ordering struct {
	v      *View
	kind   *choice
	number *entry
	unit   *widget.Label // what the number counts
	line   *widget.Label // what that means for these steps, or what is wrong with the number
	page   fyne.CanvasObject
	turns  *fyne.Container // the number and its unit
	top    *fyne.Container // the kind and, where there are any, the turns
	text   *fyne.Container // the line, and what is known of turns

	filling bool
}

// The kinds of order, as they are chosen.
const (
	asListed = iota
	turnsOfReps
	turnsOfMinutes
)

var orderKinds = []string{"as listed", "mixed, in turns of reps", "mixed, in turns of minutes"}

// onMixing states what is known for and against turns. For: C. Carter and J. Grahn,
// Frontiers in Psychology 7:1251, 2016: ten clarinetists, 12 minutes for each piece
// in one go or in turns of 3. Against: 19 seventh-grade players of clarinet and
// saxophone, 18 minutes in either way or both (digitalcollections.ric.edu/record/1990).
var onMixing = []string{
	"As listed, a step is practised until it is done, and then the next. Mixed, the steps come round in turns, " +
		"and each goes on where its last turn left it.",
	"For it: ten clarinetists practised pieces in one go or in turns of 3 minutes; where listeners heard a difference, " +
		"also on the next day, turns held better, for some players more than for others (Carter and Grahn 2016).",
	"Against it: of 19 school players of clarinet and saxophone, those who took turns were no better, neither at once nor a day later.",
	"So try it for a week, on passages that you know already, and go by your own journal.",
}

func newOrdering(v *View) *ordering {
	p := &ordering{v: v}
	out := v.out()
	p.kind = newChoice(out, orderKinds, func(string) { p.take() })
	p.number = newEntry(out, "3", func(string) { p.take() })
	p.number.fit = digits
	p.number.OnSubmitted = func(string) { p.dismiss() }
	p.unit = widget.NewLabel("")
	p.line = widget.NewLabel("")
	p.line.Wrapping = fyne.TextWrapWord
	p.text = container.NewVBox(p.line)
	for _, s := range onMixing {
		l := widget.NewLabel(s)
		l.Wrapping, l.Importance = fyne.TextWrapWord, widget.LowImportance
		p.text.Add(l)
	}
	done := newButton(out, "Done", p.dismiss)
	done.Importance = widget.HighImportance
	p.turns = container.NewBorder(nil, nil, nil, p.unit, p.number)
	p.top = container.NewGridWithColumns(2, p.kind, p.turns)
	p.page = container.NewBorder(
		container.NewVBox(heading("Order of the steps"), p.top),
		container.NewHBox(done, layout.NewSpacer()), nil, nil,
		container.NewVScroll(p.text))
	p.fill(v.desk.now.Order)
	return p
}

// digits leaves out of a text what is no digit, and what is too much.
func digits(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, s)
	return s[:min(len(s), 2)]
}

// Ordering asks in which order the steps come.
func (v *View) Ordering() {
	if v.desk == nil {
		return
	}
	if v.form.fault != nil {
		v.say(v.form.fault.text, true)
		return
	}
	v.ordering = newOrdering(v)
	v.show()
	v.o.Window.Canvas().Focus(v.ordering.kind)
}

// fill shows an order.
func (p *ordering) fill(o ladder.Order) {
	p.filling = true
	kind, n := asListed, 3
	switch {
	case o.Reps > 0:
		kind, n = turnsOfReps, o.Reps
	case o.Minutes > 0:
		kind, n = turnsOfMinutes, o.Minutes
	}
	p.kind.SetSelectedIndex(kind)
	p.number.SetText(strconv.Itoa(n))
	p.filling = false
	p.tell()
}

// follow shows what the order has become elsewhere.
func (p *ordering) follow() {
	if o, ok := p.chosen(); ok && o != p.v.desk.now.Order {
		p.fill(p.v.desk.now.Order)
	}
}

// take takes over what is chosen, where its number is one.
func (p *ordering) take() {
	if p.filling || p.v.ordering != p || p.v.desk == nil {
		return
	}
	if o, ok := p.chosen(); ok {
		p.v.desk.now.Order = o
		p.v.said = ""
		p.v.status()
	}
	p.tell()
}

// chosen is the order as it stands on the page; false where the number is none.
func (p *ordering) chosen() (ladder.Order, bool) {
	n, err := strconv.Atoi(p.number.Text)
	ok := err == nil && n >= 1 && n <= ladder.MaxTurn
	switch p.kind.SelectedIndex() {
	case turnsOfReps:
		return ladder.Order{Reps: n}, ok
	case turnsOfMinutes:
		return ladder.Order{Minutes: n}, ok
	}
	return ladder.Order{}, true
}

// tell says what the order means.
func (p *ordering) tell() {
	o, ok := p.chosen()
	p.turns.Show()
	p.unit.SetText("reps a turn")
	switch p.kind.SelectedIndex() {
	case asListed:
		p.turns.Hide()
	case turnsOfMinutes:
		p.unit.SetText("minutes a turn")
	}
	p.top.Refresh()
	names := p.v.desk.now.Steps
	text, importance := "One step after the other.", widget.MediumImportance
	switch {
	case !ok:
		text, importance = fmt.Sprintf("Not taken over: write a number from 1 to %d.", ladder.MaxTurn), widget.WarningImportance
	case o.Mixed() && len(names) == 1:
		text = "There is one step yet, so nothing is mixed until another is added."
	case o.Mixed():
		text = fmt.Sprintf("%s of “%s”, then of “%s”, and so round until all are done.", capital(o.Turn()), names[0].Name, names[1].Name)
	}
	p.line.Importance = importance
	p.line.SetText(text)
	p.text.Refresh() // the line may take two
}

// dismiss goes back to the steps.
func (p *ordering) dismiss() {
	p.v.ordering = nil
	p.v.show()
	p.v.o.Window.Canvas().Focus(p.v.steps)
}

// orderLabel is what the button that leads to the page says.
func orderLabel(o ladder.Order) string { return "Order: " + o.String() + " …" }
