package begin_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footing/ladder"
	"footing/ladder/notes"
	"footing/ladder/notes/begin"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
	"footing/ladder/passage/scorefile"
	"footing/ladder/passage/tonality"
	"footing/ladder/routine"
)

// bar is a bar of MusicXML; more stands before its notes.
func bar(number, more, notes string) string {
	return fmt.Sprintf(`<measure number="%s">%s%s</measure>`, number, more, notes)
}

// note is a note of so many quarters; more stands behind its pitch.
func note(pitch string, quarters int, more string) string {
	return fmt.Sprintf(`<note><pitch><step>%s</step><octave>%s</octave></pitch><duration>%d</duration>%s</note>`, pitch[:1], pitch[1:], quarters, more)
}

const rest = `<note><rest/><duration>4</duration></note>`

func meter(above, below string) string {
	return `<attributes><divisions>1</divisions><time><beats>` + above + `</beats><beat-type>` + below + `</beat-type></time></attributes>`
}

func mark(unit, bpm string) string {
	return `<direction><direction-type><metronome><beat-unit>` + unit + `</beat-unit><per-minute>` + bpm + `</per-minute></metronome></direction-type></direction>`
}

// score is a score of parts, each a name and its bars.
func score(t *testing.T, title string, parts ...[2]string) *passage.Score {
	t.Helper()
	text := `<score-partwise version="4.0"><work><work-title>` + title + `</work-title></work><part-list>`
	for i, p := range parts {
		text += fmt.Sprintf(`<score-part id="P%d"><part-name>%s</part-name></score-part>`, i+1, p[0])
	}
	text += `</part-list>`
	for i, p := range parts {
		text += fmt.Sprintf(`<part id="P%d">%s</part>`, i+1, p[1])
	}
	s, _, err := passage.Read(context.Background(), strings.NewReader(text+`</score-partwise>`), passage.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// said is a step in the words of a routine, as far as a score has to do with it.
func said(s ladder.Step) string {
	texts := routine.Texts(s)
	var out []string
	for _, id := range []string{"name", "passage piece", "passage bars", "meter", "meters", "pickup", "beat", "tempo from", "tempo goal",
		"chunk start", "chunk beats", "score file", "score part", "score voice", "instrument name"} {
		text, ok := texts[id]
		if !ok {
			panic(id)
		}
		out = append(out, text)
	}
	return strings.Join(out, " | ")
}

func TestAStepOfAScore(t *testing.T) {
	four := meter("4", "4")
	whole := note("C3", 4, "")
	voices := note("C4", 4, "<voice>1</voice>") + `<backup><duration>4</duration></backup>` +
		note("C3", 2, "<voice>2</voice>") + note("D3", 2, "<voice>2</voice>")
	for name, tt := range map[string]struct {
		title   string
		parts   [][2]string
		want    []string
		remarks string // of all choices
	}{
		"a part alone": {"Weir Street March", [][2]string{{"Bassoon", bar("1", four+mark("quarter", "104"), whole) + bar("2", "", whole)}},
			[]string{"Bassoon | Weir Street March | 1-2 | 4/4 |  | 0 | quarter | 62 | 104 | 1:1 | 4 | f.xml |  |  | bassoon"}, ""},
		"no title, no mark": {"", [][2]string{{"Kazoo", bar("1", four, whole)}},
			[]string{"Kazoo | the file | 1 | 4/4 |  | 0 | quarter | 60 | 100 | 1:1 | 4 | f.xml |  |  | "}, ""},
		"a mark of another part, in half notes": {"March", [][2]string{
			{"Flute", bar("1", four+mark("half", "60"), whole)}, {"Clarinet in Bb 2", bar("1", four, whole)}},
			[]string{"Flute | March | 1 | 4/4 |  | 0 | quarter | 72 | 120 | 1:1 | 4 | f.xml | Flute |  | flute",
				"Clarinet in Bb 2 | March | 1 | 4/4 |  | 0 | quarter | 72 | 120 | 1:1 | 4 | f.xml | Clarinet in Bb 2 |  | clarinet in B flat"}, ""},
		"parts of one name": {"March", [][2]string{{"Horn", bar("1", four+mark("quarter", "80"), whole)}, {"Horn", bar("1", four, whole)}},
			[]string{"Horn (P1) | March | 1 | 4/4 |  | 0 | quarter | 48 | 80 | 1:1 | 4 | f.xml | P1 |  | horn in F",
				"Horn (P2) | March | 1 | 4/4 |  | 0 | quarter | 48 | 80 | 1:1 | 4 | f.xml | P2 |  | horn in F"}, ""},
		"a part of rests": {"March", [][2]string{{"Tuba", bar("1", four, rest)}, {"Oboe", bar("1", four+mark("quarter", "80"), whole)}},
			[]string{"Oboe | March | 1 | 4/4 |  | 0 | quarter | 48 | 80 | 1:1 | 4 | f.xml | Oboe |  | oboe"}, ""},
		"two voices": {"March", [][2]string{{"Horns", bar("1", four+mark("quarter", "80"), voices)}},
			[]string{"Horns, voice 2 | March | 1 | 4/4 |  | 0 | quarter | 48 | 80 | 1:1 | 4 | f.xml |  | 2 | ",
				"Horns, voice 1 | March | 1 | 4/4 |  | 0 | quarter | 48 | 80 | 1:1 | 4 | f.xml |  | 1 | "}, ""},
		"rests first": {"March", [][2]string{{"Bassoon", bar("1", four+mark("quarter", "80"), rest) + bar("2", "", rest) + bar("3", "", whole)}},
			[]string{"Bassoon | March | 1-3 | 4/4 |  | 0 | quarter | 48 | 80 | 3:1 | 4 | f.xml |  |  | bassoon"}, ""},
		"a pickup and other meters": {"March", [][2]string{{"Bassoon", `<measure number="0" implicit="yes">` + four + mark("quarter", "80") + note("C3", 1, "") + `</measure>` +
			bar("1", "", whole) + bar("2", meter("3", "4"), note("C3", 3, ""))}},
			[]string{"Bassoon | March | 1-2 | 4/4 | 2 3/4 | 1 | quarter | 48 | 80 | 1:1 | 4 | f.xml |  |  | bassoon"}, ""},
		"a bar without a number": {"March", [][2]string{{"Bassoon", bar("1", four+mark("quarter", "80"), whole) + bar("X1", "", whole) + bar("2", "", whole)}},
			[]string{"Bassoon | March | 1 | 4/4 |  | 0 | quarter | 48 | 80 | 1:1 | 4 | f.xml |  |  | bassoon"},
			"bar 1 of Bassoon can be practised, and no more: bar X1 has no number to count from"},
		"no meter": {"March", [][2]string{{"Bassoon", bar("1", `<attributes><divisions>1</divisions></attributes>`, whole)}},
			[]string{"error: Bassoon: bar 1 has no meter"}, ""},
		"too fast": {"March", [][2]string{{"Bassoon", bar("1", meter("4", "4")+mark("whole", "140"), whole)}},
			[]string{"Bassoon | March | 1 | 4/4 |  | 0 | quarter | 240 | 400 | 1:1 | 4 | f.xml |  |  | bassoon"},
			"the score's tempo is 560 quarter beats a minute: the goal is 400, as far as the click goes"},
	} {
		t.Run(name, func(t *testing.T) {
			choices, err := begin.Choices(context.Background(), score(t, tt.title, tt.parts...), "f.xml", "the file")
			if err != nil {
				t.Fatal(err)
			}
			var got, remarks []string
			for _, c := range choices {
				if c.Err != nil {
					got = append(got, "error: "+c.Err.Error())
					continue
				}
				got = append(got, said(c.Step))
				remarks = append(remarks, c.Remarks...)
			}
			if !slices.Equal(got, tt.want) || strings.Join(remarks, "; ") != tt.remarks {
				t.Errorf("got\n%s\n%q\nwant\n%s\n%q", strings.Join(got, "\n"), remarks, strings.Join(tt.want, "\n"), tt.remarks)
			}
		})
	}
}

func TestAScoreOfRestsIsRefused(t *testing.T) {
	s := score(t, "", [2]string{"Tuba", bar("1", meter("4", "4"), rest)})
	if _, err := begin.Choices(context.Background(), s, "f.xml", ""); err == nil || !strings.Contains(err.Error(), "no notes") {
		t.Error(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s = score(t, "", [2]string{"Tuba", bar("1", meter("4", "4"), note("C2", 4, ""))})
	if _, err := begin.Choices(ctx, s, "f.xml", ""); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

// Every voice of every score that is read is a step that can be practised and
// whose notes are found, or is refused in a sentence.
func TestEveryScoreThatIsReadCanBegin(t *testing.T) {
	folders := []string{filepath.Join("..", "..", "passage", "testdata", "made")}
	if data := os.Getenv("FOOTING_DATA"); data != "" {
		folders = append(folders, filepath.Join(data, "musicxml"))
	}
	begun, refused := 0, 0
	for _, dir := range folders {
		found, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			score, _, err := scorefile.Read(context.Background(), filepath.Join(dir, f.Name()), passage.Limits{})
			if err != nil {
				continue
			}
			choices, err := begin.Choices(context.Background(), score, f.Name(), "title")
			if err != nil {
				continue
			}
			for _, c := range choices {
				if c.Err != nil {
					refused++
					if c.Err.Error() == "" || strings.Contains(c.Err.Error(), "\n") {
						t.Errorf("%s, %s: %q", f.Name(), c.Name, c.Err)
					}
					t.Logf("%s, %s: %v", f.Name(), c.Name, c.Err)
					continue
				}
				begun++
				r := ladder.Routine{Name: "Routine", Steps: []ladder.Step{c.Step}}
				if faults := r.Check(); len(faults) > 0 {
					t.Errorf("%s, %s: %v", f.Name(), c.Name, faults)
				}
				if n, _, err := notes.Of(c.Step, score); err != nil || len(n.Chunk(c.Step).Begin) == 0 {
					t.Errorf("%s, %s: %v", f.Name(), c.Name, err)
				}
			}
		}
	}
	if begun < 20 {
		t.Errorf("only %d begun", begun)
	}
	t.Logf("%d voices begun, %d refused", begun, refused)
}

func TestAStepOfAPattern(t *testing.T) {
	bassoon := ladder.Instrument{Name: "bassoon"}
	for name, tt := range map[string]struct {
		words pattern.Words
		on    ladder.Instrument
		want  string // name, bars, chunk, landing, slots; or the error
	}{
		"in the range of the instrument": {pattern.Words{Key: "E flat major", Figure: "thirds", Group: 4}, bassoon, "E flat major, thirds 1-6 24 false 4"},
		"an octave":                      {pattern.Words{Key: "C", Octaves: 1, Group: 2}, bassoon, "C major, scale 1-2 7 true 2"},
		"off the beat":                   {pattern.Words{Key: "C", Figure: "scale up", Octaves: 1, Group: 4}, bassoon, "C major, scale up 1 4 false 4"},
		"a range of its own":             {pattern.Words{Key: "G minor", Range: "G2-G3", Group: 3}, ladder.Instrument{}, ""},
		"too narrow":                     {pattern.Words{Key: "C", Figure: "thirds", Range: "C4-D4"}, bassoon, "the range C4-D4"},
		"no key":                         {pattern.Words{Key: "H"}, bassoon, "\"H\""},
	} {
		s, err := begin.Pattern(tt.words, tt.on)
		got := fmt.Sprint(err)
		if err == nil {
			texts := routine.Texts(s)
			got = strings.Join([]string{s.Name, texts["passage bars"], texts["chunk beats"], texts["chunk landing"], texts["slots"]}, " ")
			s.Notes.Instrument = tt.on
			if n, _, err := notes.Of(s, nil); err != nil || len(n.Chunk(s).Begin) == 0 {
				t.Errorf("%s: %v", name, err)
			}
		}
		if !strings.Contains(got, tt.want) {
			t.Errorf("%s: %s\nwant %s", name, got, tt.want)
		}
	}
}

func TestKeysOfAWarmUp(t *testing.T) {
	for _, tt := range []struct {
		mode  tonality.Mode
		order begin.Order
		want  string
	}{
		{tonality.Major, begin.ByFifths, "C G D A E B F# Db Ab Eb Bb F"},
		{tonality.Major, begin.Chromatic, "C Db D Eb E F F# G Ab A Bb B"},
		{tonality.Major, begin.EverySignature, "C G D A E B F# C# F Bb Eb Ab Db Gb Cb"},
		{tonality.HarmonicMinor, begin.ByFifths, "A E B F# C# G# D# Bb F C G D"},
		{tonality.HarmonicMinor, begin.Chromatic, "C C# D D# E F F# G G# A Bb B"},
		{tonality.Dorian, begin.ByFifths, "D A E B F# C# G# Eb Bb F C G"},
	} {
		var got []string
		for _, k := range begin.Keys(tt.mode, tt.order) {
			got = append(got, strings.TrimSuffix(k.Tonic(4).String(), "4"))
		}
		if strings.Join(got, " ") != tt.want {
			t.Errorf("%s %s: %v\nwant %s", tt.mode, tt.order, got, tt.want)
		}
	}
}

func TestAWarmUpThroughAllKeys(t *testing.T) {
	for _, name := range begin.OrderNames() {
		o := begin.Order(slices.Index(begin.OrderNames(), name))
		for _, figure := range []string{"scale", "thirds up", "arpeggio", "dominant seventh", "chromatic"} {
			r, err := begin.WarmUp(pattern.Words{Key: "C major", Figure: figure, Group: 4}, ladder.Instrument{Name: "clarinet"}, o)
			if err != nil {
				t.Errorf("%s, %s: %v", figure, o, err)
				continue
			}
			if faults := r.Check(); len(faults) > 0 || len(r.Steps) != len(begin.Keys(tonality.Major, o)) {
				t.Errorf("%s, %s: %d steps, %v", figure, o, len(r.Steps), faults)
			}
		}
	}
	if _, err := begin.WarmUp(pattern.Words{Key: "C", Figure: "thirds", Range: "C4-E4"}, ladder.Instrument{}, begin.ByFifths); err == nil || !strings.Contains(err.Error(), "major: ") {
		t.Errorf("a range that is too narrow for a key: %v", err)
	}
}

func TestARecipeAsAPlayerSaysIt(t *testing.T) {
	bassoon := ladder.Instrument{Name: "bassoon"}
	for text, want := range map[string]string{
		"E flat major in thirds, sixteenths, my range": "{E flat major thirds   0 4 } bassoon",
		"Eb": "{Eb    0 0 } bassoon",
		"f# minor, Arpeggio up , in triplets,, 2 octaves,": "{f# minor arpeggio up   2 3 } bassoon",
		"C in sixteenths": "{C    0 4 } bassoon",
		"C, slurred in twos, E3-C6, clarinet, from G3":    "{C  E3-C6 G3 0 0 slurred in twos} clarinet in B flat",
		"C, one octave, half-diminished seventh":          "{C half-diminished seventh   1 0 } bassoon",
		"B half-diminished seventh (in A minor), eighths": "{B half-diminished seventh (in A minor)    0 2 } bassoon",
		"":                               "there is no key; write one such as E flat major",
		"  , thirds":                     "there is no key; write one such as E flat major",
		"C, thrids":                      `"thrids" is neither figure, note value, articulation, range nor instrument; did you mean "thirds"?`,
		"C, loud":                        `"loud" is neither figure, note value, articulation, range nor instrument; write thirds`,
		"C, 99 octaves":                  `"99 octaves" is neither`,
		"C mayor":                        `did you mean "major"?`,
		"C, E5-E3":                       "the range E5-E3 has its highest note below its lowest",
		"C, ophicleide, my range, E3-C6": `"ophicleide" is neither`,
	} {
		r, err := begin.Parse(text, bassoon)
		got := fmt.Sprint(err)
		if err == nil {
			got = fmt.Sprintf("%v %s", r.Words, r.Instrument.Name)
		}
		if !strings.Contains(got, want) {
			t.Errorf("%q: %s\nwant %s", text, got, want)
		}
	}
	if _, err := begin.Parse("C, my range", ladder.Instrument{}); err == nil || !strings.Contains(err.Error(), "your range is not known") {
		t.Error(err)
	}
}

// A step of a recipe names its instrument where the routine does not.
func TestTheInstrumentOfARecipe(t *testing.T) {
	clarinet := ladder.Instrument{Name: "clarinet in B flat"}
	for name, in := range map[string]ladder.Routine{"": {Instrument: clarinet}, "clarinet in B flat": {Instrument: ladder.Instrument{Name: "bassoon"}}} {
		r, err := begin.Parse("C, clarinet", in.Instrument)
		if err != nil {
			t.Fatal(err)
		}
		if s, err := r.Step(in); err != nil || s.Notes.Instrument.Name != name {
			t.Errorf("%v, in the step it is %q, want %q", err, s.Notes.Instrument.Name, name)
		}
	}
}
