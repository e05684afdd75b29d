package stand

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/conduct"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
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

// beginShaping shows the whole bar in the lane, with the keys on the stroke of it with
// which the chunk begins. The same key ends it.
func (s *Stand) beginShaping() {
	if s.shaping {
		s.endShaping()
		return
	}
	step := s.o.Desk.View().State.Step()
	_, places := bar(s.o.Desk.View())
	if len(places) == 0 {
		return
	}
	at := place{places[0][0].bar, step.Chunk.At.Floor(), 0}
	if at.bar != step.Chunk.Bar {
		at.beat = 0
	}
	s.shaping, s.shaped, s.pages = true, at, places
	s.sayShape()
}

// bar lays a whole bar out, as its dynamics are written whatever the pulse: that in which
// the chunk begins, or the first that is longer, of whose beats others have the first.
func bar(v conduct.View) (m draw.LaneModel, places [][]place) {
	m = draw.LaneModel{Now: -1, Active: -1, Heard: -1}
	step := v.State.Step()
	measures, err := step.Measures()
	if err != nil {
		return m, nil
	}
	n := max(step.Chunk.Bar, measures.From())
	for beats := measures.Longest().Beats; measures.Bar(n).Beats < beats; n++ {
		if n == measures.To() {
			n = measures.From() - 1
		}
	}
	loop := click.Loop{Measures: measures, Slots: step.Slots, Accents: step.Accents, Count: step.Count}
	loop.Chunk = click.Chunk{Bar: n, Length: click.Whole(measures.Bar(n).Beats)}
	name := fmt.Sprintf("bar %d", n)
	section := draw.Section{Kind: draw.SectionChunk, Label: name + ", stroke by stroke", Short: name, Beats: loop.Chunk.Length.Float()}
	_, _, crossed := step.Slots.Crossed()
	var from []place
	lit := lit(v.Now)
	for i, stroke := range loop.RepPhrase(v.State.Standing.Tempo()).Strokes {
		section.Strokes = append(section.Strokes, draw.Stroke{
			At: stroke.At.Float(), Level: int(stroke.Dynamics), Syllable: stroke.Syllable, Beat: stroke.Slot == 0, Editable: true,
			Strand: crossed && stroke.Slot > 0 && !step.Slots.OnBeat(stroke.Slot),
		})
		from = append(from, place{n, stroke.Beat, stroke.Slot})
		if lit >= 0 {
			if heard := v.Now.Phrase.Strokes[lit]; heard.Beat == stroke.Beat && heard.Slot == stroke.Slot {
				m.Now, m.Heard, m.Active = i, i, 0
			}
		}
	}
	m.Sections = []draw.Section{section}
	return m, [][]place{from}
}

// shapeKey takes the keys while strokes are shaped: left and right choose one, up
// and down make it stronger or lighter. Any other key but Enter and Escape ends
// that and does what it does.
func (s *Stand) shapeKey(key string) bool {
	if !s.shaping {
		return false
	}
	_, pages := bar(s.o.Desk.View())
	if len(pages) == 0 || !slices.Contains(pages[0], s.shaped) {
		s.endShaping()
		return false
	}
	places := pages[0]
	at := slices.Index(places, s.shaped)
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
		if info, _, _ := s.o.Keys.Lookup(key); info.Action != keys.Shape {
			s.endShaping()
		}
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

// showShaping marks the stroke that is shaped.
func (s *Stand) showShaping(m *draw.LaneModel) {
	for i, section := range s.pages {
		for k, p := range section {
			m.Sections[i].Strokes[k].Chosen = p == s.shaped
		}
	}
}
