package routine

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/audio/timbre"
	"footing/ladder"
	"footing/ladder/hush"
)

// drawText is a text that a routine may hold.
func drawText(t *rapid.T, label string, lines bool) string {
	some := rapid.SampledFrom([]string{
		"Weir Street run", "half hole on G", "F♯ then B♭", "12", "true", "~", "null", "- dash", "a: b", "a #b", "#b", "'tis", `say "oh"`,
		`back\slash`, "x,y", "{z}", "[z]", "*star", "&and", "!bang", "%", "@", "`", "é\u0301", "第一小節", "a\u00a0b", "?", "-", ":", "1:2", "<<", "2001-01-01", "0x1F", "...", "---", "a:", "\U0001F3B5", "\u200bzero",
	})
	free := rapid.StringOfN(rapid.RuneFrom([]rune("ab 1:#,'\"\\{}[]-?*&!|>%@~=é\u00a0")), 1, 12, -1)
	text := rapid.OneOf(some, free).Draw(t, label)
	if lines && rapid.IntRange(0, 3).Draw(t, label+" lines") == 0 {
		text += "\n" + rapid.OneOf(some, free).Draw(t, label+" more")
	}
	if text = strings.TrimSpace(text); text == "" {
		return "blank"
	}
	return text
}

func drawStep(t *rapid.T, name string) ladder.Step {
	s := ladder.DefaultStep()
	s.Name = name
	num := func(low, high int, label string) int { return rapid.IntRange(low, high).Draw(t, label) }
	some := func(label string) bool { return rapid.Bool().Draw(t, label) }
	if some("passage") {
		s.Passage.From = num(1, 40, "first bar")
		s.Passage.To = s.Passage.From + num(0, 6, "more bars")
		s.Passage.Piece = drawText(t, "piece", false)
	}
	s.Meter, _ = click.ParseMeter(rapid.SampledFrom([]string{"4/4", "2/4", "6/8", "3+2/8", "2/2", "4/32", "12/16", "1/4"}).Draw(t, "meter"))
	for bar := s.Passage.From + 1; bar <= s.Passage.To; bar++ {
		if num(0, 5, "change") == 0 {
			m, _ := click.ParseMeter(rapid.SampledFrom([]string{"3/4", "6/8", "2+2+3/8", "2/2", "9/32"}).Draw(t, "next meter"))
			s.Meters = append(s.Meters, click.MeterChange{Bar: bar, Meter: m})
		}
	}
	s.Unit = click.CommonUnit(s.Meter, s.Meters...)
	for _, word := range click.UnitNames() {
		u, _ := click.ParseUnit(word)
		if _, err := click.NewMeasures(s.Passage.From, s.Passage.To, click.Beats{}, u, s.Meter, s.Meters...); err == nil && num(0, 7, "beat") == 0 {
			s.Unit = u
		}
	}
	bar, _ := s.Meter.Bar(s.Unit)
	if some("pickup") {
		s.Pickup = click.Frac(int64(num(0, 3*bar.Beats-1, "pickup beats")), 3)
	}
	m, err := s.Measures()
	if err != nil {
		t.Fatal(err)
	}
	s.Tempo.By = ladder.StepSize{Kind: ladder.StepKind(num(0, 2, "step kind"))}
	if s.Tempo.By.Kind != ladder.ByMarks {
		s.Tempo.By.Amount = rapid.SampledFrom([]int64{4000, 5000, 2500, 10_000, 3333}).Draw(t, "step size")
	}
	s.Tempo.From = click.Tempo(rapid.SampledFrom([]int{60_000, 64_000, 40_500, 66_667, 120_000}).Draw(t, "from"))
	s.Tempo.Goal = s.Tempo.From + click.Tempo(rapid.SampledFrom([]int{0, 40_000, 20_500, 36_000}).Draw(t, "goal"))
	if some("from the goal") {
		s.Tempo.From, s.Tempo.Below = 0, num(1, 3, "below")
	}
	s.Slots = click.EvenSlots(num(1, 12, "slots"))
	if num(0, 3, "swung") == 0 {
		s.Slots = click.Swing(num(1, 12, "long"), num(1, 12, "short"))
		if num(0, 1, "cross") == 1 {
			s.Slots = rapid.SampledFrom([]click.Slots{click.Cross(3, 2), click.Cross(2, 3), click.Cross(4, 3), click.Cross(7, 6)}).Draw(t, "cross-rhythm")
		}
	}
	lines := rapid.SampledFrom([]int{0, 1, m.Longest().Beats}).Draw(t, "lines")
	for range lines {
		var line []click.Dynamics
		for range s.Slots.Count() {
			line = append(line, click.Dynamics(num(0, 4, "mark")))
		}
		s.Accents = append(s.Accents, line)
	}
	s.Pulse = click.Pulse(num(0, 3, "pulse"))
	s.Count = click.Counting(num(0, 4, "count"))
	s.Accented = ladder.Accented(num(0, 3, "accented"))
	s.Speak, s.Say, s.Announce = some("spoken"), ladder.Say(num(0, 1, "say")), ladder.Announce(num(0, 3, "announce"))
	s.Hush, _ = hush.Parse(rapid.SampledFrom([]string{"nothing", "beats", "thinning, seen", "30% of bars from 7", "every 3rd bar, then downbeats"}).Draw(t, "hush"))
	if some("sounds") {
		s.Sounds = drawSounds(t)
	}
	s.Chunk = ladder.Chunk{Bar: s.Passage.From, Length: click.Whole(bar.Beats), Landing: some("landing")}
	if some("chunk") {
		start := click.Frac(int64(num(m.Start().Times(12).Ceil(), m.End().Times(12).Floor()-1, "chunk start")), 12)
		s.Chunk.Bar, s.Chunk.At = m.Where(start)
		s.Chunk.Length = click.Frac(int64(num(1, min(m.End().Sub(start).Times(12).Floor(), 12*ladder.MaxChunkBeats), "chunk length")), 12)
	}
	s.CountIn, s.Breath, s.Reps = num(0, 3, "count-in"), num(0, 3, "breath"), num(1, 6, "reps")
	s.Rule = ladder.Rule{Kind: ladder.RuleKind(num(0, 5, "rule")), Clean: num(2, 4, "clean"), Rough: num(1, 3, "rough")}
	if some("angle") {
		s.Angle = rapid.SampledFrom(s.Angles()).Draw(t, "which angle")
	}
	if some("vary") {
		s.Vary = num(1, ladder.MaxSeed, "seed")
	}
	for range num(0, 3, "cuts") {
		from := click.Frac(int64(num(m.Start().Times(12).Ceil(), m.End().Times(12).Floor()-1, "cut start")), 12)
		cut := ladder.Cut{Length: click.Frac(int64(num(1, min(m.End().Sub(from).Times(12).Floor(), 12*ladder.MaxChunkBeats), "cut length")), 12)}
		cut.Bar, cut.At = m.Where(from)
		if some("why") {
			cut.Why = strings.ReplaceAll(drawText(t, "reason", false), ";", ",")
		}
		s.Plan = append(s.Plan, cut)
	}
	if some("notes") {
		s.Notes = drawNotes(t, m)
	}
	if some("pencil") {
		s.Pencil = drawText(t, "pencil", true)
	}
	return s
}

func drawSounds(t *rapid.T) ladder.Sounds {
	name := func(label string) string { return rapid.SampledFrom(append(timbre.Names(), "")).Draw(t, label) }
	out := ladder.Sounds{Bar: name("bar line"), Beat: name("beat sound"), Slot: name("slot sound"), Stereo: ladder.Stereo(rapid.IntRange(0, 2).Draw(t, "stereo"))}
	for d := click.Pianissimo; d <= click.Forte; d++ {
		if rapid.Bool().Draw(t, "level given") {
			out.Levels[d] = ladder.Level{Given: true, DB: rapid.IntRange(ladder.LeastLevel, 0).Draw(t, "level")}
		}
	}
	out.Drone.Level = rapid.IntRange(ladder.LeastLevel, ladder.MostDrone).Draw(t, "drone's level")
	if rapid.Bool().Draw(t, "drone") {
		out.Drone.Note, _ = ladder.ParseDroneNote(rapid.SampledFrom([]string{"C1", "Bb2", "F##3", "C7", "Ebb4"}).Draw(t, "drone's note"))
		out.Drone.A = rapid.SampledFrom([]int{0, 415, 442, 466}).Draw(t, "drone's A")
	}
	return out
}

// drawNotes are notes in words that a routine may hold.
func drawNotes(t *rapid.T, m click.Measures) ladder.Notes {
	var n ladder.Notes
	one := func(label string, from ...string) string {
		return rapid.SampledFrom(append(from, "")).Draw(t, label)
	}
	switch rapid.IntRange(0, 3).Draw(t, "source") {
	case 0:
		n.Score.File = rapid.SampledFrom([]string{"weir-street.musicxml", "band/weir street.mxl", "12", "#1.xml"}).Draw(t, "file")
		n.Score.Part = one("part", "Bassoon", "P1", "Clarinet in B♭", "no: 2", "true")
		n.Score.Voice = one("voice", "1", "2", "upper", "yes")
	case 1:
		n.Typed.Text = drawText(t, "typed", true)
	case 2:
		n.Pattern.Key = rapid.SampledFrom([]string{"E flat major", "F#", "c minor", "Bb dominant seventh"}).Draw(t, "pattern key")
		n.Pattern.Figure = one("figure", "scale", "arpeggio")
		n.Pattern.Range = one("range", "E3-C6", "Bb1-C5", "F#3-C6")
		n.Pattern.From = one("from", "E4", "F#4")
		n.Pattern.Octaves = rapid.IntRange(0, 8).Draw(t, "octaves")
		n.Pattern.Group = rapid.SampledFrom([]int{0, 2, 3, 4, 6}).Draw(t, "group")
		n.Pattern.Articulation = one("articulation", "slurred", "tongued", "slurred in twos")
	}
	n.Typed.Key, n.Typed.Unit = one("key", "Bb", "F#", "D minor"), one("unit", "1/8", "1/16")
	n.Instrument = drawInstrument(t)
	for range rapid.IntRange(0, 3).Draw(t, "marks") {
		mark := ladder.NoteMark{Text: one("mark", "flick", "R", "L", "1", "true", "#2", "half: hole, low", "-"), Finger: one("finger", "fA", "Bb-3", "#")}
		if mark.Text == "" && mark.Finger == "" {
			mark.Text = "slow"
		}
		at := click.Frac(int64(rapid.IntRange(m.Start().Times(12).Ceil(), m.End().Times(12).Floor()-1).Draw(t, "mark at")), 12)
		mark.Bar, mark.At = m.Where(at)
		n.Marks = append(n.Marks, mark)
	}
	return n
}

func drawInstrument(t *rapid.T) (i ladder.Instrument) {
	i.Name = rapid.SampledFrom([]string{"", "bassoon", "clarinet in B flat", "alto sax"}).Draw(t, "instrument")
	i.Range = rapid.SampledFrom([]string{"", "E3-C6", "Bb1-C5"}).Draw(t, "instrument's range")
	i.Sounds = rapid.SampledFrom([]string{"", "Bb3", "Eb4"}).Draw(t, "sounds")
	return i
}

func drawRoutine(t *rapid.T) ladder.Routine {
	r := ladder.Routine{Name: drawText(t, "name", false)}
	if rapid.Bool().Draw(t, "played") {
		r.Instrument = drawInstrument(t)
	}
	switch rapid.IntRange(0, 3).Draw(t, "order") {
	case 0:
		r.Order.Reps = rapid.IntRange(1, ladder.MaxTurn).Draw(t, "turn")
	case 1:
		r.Order.Minutes = rapid.IntRange(1, ladder.MaxTurn).Draw(t, "minutes")
	}
	for i := range rapid.IntRange(1, 4).Draw(t, "steps") {
		name := drawText(t, "step name", false)
		if slices.ContainsFunc(r.Steps, func(s ladder.Step) bool { return s.Name == name }) {
			name = fmt.Sprintf("step %d%s", i, name)
		}
		r.Steps = append(r.Steps, drawStep(t, name))
	}
	if faults := r.Check(); len(faults) > 0 {
		t.Fatalf("the test drew a routine that is at fault: %+v", faults)
	}
	return r
}

// scribe writes a routine as a person might, in a layout drawn by chance.
type scribe struct {
	t        *rapid.T
	comments []string
}

func (w *scribe) chance(n int) bool { return rapid.IntRange(0, n-1).Draw(w.t, "layout") == 0 }

// comment is a new comment, not always there.
func (w *scribe) comment(before, after string) string {
	if !w.chance(4) {
		return ""
	}
	text := fmt.Sprintf("# remark %d: 'x' \"y\" {z}", len(w.comments))
	w.comments = append(w.comments, text)
	return before + text + after
}

func (w *scribe) scalar(text string, flow bool) string {
	if safePlain(text, flow) && !w.chance(4) {
		return text
	}
	if !strings.ContainsFunc(text, needsEscape) && w.chance(2) {
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	}
	return scalar(text, 1<<1, flow) // in double quotes
}

// mapping writes pairs in braces, over one line or several, or as lines.
func (w *scribe) mapping(pairs [][2]string, indent string) string {
	if w.chance(2) {
		out := indent
		for i, p := range pairs {
			if i > 0 {
				out += indent
			}
			out += p[0] + ": " + w.scalar(p[1], false) + w.comment(" ", "") + "\n"
		}
		return w.comment(" ", "") + "\n" + out
	}
	return " " + w.braces(pairs, indent) + w.comment("  ", "") + "\n"
}

func (w *scribe) braces(pairs [][2]string, indent string) string {
	wide := w.chance(3)
	out := "{"
	for i, p := range pairs {
		if i > 0 {
			out += ", "
		}
		if wide {
			out += w.comment(" ", "") + "\n" + indent
		}
		out += p[0] + ": " + w.scalar(p[1], true)
	}
	if wide {
		out += w.comment(" ", "") + "\n" + indent
	}
	return out + "}"
}

// values are the keys of a step with what stands behind the colon, those at
// their default now and then. write lays a value out that is no list.
func (w *scribe) values(s ladder.Step, write func(k *key, text string) string, list func(k *key, items []string) string) (own map[string]string, under map[string][][2]string) {
	own, under = map[string]string{}, map[string][][2]string{}
	for i := range table {
		k := &table[i]
		switch {
		case k.get == nil:
			if w.chance(5) {
				own[k.name] = " " + k.example
			}
		case k.implied(s) && !w.chance(4) || k.get(s) == "" && !k.free():
		case k.group != "":
			under[k.group] = append(under[k.group], [2]string{k.name, k.get(s)})
		case k.list != nil:
			own[k.name] = list(k, k.items(s))
		default:
			own[k.name] = write(k, k.get(s))
		}
	}
	return own, under
}

// flowStep writes a step in braces.
func (w *scribe) flowStep(s ladder.Step, indent string) string {
	own, under := w.values(s,
		func(_ *key, text string) string { return " " + w.scalar(text, true) },
		func(k *key, items []string) string { return " " + w.flowList(k, items) })
	var parts []string
	for _, name := range groups[""].names {
		switch text, there := own[name]; {
		case name == "slots" && there:
			parts = append(parts, `"slots":`+strings.TrimSpace(text))
		case there:
			parts = append(parts, name+":"+text)
		case groups[name] != nil && (len(under[name]) > 0 || w.chance(4)):
			parts = append(parts, name+": "+w.braces(under[name], indent+"  "))
		}
	}
	parts = rapid.Permutation(parts).Draw(w.t, "order")
	wide := w.chance(2)
	out := "{"
	for i, part := range parts {
		if i > 0 {
			out += ","
		}
		if wide {
			out += w.comment(" ", "") + "\n" + indent + "  "
		}
		out += part
	}
	if wide {
		out += w.comment(" ", "") + "\n" + indent
	}
	return out + "}"
}

// step writes a step's keys, as lines or in braces.
func (w *scribe) step(s ladder.Step, indent string) string {
	if w.chance(4) {
		return w.flowStep(s, indent) + w.comment(" ", "") + "\n"
	}
	lines, under := w.values(s,
		func(k *key, text string) string { return w.value(k, text, indent) },
		func(k *key, items []string) string { return w.list(k, items, indent) })
	for group, pairs := range under {
		lines[group] = w.mapping(rapid.Permutation(pairs).Draw(w.t, "order"), indent+"  ")
	}
	var keys []string
	for _, key := range groups[""].names {
		if _, there := lines[key]; there {
			keys = append(keys, key)
		}
	}
	if w.chance(3) {
		keys = rapid.Permutation(keys).Draw(w.t, "order")
	}
	out := ""
	for i, key := range keys {
		if i > 0 {
			out += w.comment(indent, "\n") + indent
		}
		if w.chance(6) {
			key = `"` + key + `"`
		}
		out += key + ":" + strings.TrimSuffix(lines[strings.Trim(key, `"`)], "\n") + "\n"
	}
	return out
}

// value writes a value that is no list, and the comment behind it.
func (w *scribe) value(k *key, text, indent string) string {
	bare := strings.ReplaceAll(text, "\n", "")
	if k.form == aNote && bare != text && !strings.ContainsFunc(bare, needsEscape) && !strings.Contains(text, "\n ") && w.chance(2) {
		return " |" + w.comment(" ", "") + "\n" + indent + "   " + strings.ReplaceAll(text, "\n", "\n"+indent+"   ") + "\n"
	}
	return " " + w.scalar(text, false) + w.comment(" ", "") + "\n"
}

// item writes an item of a list.
func (w *scribe) item(k *key, item string, flow bool) string {
	if k.list.inner == nil {
		return w.scalar(item, flow)
	}
	var pairs [][2]string
	for i, cell := range k.list.cells(item) {
		if cell != "" || k.list.needs(i) {
			pairs = append(pairs, [2]string{k.list.inner[i].key, cell})
		}
	}
	return w.braces(rapid.Permutation(pairs).Draw(w.t, "order"), "              ")
}

func (w *scribe) flowList(k *key, items []string) string {
	parts := make([]string, len(items))
	for i, item := range items {
		parts[i] = w.item(k, item, true)
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

func (w *scribe) list(k *key, items []string, indent string) string {
	words := k.list.inner == nil
	switch {
	case words && len(items) == 1 && w.chance(2):
		return " " + w.scalar(items[0], false) + w.comment(" ", "") + "\n"
	case words && w.chance(3):
		return " |" + w.comment(" ", "") + "\n" + indent + "  " + strings.Join(items, "\n"+indent+"  ") + "\n"
	case w.chance(3):
		return " " + w.flowList(k, items) + w.comment(" ", "") + "\n"
	}
	out := w.comment(" ", "") + "\n"
	for _, item := range items {
		out += indent + "- " + w.item(k, item, false) + w.comment(" ", "") + "\n"
	}
	return out
}

func (w *scribe) routine(r ladder.Routine) string {
	out := w.comment("", "\n") + "footing: 1" + w.comment(" ", "") + "\nname: " + w.scalar(r.Name, false) + w.comment(" ", "") + "\n"
	if i := r.Instrument; i != (ladder.Instrument{}) {
		var pairs [][2]string
		for _, k := range groups[instrumentKey].entries {
			if text := k.get(player(r)); text != "" {
				pairs = append(pairs, [2]string{k.name, text})
			}
		}
		if i.Name != "" && len(pairs) == 1 && w.chance(2) {
			out += "instrument: " + w.scalar(i.Name, false) + w.comment(" ", "") + "\n"
		} else {
			out += "instrument:" + w.mapping(pairs, "  ")
		}
	}
	if r.Order.Mixed() || w.chance(9) {
		out += "order: " + w.scalar(r.Order.String(), false) + w.comment(" ", "") + "\n"
	}
	if w.chance(3) {
		out += "\n"
	}
	indent := rapid.SampledFrom([]string{"", "  ", "    "}).Draw(w.t, "indent")
	if w.chance(5) {
		out += "steps: ["
		for i, s := range r.Steps {
			if i > 0 {
				out += "," + w.comment(" ", "")
			}
			out += "\n " + w.flowStep(s, "  ")
		}
		return out + "\n ]\n"
	}
	out += "steps:" + w.comment(" ", "") + "\n"
	for _, s := range r.Steps {
		out += w.comment(indent, "\n")
		if w.chance(5) {
			out += "\n" + w.comment(indent, "\n\n")
		}
		dash := "- "
		if w.chance(8) {
			dash = "-" + w.comment(" ", "") + "\n" + indent + "  "
		}
		out += indent + dash + w.step(s, indent+"  ")
	}
	out += w.comment("", "\n")
	if w.chance(5) {
		out = strings.TrimSuffix(out, "\n")
	}
	if w.chance(5) {
		out = strings.ReplaceAll(out, "\n", "\r\n")
	}
	if w.chance(8) {
		out = "\ufeff" + out
	}
	return out
}

// Whatever a routine holds and however it is laid out: it reads as what was
// written; set to any other routine it reads as that one, without a rewrite of
// the whole; and as long as no step is taken out, no comment is lost.
func TestLawOfSet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before := drawRoutine(t)
		w := &scribe{t: t}
		text := w.routine(before)
		f, err := Parse("law.yaml", []byte(text))
		if err != nil {
			t.Fatalf("%v\nin\n%s", err, text)
		}
		if !equal(f.routine, before) {
			t.Fatalf("read as\n%+v\nwritten from\n%+v\nin\n%s", f.routine, before, text)
		}
		after := drawRoutine(t)
		keep := rapid.Bool().Draw(t, "keep the steps")
		if keep {
			// The old steps, in another order, some of them changed, and new ones.
			var steps []ladder.Step
			for i, s := range before.Steps {
				if i < len(after.Steps) && rapid.Bool().Draw(t, "change") {
					name := s.Name
					s = after.Steps[i]
					s.Name = name
				}
				steps = append(steps, s)
			}
			for i, s := range after.Steps {
				if s.Name = fmt.Sprintf("new %d", i); rapid.Bool().Draw(t, "add") {
					steps = append(steps, s)
				}
			}
			after.Steps = rapid.Permutation(steps).Draw(t, "order of steps")
		}
		if g, err := f.patched(canonical(after)); err != nil {
			t.Fatalf("not changed in places: %v\n%s\nto\n%s", err, text, render(after))
		} else if !equal(g.routine, after) {
			t.Fatal("changed into something else")
		}
		if err := f.Set(after); err != nil {
			t.Fatal(err)
		}
		got := string(f.Bytes())
		if !keep {
			return
		}
		for _, c := range w.comments {
			if strings.Count(got, c) != 1 {
				t.Fatalf("the comment %q stands %d times in\n%s\nwhich was\n%s", c, strings.Count(got, c), got, text)
			}
		}
	})
}

// New reads as what it was made of, and the rewrite of a whole file keeps its
// comments.
func TestLawOfNew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRoutine(t)
		f, err := New(r)
		if err != nil {
			t.Fatal(err)
		}
		if !equal(f.Routine(), r) {
			t.Fatalf("%+v became\n%s", r, f.Bytes())
		}
		w := &scribe{t: t}
		f, err = Parse("law.yaml", []byte(w.routine(r)))
		if err != nil {
			t.Fatal(err)
		}
		other := drawRoutine(t)
		g, err := f.rewritten(canonical(other))
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range w.comments {
			if strings.Count(string(g.src.data), c) != 1 {
				t.Fatalf("the comment %q is lost in\n%s", c, g.src.data)
			}
		}
	})
}
