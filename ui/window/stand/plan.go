package stand

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/counted"
	"footing/ladder/plan"
	"footing/ui/window/keys"
)

// turn takes another angle on the chunk.
func (s *Stand) turn(by int) {
	s.change(func(t ladder.Step) ladder.Step { return t.TurnedTo(by) })
	if s.said.Text == "" {
		t := s.o.Desk.View().State.Step()
		words := AngleWords(t)
		if apart := s.apart(t); apart != "" {
			words += ", " + apart
		}
		s.say(words, false)
	}
}

// apart says that the notes of a step are fewer than its slots, by which its angle
// goes where slots are swung or cross: then it changes little or nothing in them. Else
// it is empty.
func (s *Stand) apart(t ladder.Step) string {
	n := s.notes.found
	if n == nil || t.ByNotes() || t.Vary == 0 && t.Angle == (angle.Angle{}) {
		return ""
	}
	per, slots := n.PerBeat(t), t.Slots.Count()
	if per == 0 || per >= slots {
		return ""
	}
	return fmt.Sprintf("by the %s of a beat. It has %s: %s sets the slots", counted.Of(slots, "slot"), counted.Of(per, "note"), s.o.Keys.Label(keys.Slots))
}

// AngleWords say which of its angles a step takes.
func AngleWords(t ladder.Step) string {
	if t.Vary > 0 {
		return "each rep takes another angle, drawn from " + fmt.Sprint(t.Vary)
	}
	if t.Angle == (angle.Angle{}) {
		return "as written"
	}
	return "angle: " + t.Angle.String()
}

// onward goes to the next chunk of the plan.
func (s *Stand) onward(by int) {
	if len(s.o.Desk.View().State.Step().Plan) == 0 {
		s.say("no plan yet: "+s.o.Keys.Label(keys.Plan)+" makes one", false)
		return
	}
	s.change(func(t ladder.Step) ladder.Step { return t.Onward(by) })
	if s.said.Text == "" {
		s.say(plan.Words(s.o.Desk.View().State.Step()), false)
	}
}

// replan makes the next kind of plan, and begins with its first chunk. Around the spot
// is around the change to the second note of the chunk, or to its second slot where
// notes are not known.
func (s *Stand) replan(by int) {
	t := s.o.Desk.View().State.Step()
	spot, edges := t.Slots.From(t.ChunkStart(), 1), []click.Beats(nil)
	if n := s.notes.found; n != nil {
		edges = n.Struck(t.Slots).Begins()
		if i := slices.IndexFunc(edges, t.ChunkStart().Less); i >= 0 {
			spot = edges[i]
		}
	}
	if len(t.Plan) > 0 && plan.Of(t, edges) < 0 && plan.Of(t, nil) < 0 && !s.replace {
		s.replace = true
		s.say("this plan is your own: "+s.o.Keys.Label(keys.Plan)+" once more puts another in its place", true)
		return
	}
	s.replace = false
	var words string
	s.change(func(t ladder.Step) ladder.Step {
		t, words = plan.Turned(t, spot, edges, by)
		return t
	})
	if s.said.Text == "" {
		s.say(words, false)
	}
}
