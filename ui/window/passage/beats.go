package passage

import (
	"slices"

	"footing/ladder"
	"footing/ui/window/draw"
)

// beats is how far each beat of a step has come, by what was practised.
type beats struct {
	of    noteOf // the step
	asked int    // how often the view has asked
	model draw.SharesModel
}

// askBeats asks how far the beats of the step that is shown have come; the answer is
// shown when it is there.
func (v *View) askBeats() {
	if v.o.Beats == nil {
		return
	}
	v.beats.asked++
	asked, step := v.beats.asked, v.step()
	v.beats.of = v.noteOf(0)
	var model draw.SharesModel
	v.o.Read(func() { model = v.o.Beats(step) }, func() {
		if asked != v.beats.asked {
			return // another was asked for meanwhile
		}
		v.beats.model = model
		v.showBeats(v.step())
	})
}

// showBeats shows them under the notes, where any was ever played clean.
func (v *View) showBeats(s ladder.Step) {
	if v.beats.of != v.noteOf(0) {
		v.beats.model = draw.SharesModel{}
		v.askBeats()
		return
	}
	m := v.beats.model
	if measures, err := s.Measures(); err == nil {
		from := s.ChunkStart().Floor() - measures.Start().Floor()
		m.From, m.To = from, from+s.Chunk.At.Add(s.Chunk.Length).Ceil()-s.Chunk.At.Floor()
	}
	v.p.beats.Set(m)
	shown := !v.pictured() && slices.ContainsFunc(m.Labels, func(l string) bool { return l != "" })
	if shown == v.p.beats.Visible() {
		return
	}
	if shown {
		v.p.beats.Show()
	} else {
		v.p.beats.Hide()
	}
	v.p.Layout(nil, v.p.root.Size())
}
