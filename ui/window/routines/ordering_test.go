package routines

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"footing/ladder"
)

// By keys alone the steps are put into turns, and back; the page says what is known
// for it and against it, and the file holds it.
func TestTheOrderIsChosenByKeys(t *testing.T) {
	r := newRig(t)
	r.pick("Morning runs")
	key := func(names ...fyne.KeyName) {
		for _, name := range names {
			r.o.Window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: name})
		}
	}
	enter := func() {
		r.o.Window.Canvas().Focus(r.order)
		r.order.KeyDown(nil)
		key(fyne.KeyReturn)
	}
	if r.order.Text != "Order: as listed …" {
		t.Errorf("the button says %q", r.order.Text)
	}
	enter()
	p := r.ordering
	if p == nil || r.o.Window.Canvas().Focused() != fyne.Focusable(p.kind) {
		t.Fatal("the page does not come up, ready to be chosen on")
	}
	both := strings.Join(onMixing, "\n")
	for _, want := range []string{"For it: ten clarinetists", "Against it: of 19 school players"} {
		if !strings.Contains(both, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	key(fyne.KeyRight)
	if r.desk.now.Order != (ladder.Order{Reps: 3}) || p.line.Text != "3 reps of “Weir Street run”, then of “Slow settling”, and so round until all are done." {
		t.Errorf("the order is %s: %q", r.desk.now.Order, p.line.Text)
	}
	key(fyne.KeyRight)
	r.o.Window.Canvas().Focus(p.number)
	p.number.SetText("")
	for _, c := range "x12" {
		p.number.TypedRune(c)
	}
	if r.desk.now.Order != (ladder.Order{Minutes: 12}) {
		t.Errorf("the order is %s", r.desk.now.Order)
	}
	p.number.SetText("0")
	if r.desk.now.Order != (ladder.Order{Minutes: 12}) || !strings.Contains(p.line.Text, "write a number from 1 to 99") {
		t.Errorf("a turn of nothing makes it %s: %q", r.desk.now.Order, p.line.Text)
	}
	p.number.SetText("5")
	key(fyne.KeyReturn)
	if r.ordering != nil || r.order.Text != "Order: mixed, 5 minutes …" || r.o.Window.Canvas().Focused() != fyne.Focusable(r.steps) {
		t.Errorf("it is not gone back from; the button says %q", r.order.Text)
	}
	r.Save()
	if text := r.read("morning.yaml"); !strings.Contains(text, "order: mixed, 5 minutes\n") || !strings.Contains(text, "# before breakfast") {
		t.Errorf("the file is\n%s", text)
	}
	enter()
	if p := r.ordering; p.kind.SelectedIndex() != turnsOfMinutes || p.number.Text != "5" {
		t.Errorf("comes up with %s, %s", p.kind.Selected, p.number.Text)
	}
	key(fyne.KeyLeft, fyne.KeyLeft)
	if r.desk.now.Order.Mixed() || r.ordering.turns.Visible() {
		t.Error("it is mixed still")
	}
	r.ordering.dismiss()
	r.Save()
	if text := r.read("morning.yaml"); strings.Contains(text, "order") {
		t.Errorf("the file is\n%s", text)
	}
}

// The page gives way to another routine, and follows what the order becomes
// elsewhere.
func TestTheOrderFollows(t *testing.T) {
	r := newRig(t)
	r.lay(r.dir + "/morning.yaml")
	r.Ordering()
	now := r.atStand.Routine()
	now.Order = ladder.Order{Reps: 7}
	r.o.Change(r.atStand, now)
	r.Refresh()
	if p := r.ordering; p.number.Text != "7" || p.kind.SelectedIndex() != turnsOfReps {
		t.Errorf("the page shows %s, %s", p.kind.Selected, p.number.Text)
	}
	r.pick("Other")
	if r.ordering != nil || r.desk.now.Name != "Other" {
		t.Error("another routine does not come up")
	}
	r.Ordering()
	if want := "There is one step yet"; r.ordering.kind.Selected != orderKinds[asListed] {
		t.Errorf("a routine as listed says %q", r.ordering.kind.Selected)
	} else if r.ordering.kind.SetSelectedIndex(turnsOfReps); !strings.Contains(r.ordering.line.Text, want) {
		t.Errorf("one step in turns says %q", r.ordering.line.Text)
	}
}
