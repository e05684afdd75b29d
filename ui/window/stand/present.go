package stand

import (
	"cmp"
	"slices"
	"strconv"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/conduct"
	"footing/ui/window/draw"
	"footing/ui/window/keys"
	"footing/ui/window/look"
)

// Best is the fastest rung that was clean the last time a step was practised, and
// its footing then or since.
type Best struct {
	Tempo   click.Tempo
	When    string      // "Tue"
	Footing click.Tempo // 0 where none is known
}

// rungs is the ladder with a tempo set by hand put between its rungs.
func rungs(s ladder.State) (tempos []click.Tempo, current int) {
	st := s.Standing
	if st.ByHand == 0 {
		return st.Rungs, st.Rung
	}
	i, on := slices.BinarySearch(st.Rungs, st.ByHand)
	if on {
		return st.Rungs, i
	}
	return slices.Insert(slices.Clone(st.Rungs), i, st.ByHand), i
}

func ladderModel(s ladder.State, best Best, m *keys.Map) draw.LadderModel {
	tempos, current := rungs(s)
	st := s.Standing
	out := draw.LadderModel{
		Current: current, Footing: -1, Best: -1, BestLabel: best.When, Goal: -1, Now: -1,
		UpKey: m.Label(keys.RungUp), DownKey: m.Label(keys.RungDown),
	}
	for i, t := range tempos {
		out.Rungs = append(out.Rungs, t.String())
		if t == cmp.Or(st.Footing, best.Footing) {
			out.Footing = i
		}
		if t == best.Tempo {
			out.Best = i
		}
		if t == st.Goal() {
			out.Goal = i
		}
	}
	out.ByHand = st.ByHand != 0 && !slices.Contains(st.Rungs, st.ByHand)
	out.Reps, out.Now = reps(s)
	return out
}

// reps are the noteheads of the round: what was played, what sounds, and what
// is to come if it goes clean.
func reps(s ladder.State) (marks []draw.Mark, now int) {
	now = -1
	round := s.Standing.Round
	turn := s.Turn()
	sounding := s.Sounding.Seq != 0 && s.Sounding.Kind == click.Rep
	if sounding && len(round) >= turn {
		round = nil
	}
	for _, v := range round {
		marks = append(marks, mark(v, draw.MarkPlayed))
	}
	if sounding {
		now = len(marks)
		marks = append(marks, mark(s.Pending(), draw.MarkToCome))
	}
	for range s.ToCome() {
		marks = append(marks, draw.MarkToCome)
	}
	return marks, now
}

func mark(v ladder.Verdict, unjudged draw.Mark) draw.Mark {
	switch v {
	case ladder.Clean:
		return draw.MarkClean
	case ladder.Rough:
		return draw.MarkRough
	case ladder.Skip:
		return draw.MarkSkipped
	}
	return unjudged
}

func tempoModel(s ladder.State, now conduct.Now, m *keys.Map) draw.TempoModel {
	step := s.Step()
	t := s.Standing.Tempo()
	next, hint := "", ""
	if now.Tempo != 0 && now.Tempo != t {
		// The number is what is heard.
		next, hint = t.String(), "from the next "+changes(s, now)
		t = now.Tempo
	}
	out := draw.TempoModel{Number: t.String(), TypeKey: "0–9", TapKey: m.Label(keys.Tap), TapLabel: "tap", Hint: hint, Next: next}
	note, dotted, ok := look.NoteFor(step.Unit.Num, step.Unit.Den)
	if ok {
		out.Note, out.Dotted = note, dotted
	}
	out.SoundNote, out.SoundDotted, out.Sounding, out.Pulse = sounding(step, t)
	out.Slots = slotsName(step.Unit, step.Slots)
	if step.Count != click.CountNone {
		out.Slots += " · count " + counting(step)
	}
	if step.Angle != (angle.Angle{}) && step.Vary == 0 {
		out.Slots += " · " + step.Angle.String()
	}
	return out
}

// turns are the settings beside the keys of the tempo.
func turns(step ladder.Step, shaping bool, m *keys.Map) []draw.Turn {
	speak, hush := "speak", "hush"
	if step.Speak {
		speak = "spoken"
	}
	if !step.Hush.None() {
		hush = "hush: " + step.Hush.String()
	}
	return []draw.Turn{
		{ID: string(keys.Speak), Key: m.Label(keys.Speak), Does: speak, On: step.Speak},
		{ID: string(keys.Shape), Key: m.Label(keys.Shape), Does: "shape", On: shaping},
		{ID: string(keys.Hush), Key: m.Label(keys.Hush), Does: hush, On: !step.Hush.None()},
	}
}

// changes is where a tempo that was set is heard: a rung's change waits for its
// count-in, one by hand takes over what sounds.
func changes(s ladder.State, now conduct.Now) string {
	switch {
	case s.Sounding.Tempo == s.Standing.Tempo() && now.Part.Seq == s.Sounding.Seq:
		return "slot"
	case s.Step().CountIn == 0:
		return "rep"
	}
	return "count-in"
}

func passageModel(step ladder.Step, by grain, m *keys.Map) draw.PassageModel {
	measures, err := step.Measures()
	if err != nil {
		return draw.PassageModel{Title: "Passage"}
	}
	start, length := step.ChunkStart(), step.Chunk.Length
	grain := grainsOf(step)
	in := func(b click.Beats) int { return int(b.Times(int64(grain)).Num()) }
	out := draw.PassageModel{
		Title: "Passage", Grain: grain, Landing: step.Chunk.Landing,
		Pickup: in(measures.Pickup()), Start: in(start), End: in(start.Add(length)),
		BySlot: by == bySlot || step.BySlots(), ByName: "beat",
		Keys: [5]string{m.Label(keys.Earlier), m.Label(keys.Later), m.Label(keys.Shrink), m.Label(keys.Widen), m.Label(keys.Grain)},
	}
	switch {
	case by == byNote:
		out.ByName = "note"
	case out.BySlot:
		out.ByName = "slot"
	}
	for i := range step.Slots.Count() {
		out.Slots = append(out.Slots, in(step.Slots.At(i)))
	}
	for n := measures.From(); n <= measures.To(); n++ {
		out.Bars = append(out.Bars, draw.Bar{Number: strconv.Itoa(n), Beats: measures.Bar(n).Beats})
	}
	out.Label = func(a, b int) string {
		return "chunk: " + chunkWords(step, click.Frac(int64(a), int64(grain)), click.Frac(int64(b-a), int64(grain)))
	}
	return out
}

// grainsOf is how many grains a beat has, so that the slots, both ends of the
// chunk and the pickup lie on one.
func grainsOf(step ladder.Step) int {
	grain := lcm(int(step.Chunk.At.Den()), lcm(int(step.Chunk.Length.Den()), int(step.Pickup.Den())))
	for i := range step.Slots.Count() {
		grain = lcm(grain, int(step.Slots.At(i).Den()))
	}
	return grain
}

func lcm(a, b int) int {
	x, y := a, b
	for y != 0 {
		x, y = y, x%y
	}
	return a / x * b
}

// knobs are the settings of the loop and of the sound.
func knobs(step ladder.Step, sound string, level int, m *keys.Map) []draw.Knob {
	k := func(a keys.Action, label, value string, warm bool) draw.Knob {
		return draw.Knob{ID: string(a), Label: label, Value: value, Key: m.Label(a), Warm: warm}
	}
	landing := "off"
	if step.Chunk.Landing {
		landing = "on"
	}
	switch own := step.Sounds.Owns(); {
	case own == click.Ranks:
		sound = "step's own"
	case own > 0:
		sound += " …"
	}
	out := []draw.Knob{
		k(keys.Slots, "slots", step.Slots.String(), false),
		k(keys.Pulse, "pulse", step.Pulse.String(), step.Pulse != click.OnBeat),
		k(keys.Count, "count", step.Count.String(), false),
		k(keys.CountIn, "count-in", strconv.Itoa(step.CountIn), false),
		k(keys.Landing, "landing", landing, false),
		k(keys.Breath, "breath", strconv.Itoa(step.Breath), false),
		k(keys.Reps, "reps", strconv.Itoa(step.Reps), false),
		k(keys.Sound, "sound", sound, false),
		k(keys.Louder, "level", strconv.Itoa(level)+" %", false),
	}
	out[len(out)-1].Key = m.Label(keys.Softer) + " " + m.Label(keys.Louder)
	return out
}
