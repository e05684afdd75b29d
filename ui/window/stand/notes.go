package stand

import (
	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/conduct"
	"footing/ladder/fingers"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/window/draw"
	"footing/ui/window/finder"
)

// noted is the notes of the step at the Stand.
type noted struct {
	finder finder.Finder
	step   ladder.Step // that notes were found for, or are looked for
	found  *notes.Notes
	staff  bool // there are notes, or may be found to be
	charts finder.Charts
	chart  *fingers.Chart // of the instrument; nil where there is none or it is not read yet
	played string         // the instrument
	lane   *draw.LaneNotes
	of     laneOf // that lane is made of
}

// laneOf is what the notes in the lane depend on.
type laneOf struct {
	found            *notes.Notes
	chunk            click.Chunk
	slots            click.Slots
	angle            angle.Angle
	first, end, last int // beats of the lane: where the rep begins and ends, and the lane
}

// findNotes looks for the notes of the step under way where others are shown.
// What keeps them from being found is said in the Passage view; here the lane is
// then as without.
func (s *Stand) findNotes(v conduct.View) {
	step := v.State.Routine.On(v.State.Step())
	n := &s.notes
	if n.found != nil && !notes.Alike(n.step, step) {
		n.found = nil
	}
	if n.staff || !notes.Alike(n.step, step) {
		s.setStaff(!step.Notes.None())
	}
	n.step = step
	n.finder.Find(step, func(found *notes.Notes, _ error) {
		n.found = found
		s.setStaff(found != nil)
		s.Refresh()
	})
	if !n.finder.Busy() {
		finder.Tell(s.o.Desk.Do, step, n.found)
	}
}

// setStaff makes room for notes in the lane, or none.
func (s *Stand) setStaff(on bool) {
	if s.notes.staff = on; s.p.noted == on {
		return
	}
	s.p.noted = on
	s.p.Layout(nil, s.p.root.Size())
}

// laneNotes are the notes of the chunk in the lane, nil where there are none.
func (s *Stand) laneNotes(v conduct.View, m draw.LaneModel) *draw.LaneNotes {
	n := &s.notes
	if n.found == nil {
		return nil
	}
	step := onStand(v)
	if part, ok := heardRep(v); ok {
		step.Chunk, step.Angle = part.Chunk, part.Angle
	}
	of := laneOf{found: n.found, chunk: step.Chunk, slots: step.Slots, angle: step.Angle}
	at := 0.0
	for _, sec := range m.Sections {
		switch at += sec.Beats; sec.Kind {
		case draw.SectionCountIn:
			of.first = int(at + 0.5)
		case draw.SectionChunk, draw.SectionLanding:
			of.end = int(at + 0.5)
		}
	}
	of.last = int(at + 0.5)
	if n.lane == nil || n.of != of {
		n.of, n.lane = of, overStrokes(of, step)
	}
	return n.lane
}

// overStrokes are the notes of a rep of a step with their places in the lane.
func overStrokes(of laneOf, step ladder.Step) *draw.LaneNotes {
	n := of.found
	quarters := func(b click.Beats) passage.Quarters { return passage.FromBeats(b, step.Unit) }
	known := n.All[0]
	zero := n.Part.Onset(n.Line.Notes[known.First]).Sub(quarters(known.From)) // of the step's beats
	r := n.Reading(step)
	out := &draw.LaneNotes{
		Excerpt: engrave.Excerpt{Line: r.Line, From: zero.Add(quarters(r.From)), To: zero.Add(quarters(r.To))},
		Start:   zero.Add(quarters(click.Whole(r.From.Floor() - of.first))),
		Beat:    quarters(click.Whole(1)),
	}
	for _, k := range r.Knots {
		out.Knots = append(out.Knots, draw.Knot{Place: zero.Add(quarters(k.Read)), Beat: k.Struck.Add(click.Whole(of.first))})
	}
	if of.end < of.last {
		out.Breath = of.end
	}
	for _, m := range n.Marks {
		text := m.Text
		if text == "" {
			text = m.Finger
		}
		for i, k := range r.Written {
			if k == n.All[m.Note].First {
				out.Pencil = append(out.Pencil, engrave.PencilMark{Note: i, Text: text})
			}
		}
	}
	return out
}
