package stand

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ui/window/draw"
)

// only is what sounds alone, and the dynamics that come back when all sounds again.
type only struct {
	routine, step string
	at            int // 0 for all, then the choices in order
	slots         click.Slots
	before, set   click.Accents
}

// onlys are the choices of the key, after all.
var onlys = []struct {
	what ladder.Only
	says string
}{
	{ladder.OnlyBarLines, "Only the first of each bar sounds"},
	{ladder.OnlyEvenBeats, "Only beats 2, 4 and so on sound"},
	{ladder.OnlySecondHalves, "Only the second half of each beat sounds"},
}

// only lets the next of the choices sound, and after the last what was written
// before the first. Dynamics that were changed since are what is written.
func (s *Stand) only(by int) {
	state := s.o.Desk.View().State
	step, o := state.Step(), s.onlyOf
	same := o.routine == state.Routine.Name && o.step == step.Name && slices.EqualFunc(o.set, step.Accents, slices.Equal)
	if !same || o.at == 0 {
		o = only{routine: state.Routine.Name, step: step.Name, slots: step.Slots, before: step.Accents}
	}
	o.at = round(o.at, by, len(onlys)+1)
	if o.at == 0 {
		s.change(func(t ladder.Step) ladder.Step { t.Slots, t.Accents = o.slots, o.before; return t })
		s.say("All of the beat sounds, as written", false)
	} else {
		choice := onlys[o.at-1]
		s.change(func(t ladder.Step) ladder.Step {
			t.Slots, t.Accents = o.slots, o.before
			return t.Only(choice.what)
		})
		if s.said.Text == "" {
			s.say(choice.says, false)
		}
	}
	o.set = s.o.Desk.View().State.Step().Accents
	s.onlyOf = o
}

// beginShaping puts the keys on the first stroke of the chunk that can be shaped.
func (s *Stand) beginShaping() {
	if places := s.shapeable(); len(places) > 0 {
		s.shaping, s.shaped = true, places[0]
		s.sayShape()
	}
}

// shapeable are the strokes of the lane that can be shaped, each place once.
func (s *Stand) shapeable() (out []place) {
	for _, section := range s.pages {
		for _, p := range section {
			if p.slot >= 0 && !slices.Contains(out, p) {
				out = append(out, p)
			}
		}
	}
	return out
}

// shapeKey takes the keys while strokes are shaped: left and right choose one, up
// and down make it stronger or lighter. Any other key but Enter and Escape ends
// that and does what it does.
func (s *Stand) shapeKey(key string) bool {
	if !s.shaping {
		return false
	}
	places := s.shapeable()
	at := slices.Index(places, s.shaped)
	if at < 0 {
		s.endShaping()
		return false
	}
	switch key {
	case "Left":
		s.shaped = places[max(at-1, 0)]
	case "Right":
		s.shaped = places[min(at+1, len(places)-1)]
	case "Up":
		s.shape(1)
	case "Down":
		s.shape(-1)
	case "Return", "KP_Enter", "Escape":
		s.endShaping()
		s.Refresh()
		return true
	default:
		s.endShaping()
		return false
	}
	s.sayShape()
	s.Refresh()
	return true
}

func (s *Stand) endShaping() {
	s.shaping, s.said = false, draw.NoticeModel{}
}

// shape makes the stroke stronger or lighter, as far as there are marks.
func (s *Stand) shape(by int) {
	at := s.shaped
	d := int(s.markAt(at)) + by
	if d < int(click.Silent) || d > int(click.Forte) {
		return
	}
	s.change(func(t ladder.Step) ladder.Step { return t.WithMark(at.bar, at.beat, at.slot, click.Dynamics(d)) })
}

// markAt is the dynamics of a stroke, as it is written.
func (s *Stand) markAt(at place) click.Dynamics {
	step := s.o.Desk.View().State.Step()
	measures, err := step.Measures()
	if err != nil {
		return click.Silent
	}
	marks := step.Accents.Marks(measures.Bar(at.bar), step.Slots, at.beat)
	return marks[min(at.slot, len(marks)-1)]
}

func (s *Stand) sayShape() {
	mark := s.markAt(s.shaped).String()
	if mark == "-" {
		mark = "silent"
	}
	s.say(fmt.Sprintf("Beat %d, slot %d: %s. Left and right choose a stroke, up and down shape it, Enter ends", s.shaped.beat+1, s.shaped.slot+1, mark), false)
}

// showShaping marks the stroke that is shaped, wherever the lane has it.
func (s *Stand) showShaping(m *draw.LaneModel) {
	if !s.shaping {
		return
	}
	for i, section := range s.pages {
		for k, p := range section {
			m.Sections[i].Strokes[k].Chosen = p == s.shaped
		}
	}
}
