package stand

import (
	"fmt"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/plan"
	"footing/ui/window/keys"
)

// turn takes another angle on the chunk.
func (s *Stand) turn(by int) {
	s.change(func(t ladder.Step) ladder.Step { return t.TurnedTo(by) })
	if s.said.Text == "" {
		s.say(AngleWords(s.o.Desk.View().State.Step()), false)
	}
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
		s.say(CutWords(s.o.Desk.View().State.Step()), false)
	}
}

// CutWords say at which chunk of its plan a step is, and why it is there.
func CutWords(t ladder.Step) string {
	i := t.CutAt()
	if i < 0 {
		return fmt.Sprintf("a plan of %d chunks, this is none of them", len(t.Plan))
	}
	words := fmt.Sprintf("%d of %d of the plan", i+1, len(t.Plan))
	if why := t.Plan[i].Why; why != "" {
		words += ": " + why
	}
	return words
}

// replan makes the next kind of plan, and begins with its first chunk.
func (s *Stand) replan(by int) {
	t := s.o.Desk.View().State.Step()
	if len(t.Plan) > 0 && plan.Of(t, nil) < 0 && !s.replace {
		s.replace = true
		s.say("this plan is your own: "+s.o.Keys.Label(keys.Plan)+" once more puts another in its place", true)
		return
	}
	s.replace = false
	var words string
	s.change(func(t ladder.Step) ladder.Step {
		t, words = Replanned(t, t.Slots.From(t.ChunkStart(), 1), nil, by)
		return t
	})
	if s.said.Text == "" {
		s.say(words, false)
	}
}

// Replanned is the step with the kind of plan that comes after its own, round and
// round with none, and what it is in words. spot and edges are as for [plan.Make].
func Replanned(t ladder.Step, spot click.Beats, edges []click.Beats, by int) (ladder.Step, string) {
	kinds := plan.Kinds()
	at := plan.Of(t, edges)
	n := len(kinds) + 1
	next := ((at+1+by)%n + n) % n // 0 is none
	if next == 0 {
		t.Plan = nil
		return t, "no plan"
	}
	kind := kinds[next-1]
	t.Plan = plan.Make(kind, t, spot, edges)
	if len(t.Plan) > 0 {
		t.Chunk.Bar, t.Chunk.At, t.Chunk.Length = t.Plan[0].Bar, t.Plan[0].At, t.Plan[0].Length
	}
	return t, fmt.Sprintf("plan: %s, %s", kind, CutWords(t))
}
