package routines

import (
	"reflect"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"

	"footing/audio/click"
	"footing/ladder/notes"
)

// goals offers what a score says of its tempo: a line on each, and a button for each tempo
// that the player can take. None is taken unasked.
type goals struct {
	box     *fyne.Container
	out     outward
	hint    string // behind the last line
	take    func(click.Tempo)
	offered []notes.Goal
	buttons map[*button]click.Tempo
	now     click.Tempo
}

func newGoals(out outward, hint string, take func(click.Tempo)) *goals {
	g := &goals{box: container.NewVBox(), out: out, hint: hint, take: take}
	g.box.Hide()
	return g
}

// set offers others.
func (g *goals) set(offered []notes.Goal) {
	if reflect.DeepEqual(offered, g.offered) {
		return
	}
	g.offered, g.buttons = offered, map[*button]click.Tempo{}
	g.box.Objects = nil
	for i, o := range offered {
		line := widget.NewLabel("The score has " + o.Says + ".")
		if i == len(offered)-1 {
			line.Text += g.hint
		}
		line.Wrapping, line.Importance = fyne.TextWrapWord, widget.LowImportance
		row := container.NewHBox()
		for _, t := range o.Tempos {
			b := newButton(g.out, "Goal "+t.String(), func() { g.take(t) })
			g.buttons[b] = t
			row.Add(b)
		}
		row.Add(layout.NewSpacer())
		g.box.Add(line)
		g.box.Add(row)
	}
	if g.box.Hidden = len(offered) == 0; !g.box.Hidden {
		g.box.Refresh()
	}
}

// mark shows which of them is the goal now.
func (g *goals) mark(goal click.Tempo) {
	g.now = goal
	for b, t := range g.buttons {
		now := widget.MediumImportance
		if t == goal {
			now = widget.HighImportance
		}
		if b.Importance != now {
			b.Importance = now
			b.Refresh()
		}
	}
}

// next takes the tempo behind the goal, in the order in which they are offered, and after
// the last the first.
func (g *goals) next() {
	var all []click.Tempo
	for _, o := range g.offered {
		all = append(all, o.Tempos...)
	}
	if len(all) > 0 {
		g.take(all[(slices.Index(all, g.now)+1)%len(all)])
	}
}
