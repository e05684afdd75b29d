package ladder

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"footing/audio/click"
	"footing/ladder/angle"
	"footing/ladder/counted"
	"footing/ladder/hush"
)

// Routine is a saved list of steps.
type Routine struct {
	Name string
	// Instrument is what steps are played on that say nothing of it themselves; see
	// [Routine.On].
	Instrument Instrument
	Order      Order
	Steps      []Step // at least one, with different names
}

// On is a step with the routine's instrument where it names none of its own.
func (r Routine) On(s Step) Step {
	if s.Notes.Instrument == (Instrument{}) {
		s.Notes.Instrument = r.Instrument
	}
	return s
}

// Bounds of a routine.
const (
	MaxSteps = 500  // steps in a routine
	MaxName  = 200  // characters in the name of a routine, a step or a piece
	MaxNote  = 2000 // characters in a pencil mark
)

// A RoutineFault is one thing wrong with a routine.
type RoutineFault struct {
	Step int // index of the step it concerns, -1 for the routine itself
	Fault
}

// Check returns everything that is wrong with the routine, nil when it can be
// practised and saved: faults of its own, then those of its steps in order.
func (r Routine) Check() []RoutineFault {
	var out []RoutineFault
	add := func(step int, faults ...Fault) {
		for _, f := range faults {
			out = append(out, RoutineFault{step, f})
		}
	}
	add(-1, checkName(r.Name)...)
	add(-1, r.Instrument.check()...)
	add(-1, r.Order.check()...)
	if n := len(r.Steps); n < 1 || n > MaxSteps {
		add(-1, Fault{"steps", fmt.Sprintf("the routine has %d steps", n), fmt.Sprintf("write 1 to %d steps", MaxSteps)})
	}
	seen := map[string]int{}
	for i, s := range r.Steps {
		if s.Name == "" {
			add(i, checkName(s.Name)...)
		}
		if first, ok := seen[s.Name]; ok && s.Name != "" {
			add(i, Fault{"name", fmt.Sprintf("step %d is called %q already", first+1, s.Name), "write a different name for each step"})
		} else {
			seen[s.Name] = i
		}
		add(i, s.Check()...)
	}
	return out
}

func checkName(name string) []Fault {
	if name == "" {
		return []Fault{{"name", "the name is empty", "write a name"}}
	}
	return checkText("name", name, MaxName, false)
}

// checkText says whether a text can be shown and kept: UTF-8, no control
// characters, no blanks around it.
func checkText(key, text string, most int, lines bool) []Fault {
	bad := func(r rune) bool { return unfit(r, lines) }
	switch {
	case utf8.RuneCountInString(text) > most:
		return []Fault{{key, fmt.Sprintf("the %s is longer than %d characters", key, most), "write a shorter one"}}
	case !utf8.ValidString(text) || strings.ContainsFunc(text, bad):
		return []Fault{{key, fmt.Sprintf("the %s holds a character that cannot be shown", key), "write letters, digits and signs"}}
	case strings.TrimSpace(text) != text:
		return []Fault{{key, fmt.Sprintf("the %s begins or ends with a blank", key), "leave the blank out"}}
	}
	return nil
}

// checkWords says whether what the step holds has a word in a routine file.
func (s Step) checkWords() []Fault {
	var out []Fault
	if u, err := click.ParseUnit(s.Unit.String()); (err != nil || u != s.Unit) && s.Unit != click.CommonUnit(s.Meter, s.Meters...) {
		out = append(out, Fault{"beat", fmt.Sprintf("%s is not a beat", s.Unit), "write one of " + strings.Join(click.UnitNames(), ", ")})
	}
	if s.Accented > AccentedBoth {
		out = append(out, Fault{"accents", fmt.Sprintf("number %d of what is accented does not exist", s.Accented), "write off, slurs, written or both"})
	}
	if p, _ := click.ParsePulse(s.Pulse.String()); p != s.Pulse {
		out = append(out, Fault{"pulse", fmt.Sprintf("pulse number %d does not exist", s.Pulse), "write beat, doubled, halved or offbeat"})
	}
	if c, _ := click.ParseCounting(s.Count.String()); c != s.Count {
		out = append(out, Fault{"count", fmt.Sprintf("counting system number %d does not exist", s.Count), "write none, number, takadimi, gordon or kodaly"})
	}
	if s.Say > SayNotes {
		out = append(out, Fault{"say", fmt.Sprintf("number %d of what is counted does not exist", s.Say), "write slots or notes"})
	}
	if s.Announce > AnnounceBoth {
		out = append(out, Fault{"announce", fmt.Sprintf("announcement number %d does not exist", s.Announce), "write nothing, rungs, bars or rungs and bars"})
	}
	if h, err := hush.Parse(s.Hush.String()); err != nil || h != s.Hush {
		out = append(out, Fault{"hush", fmt.Sprintf("%q is no hush", s.Hush), "write one such as every other bar"})
	}
	return out
}

// Step is one thing to practise: a chunk of a passage, how it clicks, and the
// ladder it climbs. [Step.Check] says what must hold; [DefaultStep] holds the
// defaults.
type Step struct {
	Name    string
	Passage Passage
	// Meter is that of the first bar, and of its pickup.
	Meter click.Meter
	// Meters are the bars after it in which the meter changes; nil when it does
	// not.
	Meters []click.MeterChange
	// Pickup is how many beats come before the first bar.
	Pickup click.Beats
	Unit   click.Unit // the note value of a beat, in all meters
	Tempo  Range
	Slots  click.Slots
	// Accents is nil when no dynamics are written.
	Accents click.Accents
	// Accented are the notes that are accents in their place.
	Accented Accented
	Pulse    click.Pulse
	Count    click.Counting
	// Speak sounds what is counted; Say is what that is, shown or spoken. Announce
	// adds words of its own.
	Speak    bool
	Say      Say
	Announce Announce
	Hush     hush.Hush // of the reps
	Sounds   Sounds
	Chunk    Chunk
	// Angle is the way through the chunk that every rep takes.
	Angle angle.Angle
	// Vary lets each rep take another angle of those that keep every note, drawn
	// from this seed, 1 to MaxSeed; 0 for none.
	Vary    int
	Plan    []Cut // chunks in the order in which they are to be worked at
	CountIn int   // beats, 0 to MaxRest
	Breath  int   // beats, 0 to MaxRest
	Reps    int   // 1 to MaxReps
	Rule    Rule
	Notes   Notes
	// Begins are where the notes of the passage begin, in beats from the line of its
	// first full bar, in order and each once; nil where they are not known. They are
	// found, and in no file. They are shared between copies and not written to.
	Begins []click.Beats
	Pencil string
}

// Bounds of a step.
const (
	MaxRest       = 32   // beats of count-in or breath
	MaxReps       = 99   // reps on a rung
	MaxChunkBeats = 256  // beats in a chunk
	MaxBar        = 9999 // the number of a bar
	MaxNeed       = 20   // verdicts in a row that a rule may ask for
	MaxSeed       = 9999 // the seed of what is drawn
	MaxCuts       = 200  // chunks of a plan
)

// Passage names what is practised: a piece and its bars, both ends included. A
// pickup to the first of them is not counted.
type Passage struct {
	Piece    string
	From, To int
}

// Bars are "bar 3" or "bars 1-40".
func (p Passage) Bars() string {
	if p.From == p.To {
		return fmt.Sprintf("bar %d", p.From)
	}
	return fmt.Sprintf("bars %d-%d", p.From, p.To)
}

// Chunk is the part of the passage that is looped, the same all through. It
// lies within the passage; one that starts in a pickup starts in the bar before
// the first.
type Chunk = click.Chunk

// Range is the tempos of a step: from the start to the goal.
type Range struct {
	// From is the lowest rung; 0 when Below counts rungs down from the goal.
	From  click.Tempo
	Below int
	Goal  click.Tempo
	By    StepSize
}

// StepKind says how rungs are spaced.
type StepKind uint8

// The spacings: so many bpm, so many percent of the rung below, or the 39
// traditional marks.
const (
	ByBPM StepKind = iota
	ByPercent
	ByMarks
)

// StepSize is the distance between neighbouring rungs.
type StepSize struct {
	Kind StepKind
	// Amount is in thousandths of a bpm, or thousandths of a percent; it has no
	// meaning for marks.
	Amount int64
}

// String is the word in a routine file: "4 bpm", "5%" or "marks".
func (s StepSize) String() string {
	switch s.Kind {
	case ByPercent:
		return click.Tempo(s.Amount).String() + "%"
	case ByMarks:
		return "marks"
	}
	return click.Tempo(s.Amount).String() + " bpm"
}

// RuleKind is one of the six rules of the ladder.
type RuleKind uint8

// The rules; see [Rule].
const (
	Steady RuleKind = iota
	Earned
	Settle
	TwoUpOneDown
	Leap
	Arch
)

var ruleNames = [...]string{"steady", "earned", "settle", "two up, one down", "leap", "arch"}

// RuleNames lists the words that [ParseRule] knows.
func RuleNames() []string { return append([]string(nil), ruleNames[:]...) }

// String is the word in a routine file.
func (k RuleKind) String() string { return ruleNames[min(int(k), len(ruleNames)-1)] }

// counts reports whether the rule counts reps rather than verdicts in a row.
func (k RuleKind) counts() bool { return k == Steady || k == Leap || k == Arch }

// Uses reports which numbers of a [Rule] the rule asks for: of cleans in a row,
// and of roughs.
func (k RuleKind) Uses() (clean, rough bool) { return !k.counts(), k != Steady }

// ParseRule reads the name of a rule.
func ParseRule(s string) (RuleKind, error) {
	for i, name := range ruleNames {
		if s == name {
			return RuleKind(i), nil
		}
	}
	return 0, fmt.Errorf("%q is not a rule; write one of %s", s, strings.Join(ruleNames[:], " | "))
}

// Rule says how verdicts move the ladder:
//
//   - steady: after the step's reps, one rung up; no verdict needed
//   - earned: up after Clean cleans in a row, down after Rough roughs in a row
//   - settle: down a rung at each rough until Clean cleans in a row (that rung
//     is the footing), then as earned
//   - two up, one down: a rung played clean goes two up, then one down, and so
//     climbs by one
//   - leap: a slow rung and the goal in turn, the slow one climbing
//   - arch: up the ladder with a rep fewer on each rung, and down again with a
//     rep more
type Rule struct {
	Kind  RuleKind
	Clean int // cleans in a row that move up, 1 to MaxNeed
	Rough int // roughs in a row that move down, 1 to MaxNeed
}

// DefaultStep is a step with every key that a routine file may leave out at
// its default, without a name.
func DefaultStep() Step {
	return Step{
		Passage: Passage{From: 1, To: 1},
		Meter:   click.MakeMeter(4, 4),
		Unit:    click.Unit{Num: 1, Den: 4},
		Tempo:   Range{From: click.BPM(60), Goal: click.BPM(100), By: StepSize{ByBPM, 4000}},
		Slots:   click.EvenSlots(1),
		Chunk:   Chunk{Bar: 1, Length: click.Whole(4), Landing: true},
		CountIn: 2,
		Breath:  2,
		Reps:    5,
		Sounds:  Sounds{Drone: Drone{Level: UsualDrone}},
		Rule:    Rule{Kind: Earned, Clean: 3, Rough: 2},
	}
}

// Measures are the bars of the step's passage in beats of its unit. The error
// is a [click.MeasuresError].
func (s Step) Measures() (click.Measures, error) {
	return click.NewMeasures(s.Passage.From, s.Passage.To, s.Pickup, s.Unit, s.Meter, s.Meters...)
}

// Loop is how the step's chunk sounds. The step must be valid.
func (s Step) Loop() click.Loop {
	measures, _ := s.Measures()
	return click.Loop{
		Measures: measures, Slots: s.Slots, Accents: s.Accents, Pulse: s.Pulse, Count: s.Count,
		Chunk: s.Chunk, Path: s.path(), CountIn: s.CountIn, Breath: s.Breath,
	}
}

// A Fault is one thing wrong with a step, in the words of the routine file.
type Fault struct {
	// Key is the innermost key it concerns, such as "goal", "start" or "reps"; with
	// its group where it belongs to the notes: "pattern range".
	Key  string
	What string // what is wrong
	Want string // what would be right
}

// Error is "what; what would be right".
func (f Fault) Error() string { return f.What + "; " + f.Want }

// Check returns everything that is wrong with the step, nil when it can be
// practised and kept. It does not ask for a name, which a step that is made up
// needs not have; [Routine.Check] does.
func (s Step) Check() []Fault {
	var out []Fault
	out = append(out, checkText("name", s.Name, MaxName, false)...)
	out = append(out, checkText("piece", s.Passage.Piece, MaxName, false)...)
	out = append(out, checkText("pencil", s.Pencil, MaxNote, true)...)
	out = append(out, s.checkWords()...)
	out = append(out, s.Sounds.check()...)
	add := func(key, want, what string, args ...any) {
		out = append(out, Fault{Key: key, What: fmt.Sprintf(what, args...), Want: want})
	}
	within := func(key string, n, low, high int) {
		if n < low || n > high {
			add(key, fmt.Sprintf("write a whole number from %d to %d", low, high), "%s is %d", key, n)
		}
	}
	if s.Passage.From < 1 || s.Passage.To < s.Passage.From || s.Passage.To > MaxBar {
		add("bars", fmt.Sprintf("write bars from 1 to %d such as 17-20", MaxBar), "bars %d-%d are not a passage", s.Passage.From, s.Passage.To)
	}
	within("count-in", s.CountIn, 0, MaxRest)
	within("breath", s.Breath, 0, MaxRest)
	within("reps", s.Reps, 1, MaxReps)
	within("clean", s.Rule.Clean, 1, MaxNeed)
	within("rough", s.Rule.Rough, 1, MaxNeed)
	within("vary", s.Vary, 0, MaxSeed)
	if int(s.Rule.Kind) >= len(ruleNames) {
		add("rule", "write one of "+strings.Join(ruleNames[:], " | "), "rule number %d does not exist", s.Rule.Kind)
	}
	out = append(out, s.Tempo.check()...)
	if !written(s.Meter) {
		add("meter", "write one such as 4/4, 6/8 or 3+2/8", "%s is not a meter", s.Meter)
		return out
	}
	for _, c := range s.Meters {
		if !written(c.Meter) {
			add("meters", "write one such as 4/4, 6/8 or 3+2/8", "%s is not a meter", c.Meter)
			return out
		}
	}
	if cross, _ := click.ParseCross(s.Slots.String()); cross != s.Slots {
		if _, _, crossed := s.Slots.Crossed(); crossed {
			add("slots", "write two numbers without a common divisor, such as 3:2 or 4:3", "%s is not a cross-rhythm", s.Slots)
		}
	}
	if long, short, swung := s.Slots.Swung(); swung && (long > click.MaxSlots || short < 1 || short > click.MaxSlots) {
		add("swing", "write long:short such as 2:1 or 3:2", "%s is not a swing ratio", s.Slots)
	}
	measures, err := s.Measures()
	var fault *click.MeasuresError
	switch {
	case errors.As(err, &fault) && fault.Key == "bars":
		return out // said already
	case errors.As(err, &fault):
		add(fault.Key, fault.Want, "%s", fault.What)
		return out
	}
	out = append(out, s.Notes.check(measures)...)
	out = append(out, s.checkMarks(measures)...)
	out = append(out, checkChunk("", s.Chunk, measures)...)
	return append(out, s.checkPlan(measures)...)
}

// written reports whether a meter can stand in a routine file.
func written(m click.Meter) bool {
	got, err := click.ParseMeter(m.String())
	return err == nil && got == m
}

func (s Step) checkMarks(m click.Measures) []Fault {
	if n, most := len(s.Accents), m.Longest().Beats; n > 1 && n != most {
		return []Fault{{"dynamics", fmt.Sprintf("there are %d lines of dynamics for %d beats a bar", n, most), "write one line, or one line for each beat"}}
	}
	for _, line := range s.Accents {
		if len(line) != s.Slots.Count() {
			return []Fault{{"dynamics", fmt.Sprintf("%q has %d marks for %d slots a beat", click.FormatMarks(line), len(line), s.Slots.Count()), "write one mark for each slot"}}
		}
	}
	return nil
}

// checkChunk says why a chunk cannot be looped; faults are those of key, or, where
// that is empty, of the chunk's own.
func checkChunk(key string, c Chunk, m click.Measures) []Fault {
	start, beats := "start", "beats"
	if key != "" {
		start, beats = key, key
	}
	first := m.From()
	if m.Pickup().Sign() > 0 {
		first--
	}
	switch {
	case c.At.Den() > click.MaxDenominator || c.Length.Den() > click.MaxDenominator:
		return []Fault{{beats, fmt.Sprintf("the chunk is cut finer than 1/%d of a beat", click.MaxDenominator), "write a coarser fraction"}}
	case c.Length.Sign() <= 0 || c.Length.Cmp(click.Whole(MaxChunkBeats)) > 0:
		return []Fault{{beats, fmt.Sprintf("a chunk of %s beats", c.Length), fmt.Sprintf("write more than 0 and at most %d beats", MaxChunkBeats)}}
	case c.Bar < first || c.Bar > m.To():
		return []Fault{{start, fmt.Sprintf("the chunk starts in bar %d, outside bars %d-%d", c.Bar, m.From(), m.To()), "start it within the passage"}}
	case c.At.Sign() < 0 || !c.At.Less(click.Whole(m.Bar(c.Bar).Beats)):
		return []Fault{{start, fmt.Sprintf("the chunk starts on beat %s of a bar of %d beats", c.At.Add(click.Whole(1)), m.Bar(c.Bar).Beats), "start it within the bar"}}
	}
	place := m.Place(c.Bar, c.At)
	if place.Less(m.Start()) {
		_, at := m.Where(m.Start())
		return []Fault{{start, fmt.Sprintf("the chunk starts at %s, before a pickup of %s", click.FormatPlace(c.Bar, c.At), counted.Value(m.Pickup(), "beat")), fmt.Sprintf("start it at %s or later", click.FormatPlace(c.Bar, at))}}
	}
	if room := m.End().Sub(place); room.Less(c.Length) {
		return []Fault{{beats, fmt.Sprintf("a chunk of %s from %s ends after bar %d", counted.Value(c.Length, "beat"), click.FormatPlace(c.Bar, c.At), m.To()), "write at most " + counted.Value(room, "beat")}}
	}
	return nil
}
