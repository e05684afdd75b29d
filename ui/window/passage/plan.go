package passage

import (
	"fyne.io/fyne/v2"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/plan"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
)

// The keys of the plan that are the view's own.
const (
	keyCutOut     = fyne.KeyDelete
	keyCutIn      = fyne.KeyInsert
	keyCutEarlier = "{"
	keyCutLater   = "}"
)

// planned acts on a key of the plan; false where it is none.
func (v *View) planned(key string) bool {
	info, back, _ := v.o.Keys.Lookup(key)
	by := 1
	if back {
		by = -1
	}
	switch {
	case info.Action == keys.Plan:
		v.replan(by)
	case info.Action == keys.NextCut:
		v.change(func(s ladder.Step) ladder.Step { return s.Onward(by) })
	case fyne.KeyName(key) == keyCutOut:
		v.change(ladder.Step.WithoutCut)
	case fyne.KeyName(key) == keyCutIn:
		v.change(func(s ladder.Step) ladder.Step { return s.WithCut(v.o.ChunkWords(s)) })
	case key == keyCutEarlier:
		v.change(func(s ladder.Step) ladder.Step { return s.CutMoved(-1) })
	case key == keyCutLater:
		v.change(func(s ladder.Step) ladder.Step { return s.CutMoved(1) })
	default:
		return false
	}
	return true
}

// replan makes the next kind of plan; around the spot is around the change to the
// note under the cursor. A plan of the player's own goes only when asked twice.
func (v *View) replan(by int) {
	edges := v.edges()
	if s := v.step(); len(s.Plan) > 0 && plan.Of(s, edges) < 0 && v.own != v.of {
		v.own = v.of
		v.said = "this plan is your own: " + v.o.Keys.Label(keys.Plan) + " once more puts another in its place"
		v.show()
		return
	}
	v.own = noteOf{}
	spot := v.found.Struck(v.step().Slots).All[v.cursor].From
	var words string
	v.change(func(s ladder.Step) ladder.Step {
		s, words = plan.Turned(s, spot, edges, by)
		return s
	})
	if v.said == "" {
		v.told = words
		v.show()
	}
}

// edges are where the notes are struck.
func (v *View) edges() []click.Beats { return v.found.Struck(v.step().Slots).Begins() }

// toCut goes to a chunk of the plan.
func (v *View) toCut(i int) {
	v.change(func(s ladder.Step) ladder.Step { return s.ToCut(i) })
}

// showPlan shows the plan of a step.
func (v *View) showPlan(s ladder.Step) {
	m := draw.CutsModel{At: s.CutAt(), Hints: []draw.Hint{
		{Keys: []string{v.o.Keys.Label(keys.NextCut)}, Does: "next"},
		{Keys: []string{"{", "}"}, Does: "move"},
		{Keys: []string{"Del"}, Does: "out"},
	}}
	for _, c := range s.Plan {
		name := c.Why
		if name == "" {
			name = click.FormatPlace(c.Bar, c.At)
		}
		m.Names = append(m.Names, name)
	}
	v.p.cuts.Set(m)
	if shown := len(s.Plan) > 0; shown != v.p.cuts.Visible() {
		if shown {
			v.p.cuts.Show()
		} else {
			v.p.cuts.Hide()
		}
		v.p.Layout(nil, v.p.root.Size())
	}
}
