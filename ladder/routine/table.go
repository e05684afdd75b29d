package routine

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/angle"
	"footing/ladder/counted"
	"footing/ladder/hush"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
)

// table holds the keys of a step, in the order of the format. A new key is one
// entry here: the reader, the writer, [Keys] and by it the form, and the tests'
// scribe all follow it. It is never written to.
var table = []key{
	{
		name: "name", form: aText, example: "Weir Street run",
		get: func(s ladder.Step) string { return s.Name },
		set: func(s *ladder.Step, text string) error { s.Name = text; return nil },
	}, {
		group: "passage", name: "piece", form: aText, example: "Weir Street March",
		get:   func(s ladder.Step) string { return s.Passage.Piece },
		set:   func(s *ladder.Step, text string) error { s.Passage.Piece = text; return nil },
		imply: func(s *ladder.Step) { s.Passage.Piece = "" },
	}, {
		group: "passage", name: "bars", example: "17-20",
		get: func(s ladder.Step) string {
			if s.Passage.From == s.Passage.To {
				return strconv.Itoa(s.Passage.From)
			}
			return fmt.Sprintf("%d-%d", s.Passage.From, s.Passage.To)
		},
		set: func(s *ladder.Step, text string) error {
			bars, err := parseBars(text)
			s.Passage.From, s.Passage.To = bars[0], bars[1]
			return err
		},
		imply: func(s *ladder.Step) { s.Passage.From, s.Passage.To = usual.Passage.From, usual.Passage.To },
	}, {
		name: "meter", example: "4/4",
		get:   func(s ladder.Step) string { return s.Meter.String() },
		set:   into(click.ParseMeter, func(s *ladder.Step) *click.Meter { return &s.Meter }),
		imply: func(s *ladder.Step) { s.Meter = usual.Meter },
	}, {
		name: "meters", example: "19 3/4", also: "23 4/4", otherwise: "one meter all through",
		list: &list{
			part: ", ", things: "changes", item: "change", each: "a change for each bar that has one",
			want:  "a bar and its meter such as {bar: 19, meter: 3/4}",
			inner: []word{{"bar", "19"}, {"meter", "3/4"}},
			wrong: func(s ladder.Step) int {
				_, err := s.Measures()
				if fault := new(click.MeasuresError); errors.As(err, &fault) {
					return fault.Change
				}
				return -1
			},
		},
		get: func(s ladder.Step) string {
			lines := make([]string, len(s.Meters))
			for i, c := range s.Meters {
				lines[i] = fmt.Sprintf("%d %s", c.Bar, c.Meter)
			}
			return strings.Join(lines, "\n")
		},
		set: func(s *ladder.Step, line string) error {
			bar, meter, _ := strings.Cut(line, " ")
			n, err := wholeNumber(1, ladder.MaxBar)(bar)
			if err != nil {
				return err
			}
			m, err := click.ParseMeter(meter)
			if err == nil {
				s.Meters = append(s.Meters, click.MeterChange{Bar: n, Meter: m})
			}
			return err
		},
		imply: func(s *ladder.Step) { s.Meters = nil },
	}, {
		name: "pickup", example: "1", also: "1/2 or 2+1/2",
		get:   func(s ladder.Step) string { return s.Pickup.String() },
		set:   into(parsePickup, func(s *ladder.Step) *click.Beats { return &s.Pickup }),
		imply: func(s *ladder.Step) { s.Pickup = click.Beats{} },
	}, {
		name: "beat", example: "quarter", choices: click.UnitNames(), otherwise: "the meters' own",
		get: func(s ladder.Step) string {
			word := s.Unit.String()
			if u, err := click.ParseUnit(word); err != nil || u != s.Unit {
				return "" // a beat without a word is the meters' own
			}
			return word
		},
		set:   into(parseUnit, func(s *ladder.Step) *click.Unit { return &s.Unit }),
		imply: func(s *ladder.Step) { s.Unit = click.CommonUnit(s.Meter, s.Meters...) },
	}, {
		group: "tempo", name: "from", example: "64", also: "or 10 rungs below", otherwise: "60, or the goal if lower",
		get: func(s ladder.Step) string {
			if s.Tempo.From != 0 {
				return s.Tempo.From.String()
			}
			return counted.Of(s.Tempo.Below, "rung") + " below"
		},
		set: func(s *ladder.Step, text string) error {
			from, err := parseFrom(text)
			s.Tempo.From, s.Tempo.Below = from.tempo, from.below
			return err
		},
		imply: func(s *ladder.Step) { s.Tempo.From, s.Tempo.Below = min(usual.Tempo.From, s.Tempo.Goal), 0 },
	}, {
		group: "tempo", name: "goal", example: "104", otherwise: "100, or the start if higher",
		get:   func(s ladder.Step) string { return s.Tempo.Goal.String() },
		set:   into(parseTempo, func(s *ladder.Step) *click.Tempo { return &s.Tempo.Goal }),
		imply: func(s *ladder.Step) { s.Tempo.Goal = max(usual.Tempo.Goal, s.Tempo.From) },
	}, {
		group: "tempo", name: "step", example: "4 bpm", also: "5% or marks",
		get:   func(s ladder.Step) string { return s.Tempo.By.String() },
		set:   into(ParseStepSize, func(s *ladder.Step) *ladder.StepSize { return &s.Tempo.By }),
		imply: func(s *ladder.Step) { s.Tempo.By = usual.Tempo.By },
	}, {
		name: "slots", example: "4", also: "a cross-rhythm such as 3:2", instead: "swing",
		get: func(s ladder.Step) string {
			if _, _, swung := s.Slots.Swung(); swung {
				return ""
			}
			return s.Slots.String()
		},
		set:   into(parseSlots, func(s *ladder.Step) *click.Slots { return &s.Slots }),
		imply: func(s *ladder.Step) { s.Slots = usual.Slots },
	}, {
		name: "swing", example: "2:1", also: "in place of slots", instead: "slots", why: "swing is two slots a beat", otherwise: "even slots",
		get: func(s ladder.Step) string {
			if _, _, swung := s.Slots.Swung(); !swung {
				return ""
			}
			return s.Slots.String()
		},
		set:   into(click.ParseSwing, func(s *ladder.Step) *click.Slots { return &s.Slots }),
		imply: func(s *ladder.Step) { s.Slots = usual.Slots },
	}, {
		name: "dynamics", example: "f p p p", also: "beats parted by /", otherwise: "the usual accents",
		list: &list{
			part: " / ", things: "marks", item: "line", each: "one line, or one line for each beat",
			want:  "marks such as f p p p; put marks that begin with a dash in quotes",
			check: spread,
			wrong: func(s ladder.Step) int {
				return slices.IndexFunc(s.Accents, func(line []click.Dynamics) bool { return len(line) != s.Slots.Count() })
			},
		},
		get: func(s ladder.Step) string {
			lines := make([]string, len(s.Accents))
			for i, marks := range s.Accents {
				lines[i] = click.FormatMarks(marks)
			}
			return strings.Join(lines, "\n")
		},
		set: func(s *ladder.Step, line string) error {
			marks, err := click.ParseMarks(line)
			if err == nil {
				s.Accents = append(s.Accents, marks)
			}
			return err
		},
		imply: func(s *ladder.Step) { s.Accents = nil },
	}, {
		name: "accents", example: "slurs", choices: names(ladder.AccentedOff, ladder.AccentedBoth),
		get:   func(s ladder.Step) string { return s.Accented.String() },
		set:   into(ladder.ParseAccented, func(s *ladder.Step) *ladder.Accented { return &s.Accented }),
		imply: func(s *ladder.Step) { s.Accented = usual.Accented },
	}, {
		name: "pulse", example: "doubled", choices: names(click.OnBeat, click.Offbeat),
		get:   func(s ladder.Step) string { return s.Pulse.String() },
		set:   into(parsePulse, func(s *ladder.Step) *click.Pulse { return &s.Pulse }),
		imply: func(s *ladder.Step) { s.Pulse = usual.Pulse },
	}, {
		name: "count", example: "number", choices: names(click.CountNone, click.CountKodaly),
		get:   func(s ladder.Step) string { return s.Count.String() },
		set:   into(parseCounting, func(s *ladder.Step) *click.Counting { return &s.Count }),
		imply: func(s *ladder.Step) { s.Count = usual.Count },
	}, {
		name: "speak", example: "true", choices: []string{"true", "false"}, otherwise: "false",
		get:   func(s ladder.Step) string { return strconv.FormatBool(s.Speak) },
		set:   into(parseBool, func(s *ladder.Step) *bool { return &s.Speak }),
		imply: func(s *ladder.Step) { s.Speak = usual.Speak },
	}, {
		name: "say", example: "notes", choices: names(ladder.SaySlots, ladder.SayNotes),
		get:   func(s ladder.Step) string { return s.Say.String() },
		set:   into(ladder.ParseSay, func(s *ladder.Step) *ladder.Say { return &s.Say }),
		imply: func(s *ladder.Step) { s.Say = usual.Say },
	}, {
		name: "announce", form: aWord, example: "rungs", choices: names(ladder.AnnounceNothing, ladder.AnnounceBoth),
		get:   func(s ladder.Step) string { return s.Announce.String() },
		set:   into(ladder.ParseAnnounce, func(s *ladder.Step) *ladder.Announce { return &s.Announce }),
		imply: func(s *ladder.Step) { s.Announce = usual.Announce },
	}, {
		name: "hush", form: aWord, example: "half notes, then downbeats", also: "every other bar, 30% of bars", otherwise: "nothing",
		get:   func(s ladder.Step) string { return s.Hush.String() },
		set:   into(hush.Parse, func(s *ladder.Step) *hush.Hush { return &s.Hush }),
		imply: func(s *ladder.Step) { s.Hush = usual.Hush },
	},
	timbreOf("bar", "brass", func(s *ladder.Sounds) *string { return &s.Bar }),
	timbreOf("beat", "wood", func(s *ladder.Sounds) *string { return &s.Beat }),
	timbreOf("slot", "cork", func(s *ladder.Sounds) *string { return &s.Slot }),
	levelOf(click.Forte),
	levelOf(click.MezzoForte),
	levelOf(click.Piano),
	levelOf(click.Pianissimo),
	{
		name: "stereo", form: aWord, example: "beats left", choices: names(ladder.AllCentre, ladder.BeatsRight),
		get:   func(s ladder.Step) string { return s.Sounds.Stereo.String() },
		set:   into(parseStereo, func(s *ladder.Step) *ladder.Stereo { return &s.Sounds.Stereo }),
		imply: func(s *ladder.Step) { s.Sounds.Stereo = usual.Sounds.Stereo },
	}, {
		group: "drone", name: "note", short: true, form: aWord, example: "Bb2", also: "C1 to C7, as it sounds", otherwise: "no drone",
		get: func(s ladder.Step) string {
			if !s.Sounds.Drone.On() {
				return ""
			}
			return s.Sounds.Drone.Note.String()
		},
		set: func(s *ladder.Step, text string) (err error) {
			s.Sounds.Drone.Note = passage.Pitch{}
			if text != "" { // as for a pattern's numbers
				s.Sounds.Drone.Note, err = ladder.ParseDroneNote(text)
			}
			return err
		},
		imply: func(s *ladder.Step) { s.Sounds.Drone.Note = passage.Pitch{} },
	}, {
		group: "drone", name: "a", example: "442", also: "415 to 466 Hz", otherwise: "your own",
		get: func(s ladder.Step) string {
			if s.Sounds.Drone.A == 0 {
				return ""
			}
			return strconv.Itoa(s.Sounds.Drone.A)
		},
		set: func(s *ladder.Step, text string) (err error) {
			s.Sounds.Drone.A = 0
			if text != "" { // as for a pattern's numbers
				s.Sounds.Drone.A, err = wholeNumber(timbre.LowestA, timbre.HighestA)(text)
			}
			return err
		},
		imply: func(s *ladder.Step) { s.Sounds.Drone.A = 0 },
	}, {
		group: "drone", name: "level", form: aWord, example: "-6 dB", also: "-40 to 18; 0 is as loud as the click",
		get: func(s ladder.Step) string { return ladder.FormatLevel(s.Sounds.Drone.Level) },
		set: into(func(text string) (int, error) { return ladder.ParseLevel(text, ladder.MostDrone) },
			func(s *ladder.Step) *int { return &s.Sounds.Drone.Level }),
		imply: func(s *ladder.Step) { s.Sounds.Drone.Level = usual.Sounds.Drone.Level },
	}, {
		group: "chunk", name: "start", form: inQuotes, example: "18:2", otherwise: "the first beat of the passage",
		get: func(s ladder.Step) string { return click.FormatPlace(s.Chunk.Bar, s.Chunk.At) },
		set: func(s *ladder.Step, text string) error {
			at, err := parseStart(text)
			s.Chunk.Bar, s.Chunk.At = at.bar, at.at
			return err
		},
		imply: func(s *ladder.Step) { s.Chunk.Bar, s.Chunk.At = s.Passage.From, click.Beats{} },
	}, {
		group: "chunk", name: "beats", example: "2", otherwise: "to the end of the bar",
		get:   func(s ladder.Step) string { return s.Chunk.Length.String() },
		set:   into(parseLength, func(s *ladder.Step) *click.Beats { return &s.Chunk.Length }),
		imply: func(s *ladder.Step) { s.Chunk.Length = impliedLength(*s) },
	}, {
		group: "chunk", name: "landing", example: "true", choices: []string{"true", "false"},
		get:   func(s ladder.Step) string { return strconv.FormatBool(s.Chunk.Landing) },
		set:   into(parseBool, func(s *ladder.Step) *bool { return &s.Chunk.Landing }),
		imply: func(s *ladder.Step) { s.Chunk.Landing = usual.Chunk.Landing },
	}, {
		name: "angle", form: aWord, example: "long short", also: "accents every 3, slur two and two", otherwise: "as written",
		get:   func(s ladder.Step) string { return s.Angle.String() },
		set:   into(angle.Parse, func(s *ladder.Step) *angle.Angle { return &s.Angle }),
		imply: func(s *ladder.Step) { s.Angle = angle.Angle{} },
	},
	planKey,
	number("", "count-in", "2", 0, ladder.MaxRest, func(s *ladder.Step) *int { return &s.CountIn }),
	number("", "breath", "2", 0, ladder.MaxRest, func(s *ladder.Step) *int { return &s.Breath }),
	number("", "reps", "5", 1, ladder.MaxReps, func(s *ladder.Step) *int { return &s.Reps }),
	{
		group: "rule", name: "name", short: true, example: "earned", choices: ladder.RuleNames(),
		get:   func(s ladder.Step) string { return s.Rule.Kind.String() },
		set:   into(parseRule, func(s *ladder.Step) *ladder.RuleKind { return &s.Rule.Kind }),
		imply: func(s *ladder.Step) { s.Rule.Kind = usual.Rule.Kind },
	},
	number("rule", "clean", "3", 1, ladder.MaxNeed, func(s *ladder.Step) *int { return &s.Rule.Clean }),
	number("rule", "rough", "2", 1, ladder.MaxNeed, func(s *ladder.Step) *int { return &s.Rule.Rough }),
	{
		group: "rule", name: "vary", example: "7", also: "another angle in each rep, drawn from this number", otherwise: "one angle all through",
		get: func(s ladder.Step) string {
			if s.Vary == 0 {
				return ""
			}
			return strconv.Itoa(s.Vary)
		},
		set: func(s *ladder.Step, text string) (err error) {
			s.Vary = 0
			if text != "" { // as for a pattern's numbers
				s.Vary, err = wholeNumber(1, ladder.MaxSeed)(text)
			}
			return err
		},
		imply: func(s *ladder.Step) { s.Vary = 0 },
	},
	{
		group: "score", name: "file", short: true, form: aText, example: "weir-street.musicxml",
		get:   func(s ladder.Step) string { return s.Notes.Score.File },
		set:   func(s *ladder.Step, text string) error { s.Notes.Score.File = text; return nil },
		imply: func(s *ladder.Step) { s.Notes.Score.File = "" },
	},
	text("score", "part", aText, "Bassoon", "the only part", func(n *ladder.Notes) *string { return &n.Score.Part }),
	text("score", "voice", aWord, "1", "the one with most notes", func(n *ladder.Notes) *string { return &n.Score.Voice }),
	text("pattern", "key", aWord, "E flat major", "", func(n *ladder.Notes) *string { return &n.Pattern.Key }),
	text("pattern", "figure", aWord, "thirds up", "scale", func(n *ladder.Notes) *string { return &n.Pattern.Figure }),
	text("pattern", "range", aWord, "E3-C6", "the instrument's", func(n *ladder.Notes) *string { return &n.Pattern.Range }),
	count("octaves", "1", "as the range allows, or 1", func(n *ladder.Notes) *int { return &n.Pattern.Octaves }),
	text("pattern", "from", aWord, "E4", "the lowest tonic", func(n *ladder.Notes) *string { return &n.Pattern.From }),
	count("group", "4", "as many as slots, or 4", func(n *ladder.Notes) *int { return &n.Pattern.Group }),
	text("pattern", "articulation", aWord, "slurred in twos", "tongued", func(n *ladder.Notes) *string { return &n.Pattern.Articulation }),
	{
		group: "instrument", name: "name", short: true, form: aText, example: "bassoon",
		get:   func(s ladder.Step) string { return s.Notes.Instrument.Name },
		set:   func(s *ladder.Step, text string) error { s.Notes.Instrument.Name = text; return nil },
		imply: func(s *ladder.Step) { s.Notes.Instrument.Name = "" },
	},
	text("instrument", "range", aWord, "Bb1-C5", "the instrument's", func(n *ladder.Notes) *string { return &n.Instrument.Range }),
	text("instrument", "sounds", aWord, "C4", "what a C4 on it sounds", func(n *ladder.Notes) *string { return &n.Instrument.Sounds }),
	text("", "key", aWord, "E flat major", "no signs", func(n *ladder.Notes) *string { return &n.Typed.Key }),
	text("", "unit", aWord, "1/16", "1/8, or 1/16 under 3/4", func(n *ladder.Notes) *string { return &n.Typed.Unit }),
	text("", "notes", aNote, "E2 GB | e4 |", "", func(n *ladder.Notes) *string { return &n.Typed.Text }),
	marksKey,
	{
		name: "pencil", form: aNote, example: "half hole on G",
		get:   func(s ladder.Step) string { return s.Pencil },
		set:   func(s *ladder.Step, text string) error { s.Pencil = text; return nil },
		imply: func(s *ladder.Step) { s.Pencil = "" },
	},
}

// usual is the step that holds every default.
var usual = ladder.DefaultStep()

// into sets a field to what is parsed.
func into[T any](parse func(string) (T, error), field func(*ladder.Step) *T) func(*ladder.Step, string) error {
	return func(s *ladder.Step, text string) error {
		v, err := parse(text)
		if err == nil {
			*field(s) = v
		}
		return err
	}
}

// yours is the word for the player's own sound.
const yours = "yours"

// timbreOf is the entry of the sound of bar lines, beats or slots.
func timbreOf(name, example string, field func(*ladder.Sounds) *string) key {
	words := append([]string{yours}, timbre.Names()...)
	others := slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == example })
	return key{
		group: "sounds", name: name, form: aWord, example: example, also: strings.Join(others, ", "), choices: words,
		get: func(s ladder.Step) string { return cmp.Or(*field(&s.Sounds), yours) },
		set: func(s *ladder.Step, text string) (err error) {
			if !slices.Contains(words, text) {
				return near(text, words, fmt.Errorf("%s is no sound; write one of %s", quote(text), strings.Join(words, ", ")))
			}
			*field(&s.Sounds) = text
			if text == yours {
				*field(&s.Sounds) = ""
			}
			return nil
		},
		imply: func(s *ladder.Step) { *field(&s.Sounds) = "" },
	}
}

// levelOf is the entry of the level of a mark.
func levelOf(d click.Dynamics) key {
	low := ladder.FormatLevel(ladder.UsualLevel(d))
	return key{
		group: "levels", name: d.String(), form: aWord, example: low, also: "-40 to 0", otherwise: low,
		get: func(s ladder.Step) string {
			if l := s.Sounds.Levels[d]; l.Given {
				return ladder.FormatLevel(l.DB)
			}
			return ""
		},
		set: func(s *ladder.Step, text string) (err error) {
			l := ladder.Level{}
			if text != "" { // as for a pattern's numbers
				l.Given = true
				l.DB, err = ladder.ParseLevel(text, 0)
			}
			s.Sounds.Levels[d] = l
			return err
		},
		imply: func(s *ladder.Step) { s.Sounds.Levels[d] = ladder.Level{} },
	}
}

// number is the entry of a whole number within bounds.
func number(group, name, example string, low, high int, field func(*ladder.Step) *int) key {
	return key{
		group: group, name: name, example: example,
		get:   func(s ladder.Step) string { return strconv.Itoa(*field(&s)) },
		set:   into(wholeNumber(low, high), field),
		imply: func(s *ladder.Step) { d := usual; *field(s) = *field(&d) },
	}
}

// text is the entry of a text of the notes, which is empty without the key.
func text(group, name string, f form, example, otherwise string, field func(*ladder.Notes) *string) key {
	return key{
		group: group, name: name, form: f, example: example, otherwise: otherwise,
		get:   func(s ladder.Step) string { return *field(&s.Notes) },
		set:   func(s *ladder.Step, text string) error { *field(&s.Notes) = text; return nil },
		imply: func(s *ladder.Step) { *field(&s.Notes) = "" },
	}
}

// count is the entry of a pattern's number, which is 0 without the key.
func count(name, example, otherwise string, field func(*ladder.Notes) *int) key {
	return key{
		group: "pattern", name: name, example: example, otherwise: otherwise,
		get: func(s ladder.Step) string {
			if n := *field(&s.Notes); n != 0 {
				return strconv.Itoa(n)
			}
			return ""
		},
		set: func(s *ladder.Step, text string) (err error) {
			n := 0
			if text != "" { // what was emptied at the end of a block stays there, empty
				n, err = wholeNumber(1, pattern.MaxOctaves)(text)
			}
			*field(&s.Notes) = n
			return err
		},
		imply: func(s *ladder.Step) { *field(&s.Notes) = 0 },
	}
}

// names are the words of the values from one to another.
func names[T interface {
	~uint8
	fmt.Stringer
}](first, last T) []string {
	var out []string
	for v := first; v <= last; v++ {
		out = append(out, v.String())
	}
	return out
}

// spread complains of [f, p, p, p] where it was meant as the marks of a beat.
func spread(s ladder.Step, lines []string) error {
	if n := s.Slots.Count(); n == 1 || len(lines) != n {
		return nil
	}
	for _, line := range lines {
		if _, err := click.ParseDynamics(line); err != nil {
			return nil
		}
	}
	return errors.New("a list in dynamics holds a line for each beat; write the marks of a beat without commas: dynamics: " + strings.Join(lines, " "))
}

// impliedLength is the length of a chunk that is not written: from its start
// to the end of that bar.
func impliedLength(s ladder.Step) click.Beats {
	m, err := s.Measures()
	if err != nil {
		return click.Whole(1)
	}
	if rest := click.Whole(m.Bar(s.Chunk.Bar).Beats).Sub(s.Chunk.At); rest.Sign() > 0 {
		return rest
	}
	return click.Whole(1)
}
