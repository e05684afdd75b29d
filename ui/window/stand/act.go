package stand

import (
	"fmt"
	"slices"

	"footing/audio/click"
	"footing/ladder"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
)

// Key acts on a key; repeat is set while one is held down. It reports false
// where the Stand has no use for the key.
func (s *Stand) Key(key string, repeat bool) bool {
	if s.typeKey(key) || s.shapeKey(key) {
		return true
	}
	if key == "Escape" && s.far {
		return s.act(keys.Far, false)
	}
	info, back, ok := s.o.Keys.Lookup(key)
	if !ok {
		return false
	}
	if repeat && !info.Repeats && !info.Turns {
		return true
	}
	return s.act(info.Action, back)
}

// act does what the action says; back turns a setting the other way. It reports
// false for actions that are not the Stand's.
func (s *Stand) act(a keys.Action, back bool) bool {
	do, ok := s.actions(back)[a]
	if !ok {
		return false
	}
	if a != keys.Tap {
		s.hint, s.warm = "", false
	}
	s.said = draw.NoticeModel{}
	s.replace = s.replace && a == keys.Plan
	s.stopTyping()
	do()
	s.Refresh()
	return true
}

func (s *Stand) actions(back bool) map[keys.Action]func() {
	by := 1
	if back {
		by = -1
	}
	d := s.o.Desk
	return map[keys.Action]func(){
		keys.StartStop: s.startStop,
		keys.Clean:     func() { s.judge(ladder.Clean) },
		keys.Rough:     func() { s.judge(ladder.Rough) },
		keys.Skip:      func() { s.judge(ladder.Skip) },
		keys.RungUp:    func() { d.Do(ladder.MoveRung{By: 1}) },
		keys.RungDown:  func() { d.Do(ladder.MoveRung{By: -1}) },
		keys.Tap:       s.tapped,
		keys.Earlier:   func() { s.change(func(t ladder.Step) ladder.Step { return s.moved(t, -1) }) },
		keys.Later:     func() { s.change(func(t ladder.Step) ladder.Step { return s.moved(t, 1) }) },
		keys.Shrink:    func() { s.change(s.shrink) },
		keys.Widen:     func() { s.change(s.widen) },
		keys.Grain:     s.nextGrain,
		keys.Group:     s.toNextGroup,
		keys.Halve:     s.halve,
		keys.NextCut:   func() { s.onward(by) },
		keys.Plan:      func() { s.replan(by) },
		keys.Angle:     func() { s.turn(by) },
		keys.Only:      func() { s.only(by) },
		keys.Shape:     s.beginShaping,
		keys.Slots:     func() { s.reslot(by); s.sayClose() },
		keys.Pulse: func() {
			s.change(func(t ladder.Step) ladder.Step { t.Pulse = click.Pulse(round(int(t.Pulse), by, 4)); return t })
		},
		keys.Count: func() {
			s.change(func(t ladder.Step) ladder.Step { t.Count = click.Counting(round(int(t.Count), by, 5)); return t })
		},
		keys.Hush:  func() { s.rehush(by) },
		keys.Speak: s.speak,
		keys.Far:   s.showFar,
		keys.CountIn: func() {
			s.change(func(t ladder.Step) ladder.Step { t.CountIn = round(t.CountIn, by, mostRest+1); return t })
		},
		keys.Breath: func() {
			s.change(func(t ladder.Step) ladder.Step { t.Breath = round(t.Breath, by, mostRest+1); return t })
		},
		keys.Landing: func() {
			s.change(func(t ladder.Step) ladder.Step { t.Chunk.Landing = !t.Chunk.Landing; return t })
		},
		keys.Reps: func() {
			s.change(func(t ladder.Step) ladder.Step { t.Reps = round(t.Reps-1, by, mostReps) + 1; return t })
		},
		keys.Model:    s.o.Model,
		keys.Sound:    func() { s.nextSound(by) },
		keys.Louder:   func() { s.louder(by) },
		keys.Softer:   func() { s.louder(-by) },
		keys.Pencil:   s.write,
		keys.NextStep: func() { s.step(1) },
		keys.LastStep: func() { s.step(-1) },
	}
}

// Keys go round these; the Routines view and the file take more.
const (
	mostRest = 8
	mostReps = 20
)

// round is v moved by by within 0 to n−1, going round; what lies above comes in
// from the top.
func round(v, by, n int) int { return ((min(v, n-1)+by)%n + n) % n }

func (s *Stand) startStop() {
	if s.o.Desk.View().State.Running {
		s.o.Desk.Stop()
	} else {
		s.o.Desk.Start()
	}
}

// change edits the step; what the edit would break is said in one line.
func (s *Stand) change(edit func(ladder.Step) ladder.Step) {
	if faults := s.o.Desk.Change(edit); len(faults) > 0 {
		s.say(faults[0].Error(), true)
	}
}

// nextSlots goes round 1, 2, swing, 3 to 12 slots a beat, and the cross-rhythms that
// are played most (common practice, no source).
func nextSlots(t ladder.Step, by int) ladder.Step {
	order := []click.Slots{click.EvenSlots(1), click.EvenSlots(2), click.Swing(2, 1)}
	for n := 3; n <= click.MaxSlots; n++ {
		order = append(order, click.EvenSlots(n))
	}
	order = append(order, click.Cross(3, 2), click.Cross(2, 3), click.Cross(4, 3), click.Cross(3, 4))
	i := slices.Index(order, t.Slots)
	if i < 0 {
		i = 2 // another swing
		if _, _, crossed := t.Slots.Crossed(); crossed {
			i = len(order) - 1
		}
	}
	return t.WithSlots(order[round(i, by, len(order))])
}

// written names the dynamics of a step that were in force with so many slots.
type written struct {
	routine, step string
	slots         int
}

// reslot takes the next slots. Dynamics that were in force with so many before,
// while the window was open, come back as they were.
func (s *Stand) reslot(by int) {
	routine := s.o.Desk.View().State.Routine.Name
	s.change(func(t ladder.Step) ladder.Step {
		at := written{routine, t.Name, t.Slots.Count()}
		s.accents[at] = t.Accents
		return s.reslotted(t, at, by)
	})
}

func (s *Stand) reslotted(t ladder.Step, at written, by int) ladder.Step {
	next := nextSlots(t, by)
	at.slots = next.Slots.Count()
	before, known := s.accents[at]
	if !known || at.slots == t.Slots.Count() {
		return next
	}
	fitted := next.Accents
	if next.Accents = before; len(next.Check()) > 0 {
		next.Accents = fitted // the meter is another now
	}
	return next
}

// sayClose offers fewer slots where they lie closer than 200 ms, from where on
// a subdivision stops helping the beat (Repp 2003). It never forces it.
func (s *Stand) sayClose() {
	state := s.o.Desk.View().State
	n := state.Step().Slots.Count()
	if apart := 60_000_000 / int64(state.Standing.Tempo()) / int64(n); n > 1 && apart < 200 && s.said.Text == "" {
		s.say(fmt.Sprintf("slots %d ms apart: under 200 ms fewer of them may keep the beat clearer", apart), false)
	}
}

func (s *Stand) nextSound(by int) {
	names := s.o.Sound.Names()
	name := names[round(max(slices.Index(names, s.o.Sound.Name()), 0), by, len(names))]
	s.o.Sound.Use(name)
	if own := s.o.Desk.View().State.Step().Sounds.Owns(); own == click.Ranks {
		s.say("This step has sounds of its own, which the Sound view sets; "+name+" is for the others", false)
	} else if d := s.o.Sound.Describe(name); d != "" {
		s.say(name+": "+d, false)
	}
}

func (s *Stand) louder(by int) {
	const each = 5
	s.o.Sound.SetLevel(min(max(s.o.Sound.Level()+by*each, 0), 100))
}

func (s *Stand) step(by int) {
	st := s.o.Desk.View().State
	to := st.StepAt + by
	if to < 0 || to >= len(st.Routine.Steps) {
		return
	}
	s.closePencil()
	s.o.Desk.GoTo(to)
}

// goOn is a tap on what comes next.
func (s *Stand) goOn() {
	if s.o.Desk.View().State.Standing.TooHard {
		s.act(keys.Halve, false)
		return
	}
	s.act(keys.NextStep, false)
}

// toRung is a tap on the ladder.
func (s *Stand) toRung(i int) {
	st := s.o.Desk.View().State
	tempos, current := rungs(st)
	if i < 0 || i >= len(tempos) {
		return
	}
	s.stopTyping()
	if st.Standing.ByHand == 0 {
		s.o.Desk.Do(ladder.MoveRung{By: i - current}) // with a count-in, as by keys
	} else {
		s.o.Desk.Do(ladder.SetTempo{Tempo: tempos[i]})
	}
	s.Refresh()
}

// bracket is a drag of the chunk, in grains of the passage.
func (s *Stand) bracket(start, end int) {
	step := s.o.Desk.View().State.Step()
	grain := int64(grainsOf(step))
	s.change(func(t ladder.Step) ladder.Step {
		return t.Bracketed(click.Frac(int64(start), grain), click.Frac(int64(end-start), grain))
	})
	s.Refresh()
}

// mark is a click on a stroke of the lane.
func (s *Stand) mark(section, stroke, turn int) {
	if section >= len(s.pages) || stroke >= len(s.pages[section]) {
		return
	}
	at := s.pages[section][stroke]
	if at.slot < 0 {
		return
	}
	if s.shaping {
		s.shaped = at
		defer func() { s.sayShape(); s.Refresh() }()
	}
	s.change(func(t ladder.Step) ladder.Step {
		measures, err := t.Measures()
		if err != nil {
			return t
		}
		marks := t.Accents.Marks(measures.Bar(at.bar), t.Slots, at.beat)
		if at.slot >= len(marks) {
			return t
		}
		return t.WithMark(at.bar, at.beat, at.slot, turned(marks[at.slot], turn))
	})
	s.Refresh()
}

// press is a button of the verdict bar.
func (s *Stand) press(b draw.VerdictButton) {
	s.act(map[draw.VerdictButton]keys.Action{
		draw.PressRough: keys.Rough, draw.PressSkip: keys.Skip,
		draw.PressStart: keys.StartStop, draw.PressClean: keys.Clean,
	}[b], false)
}
