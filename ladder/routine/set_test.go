package routine_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/routine"
)

const written = `# Runs for the May concert
footing: 1
name: "Morning runs"   # before breakfast

steps:
  # the hard one
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 17-20}   # from the second strain
    tempo:
      from:   64        # was 60
      goal: 104
      # ask the teacher about the step
      step: 4 bpm
    slots: 4
    dynamics: |         # by the beat
      f  p p p
      mf p p p
      mf p p p
      mf p p p
    chunk: {start: '18:2', beats: 2}
    rule: earned        # three cleans
    pencil: >-
      whisper key off
      before the high A
    # end of the run

  # ---- trio ----

  # six eight from here
  - {name: Trio, meter: 6/8, tempo: {goal: 108}}  # short
  - name: Coda
    count-in: 4
# the end
`

// replaceOnce is the text with one stretch of it changed.
func replaceOnce(t *testing.T, text, old, new string) string {
	t.Helper()
	if strings.Count(text, old) != 1 {
		t.Fatalf("%q stands %d times in the text", old, strings.Count(text, old))
	}
	return strings.Replace(text, old, new, 1)
}

// Each change changes just the stretch of text that says it.
func TestSetChangesOnlyWhatDiffers(t *testing.T) {
	run, trio, coda := 0, 1, 2
	tests := []struct {
		name     string
		change   func(*ladder.Routine)
		old, new string // of the text
	}{
		{"nothing", func(*ladder.Routine) {}, "Runs for", "Runs for"},
		{"the routine's name", func(r *ladder.Routine) { r.Name = "Evening runs" }, `"Morning runs"`, `"Evening runs"`},
		{"a step's name", func(r *ladder.Routine) { r.Steps[run].Name = "Run: bar 18" }, "name: Weir Street run", `name: "Run: bar 18"`},
		{"a tempo in a block", func(r *ladder.Routine) { r.Steps[run].Tempo.From = click.BPM(68) }, "from:   64  ", "from:   68  "},
		{"rungs below", func(r *ladder.Routine) { r.Steps[run].Tempo.From, r.Steps[run].Tempo.Below = 0, 5 }, "from:   64  ", "from:   5 rungs below  "},
		{"the step", func(r *ladder.Routine) { r.Steps[run].Tempo.By = percent(5) }, "step: 4 bpm", "step: 5%"},
		{"a mark in a text of lines", func(r *ladder.Routine) { r.Steps[run].Accents[2][1] = click.Silent }, "mf p p p\n      mf p p p\n      mf p p p", "mf p p p\n      mf - p p\n      mf p p p"},
		{"the dynamics to one line", func(r *ladder.Routine) { r.Steps[run].Accents = r.Steps[run].Accents[:1] },
			"      f  p p p\n      mf p p p\n      mf p p p\n      mf p p p\n", "      f  p p p\n"},
		{"no dynamics", func(r *ladder.Routine) { r.Steps[run].Accents = nil },
			"dynamics: |         # by the beat\n      f  p p p\n      mf p p p\n      mf p p p\n      mf p p p\n", "# by the beat\n"},
		{"the start of the chunk", func(r *ladder.Routine) { r.Steps[run].Chunk.At = click.Frac(5, 2) }, "'18:2'", "'18:3+1/2'"},
		{"a key in braces", func(r *ladder.Routine) { r.Steps[run].Chunk.Landing = false }, "beats: 2}", "beats: 2, landing: false}"},
		{"the bars", func(r *ladder.Routine) { r.Steps[run].Passage.To = 18 }, "bars: 17-20}", "bars: 17-18}"},
		{"the rule by name", func(r *ladder.Routine) { r.Steps[run].Rule.Kind = ladder.Settle }, "rule: earned ", "rule: settle "},
		{"the rule with numbers", func(r *ladder.Routine) { r.Steps[run].Rule.Clean = 4 }, "rule: earned ", "rule: {clean: 4} "},
		{"a folded pencil mark", func(r *ladder.Routine) { r.Steps[run].Pencil = "thumb off" }, ">-\n      whisper key off\n      before the high A", "thumb off"},
		{"a pencil mark of lines", func(r *ladder.Routine) { r.Steps[run].Pencil = "thumb off\n\nand A" },
			">-\n      whisper key off\n      before the high A", "|-\n      thumb off\n\n      and A"},
		{"no pencil mark", func(r *ladder.Routine) { r.Steps[run].Pencil = "" }, ">-\n      whisper key off\n      before the high A", `""`},
		{"slots to swing", func(r *ladder.Routine) {
			r.Steps[run].Slots, r.Steps[run].Accents = click.Swing(2, 1), click.Accents{{click.Forte, click.Piano}}
		},
			"slots: 4\n    dynamics: |         # by the beat\n      f  p p p\n      mf p p p\n      mf p p p\n      mf p p p\n", "swing: 2:1\n    dynamics: |         # by the beat\n      f p\n"},
		{"a new key in its place", func(r *ladder.Routine) { r.Steps[run].Pulse = click.Doubled }, "      mf p p p\n    chunk:", "      mf p p p\n    pulse: doubled\n    chunk:"},
		{"two new keys in order", func(r *ladder.Routine) { r.Steps[run].Reps, r.Steps[run].Breath = 7, 3 }, "beats: 2}\n", "beats: 2}\n    breath: 3\n    reps: 7\n"},
		{"a new key in braces of a step", func(r *ladder.Routine) { r.Steps[trio].Slots = click.EvenSlots(3) }, "{goal: 108}}", "{goal: 108}, slots: 3}"},
		{"a new start in braces", func(r *ladder.Routine) { r.Steps[trio].Tempo.From = click.BPM(72) }, "{goal: 108}}", "{from: 72, goal: 108}}"},
		{"a beat other than the meter's", func(r *ladder.Routine) {
			r.Steps[trio].Unit, r.Steps[trio].Chunk.Length = click.Unit{Num: 1, Den: 8}, click.Whole(6)
		}, "meter: 6/8,", "meter: 6/8, beat: eighth,"},
		{"a key back at its default", func(r *ladder.Routine) { r.Steps[coda].CountIn = 2 }, "count-in: 4", "count-in: 2"},
		{"a new mapping", func(r *ladder.Routine) { r.Steps[coda].Tempo.Goal = click.BPM(90) }, "name: Coda\n", "name: Coda\n    tempo: {goal: 90}\n"},
		{"an awkward rule in braces", func(r *ladder.Routine) { r.Steps[trio].Rule.Kind = ladder.TwoUpOneDown }, "{goal: 108}}", `{goal: 108}, rule: "two up, one down"}`},
		{"a change of meter and a pickup", func(r *ladder.Routine) {
			r.Steps[run].Meters, r.Steps[run].Pickup = []click.MeterChange{{Bar: 19, Meter: click.MakeMeter(3, 4)}}, click.Frac(1, 2)
		}, "    tempo:", "    meters:\n      - {bar: 19, meter: 3/4}\n    pickup: 1/2\n    tempo:"},
		{"a change of meter in braces", func(r *ladder.Routine) {
			r.Steps[trio].Passage.To, r.Steps[trio].Meters = 2, []click.MeterChange{{Bar: 2, Meter: click.MakeMeter(9, 8)}}
		}, "{name: Trio, meter: 6/8,", "{name: Trio, passage: {bars: 1-2}, meter: 6/8, meters: [{bar: 2, meter: 9/8}],"},
		{"the last step goes", func(r *ladder.Routine) { r.Steps = r.Steps[:2] }, "\n  - name: Coda\n    count-in: 4\n", "\n"},
		{"the middle step goes", func(r *ladder.Routine) { r.Steps = []ladder.Step{r.Steps[run], r.Steps[coda]} },
			"  # six eight from here\n  - {name: Trio, meter: 6/8, tempo: {goal: 108}}  # short\n", ""},
		{"the last two change places", func(r *ladder.Routine) { r.Steps[trio], r.Steps[coda] = r.Steps[coda], r.Steps[trio] },
			"  # six eight from here\n  - {name: Trio, meter: 6/8, tempo: {goal: 108}}  # short\n  - name: Coda\n    count-in: 4\n",
			"  - name: Coda\n    count-in: 4\n  # six eight from here\n  - {name: Trio, meter: 6/8, tempo: {goal: 108}}  # short\n"},
		{"a new step", func(r *ladder.Routine) {
			s := march.Step(nil)
			s.Name = "Run again"
			r.Steps = append(r.Steps, s)
		}, "count-in: 4\n", `count-in: 4
  - name: Run again
    passage: {piece: Weir Street March, bars: 17-20}
    tempo: {from: 64, goal: 104}
    slots: 4
    chunk: {start: "18:2", beats: 2}
`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, crlf := range []bool{false, true} {
				text, old, new := written, tt.old, tt.new
				if crlf {
					text, old, new = dos(text), dos(old), dos(new)
				}
				f, err := routine.Parse("runs.yaml", []byte(text))
				if err != nil {
					t.Fatal(err)
				}
				r := f.Routine()
				tt.change(&r)
				if err := f.Set(r); err != nil {
					t.Fatal(err)
				}
				if got, want := string(f.Bytes()), replaceOnce(t, text, old, new); got != want {
					t.Errorf("the text is now\n%s\nwant\n%s", got, want)
				}
			}
		})
	}
}

// The same in braces, down to a file that is JSON.
func TestSetInBraces(t *testing.T) {
	const text = `{"footing": 1, "name": "as JSON",
 "steps": [{"name":"a", "slots":2, # two
   "dynamics":"f p"}, {"name": "b", "meter": "4/32"}] # end
}
`
	tests := []struct {
		name   string
		change func(*ladder.Routine)
		want   string
	}{
		{"the last key goes and one comes", func(r *ladder.Routine) {
			r.Steps[0].Accents, r.Steps[0].Count = nil, click.CountNumber
		}, `{"footing": 1, "name": "as JSON",
 "steps": [{"name":"a", "slots":2, count: number}, {"name": "b", "meter": "4/32"}] # end
}
# two
`},
		{"slots to swing", func(r *ladder.Routine) { r.Steps[0].Slots = click.Swing(2, 1) },
			replaceOnce(t, text, `"slots":2,`, `"swing":"2:1",`)},
		{"a number", func(r *ladder.Routine) { r.Steps[0].Slots, r.Steps[0].Accents = click.EvenSlots(1), nil }, `{"footing": 1, "name": "as JSON",
 "steps": [{"name":"a", "slots":1}, {"name": "b", "meter": "4/32"}] # end
}
# two
`},
		{"the steps change places", func(r *ladder.Routine) { r.Steps[0], r.Steps[1] = r.Steps[1], r.Steps[0] }, `{"footing": 1, "name": "as JSON",
 "steps": [{"name": "b", "meter": "4/32"}, {"name":"a", "slots":2, # two
   "dynamics":"f p"}] # end
}
`},
		{"a new step", func(r *ladder.Routine) {
			s := ladder.DefaultStep()
			s.Name, s.Pencil = "c, d", "true"
			r.Steps = append(r.Steps, s)
		}, replaceOnce(t, text, `"4/32"}]`, `"4/32"}, {name: "c, d", pencil: "true"}]`)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f, err := routine.Parse("runs.yaml", []byte(text))
			if err != nil {
				t.Fatal(err)
			}
			r := f.Routine()
			tt.change(&r)
			if err := f.Set(r); err != nil {
				t.Fatal(err)
			}
			if got := string(f.Bytes()); got != tt.want {
				t.Errorf("the text is now\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

// A key that stands first in its step goes.
func TestSetTakesTheFirstKeyOut(t *testing.T) {
	const head = "footing: 1\nname: a\nsteps:\n"
	for text, want := range map[string]string{
		"  - dynamics: f\n    name: a\n":                  "  - name: a\n",
		"  - dynamics: f # one\n    # two\n    name: a\n": "  -  # one\n    # two\n    name: a\n",
	} {
		f, err := routine.Parse("runs.yaml", []byte(head+text))
		if err != nil {
			t.Fatal(err)
		}
		r := f.Routine()
		r.Steps[0].Accents = nil
		if err := f.Set(r); err != nil {
			t.Fatal(err)
		}
		if got := string(f.Bytes()); got != head+want {
			t.Errorf("the text is now\n%q\nwant\n%q", got, head+want)
		}
	}
}

func dos(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }

func percent(n int64) ladder.StepSize {
	return ladder.StepSize{Kind: ladder.ByPercent, Amount: n * 1000}
}

func TestNew(t *testing.T) {
	s := march.Step(nil)
	s.Rule = ladder.Rule{Kind: ladder.TwoUpOneDown, Clean: 3, Rough: 2}
	s.Pencil = "- not too fast\nbreathe: here"
	s.Accents = click.Accents{{click.Silent, click.Piano, click.Piano, click.Piano}}
	short := ladder.DefaultStep()
	short.Name = "12"
	f, err := routine.New(ladder.Routine{Name: "Yes", Steps: []ladder.Step{s, short}})
	if err != nil {
		t.Fatal(err)
	}
	want := `footing: 1
name: "Yes"
steps:
  - name: Weir Street run
    passage: {piece: Weir Street March, bars: 17-20}
    tempo: {from: 64, goal: 104}
    slots: 4
    dynamics: "- p p p"
    chunk: {start: "18:2", beats: 2}
    rule: two up, one down
    pencil: |-
      - not too fast
      breathe: here
  - name: "12"
`
	if got := string(f.Bytes()); got != want {
		t.Errorf("new routine\n%s\nwant\n%s", got, want)
	}
	if !f.Changed() {
		t.Error("a routine without a file counts as saved")
	}
}

// Set refuses what cannot be read again, and changes nothing.
func TestSetRefusesFaults(t *testing.T) {
	f, err := routine.Parse("runs.yaml", []byte(written))
	if err != nil {
		t.Fatal(err)
	}
	r := f.Routine()
	r.Steps[1].Name = r.Steps[0].Name
	err = f.Set(r)
	if err == nil || !strings.Contains(err.Error(), "step 2") || !strings.Contains(err.Error(), "write a different name") {
		t.Errorf("two steps of one name: %v", err)
	}
	if !bytes.Equal(f.Bytes(), []byte(written)) {
		t.Error("the text was changed all the same")
	}
	if _, err := routine.New(ladder.Routine{}); err == nil {
		t.Error("a routine without a name was written")
	}
}

// What the caller does with its copy changes nothing in the file.
func TestRoutineIsACopy(t *testing.T) {
	f, err := routine.Parse("runs.yaml", []byte(written))
	if err != nil {
		t.Fatal(err)
	}
	r := f.Routine()
	r.Steps[0].Accents[0][0] = click.Silent
	r.Steps[0].Name = "Other"
	if again := f.Routine(); again.Steps[0].Accents[0][0] != click.Forte || again.Steps[0].Name == "Other" {
		t.Error("the file shares its routine with the caller")
	}
}

// Keys that go together leave nothing behind, wherever they stand beside each
// other, and no comment is lost.
func TestNeighboursAreTakenOutTogether(t *testing.T) {
	const head = "footing: 1\nname: Runs\nsteps:\n"
	for _, tt := range []struct{ text, want string }{
		{"  - {name: Run, passage: {bars: 1-2}, meters: [{bar: 2, meter: 3/4}], dynamics: [f, f, f, f]}\n", "  - {name: Run, passage: {bars: 1-2}}\n"},
		{"  - {meters: [{bar: 2, meter: 3/4}], dynamics: [f, f, f, f], name: Run, passage: {bars: 1-2}}\n", "  - {name: Run, passage: {bars: 1-2}}\n"},
		{"  - {name: Run, meters: [{bar: 2, meter: 3/4}], dynamics: [f, f, f, f], passage: {bars: 1-2}}\n", "  - {name: Run, passage: {bars: 1-2}}\n"},
		{"  - dynamics: f\n    meters: # by ear\n      - {bar: 2, meter: 3/4}\n    name: Run\n    passage: {bars: 1-2}\n", "  - name: Run\n    passage: {bars: 1-2}\n# by ear\n"},
		{"  - name: Run\n    dynamics: f\n\n    meters: # by ear\n      - {bar: 2, meter: 3/4}\n    passage: {bars: 1-2}\n", "  - name: Run\n    # by ear\n    passage: {bars: 1-2}\n"},
	} {
		f, err := routine.Parse("runs.yaml", []byte(head+tt.text))
		if err != nil {
			t.Fatal(err)
		}
		r := f.Routine()
		r.Steps[0].Meters, r.Steps[0].Accents = nil, nil
		if err := f.Set(r); err != nil || string(f.Bytes()) != head+tt.want {
			t.Errorf("%sbecomes\n%s%v, want\n%s", tt.text, strings.TrimPrefix(string(f.Bytes()), head), err, tt.want)
		}
	}
}

// One text that no file can hold keeps nothing else from being saved.
func TestSetMakesTextsFit(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"half\thole\u2028on G", "half hole\non G"},
		{strings.Repeat("x", ladder.MaxNote+9), strings.Repeat("x", ladder.MaxNote)},
		{" \x00", ""},
	} {
		f, err := routine.Parse("runs.yaml", []byte(written))
		if err != nil {
			t.Fatal(err)
		}
		r := f.Routine()
		r.Steps[0].Pencil, r.Steps[0].Reps = tt.text, 7
		r.Steps[0].Passage.Piece = "Weir\tStreet"
		if err := f.Set(r); err != nil {
			t.Errorf("%.20q: %v", tt.text, err)
			continue
		}
		if s := f.Routine().Steps[0]; s.Pencil != tt.want || s.Reps != 7 || s.Passage.Piece != "Weir Street" {
			t.Errorf("%.20q became %q with %d reps", tt.text, s.Pencil, s.Reps)
		}
	}
}

// Notes are changed where they stand, with the comments around them; keys that say
// nothing any more go.
func TestSetNotesInPlace(t *testing.T) {
	const text = `footing: 1
name: Runs
steps:
  - name: typed # one
    passage: {bars: 17-18}
    key: Bb # flat
    instrument: {name: clarinet, range: E3-C6} # mine
    marks: # where it trips
      - {at: "17:1", text: R} # right
      - {at: "18:1", text: L, finger: fA}
    notes: | # from the part
      B2dc | % up
        BAGF |
  - name: made
    pattern: # warm up
      key: E flat major
      group: 4 # sixteenths
      figure: thirds
`
	for name, tt := range map[string]struct {
		edit      func(typed, made *ladder.Notes)
		old, news []string
	}{
		"words": {
			func(typed, made *ladder.Notes) { typed.Typed.Key, made.Pattern.Figure = "Eb", "fourths" },
			[]string{"key: Bb #", "figure: thirds"}, []string{"key: Eb #", "figure: fourths"},
		},
		"text": {
			func(typed, _ *ladder.Notes) { typed.Typed.Text = "CDEF |\nGABc |" },
			[]string{"notes: | # from the part\n      B2dc | % up\n        BAGF |\n"}, []string{"notes: |- # from the part\n      CDEF |\n      GABc |\n"},
		},
		"mark": {
			func(typed, _ *ladder.Notes) { typed.Marks[1].Finger = "fB" },
			[]string{"finger: fA"}, []string{"finger: fB"},
		},
		"a mark more": {
			func(typed, _ *ladder.Notes) {
				typed.Marks = append(typed.Marks, ladder.NoteMark{Bar: 18, At: click.Frac(1, 2), Finger: "x"})
			},
			[]string{"finger: fA}\n"}, []string{"finger: fA}\n      - {at: \"18:1+1/2\", finger: x}\n"},
		},
		"emptied": {
			func(typed, made *ladder.Notes) {
				typed.Typed.Key, typed.Marks, typed.Instrument.Range = "", nil, ""
				made.Pattern.Group = 0
			},
			[]string{"    key: Bb # flat\n", ", range: E3-C6", "    marks: # where it trips\n      - {at: \"17:1\", text: R} # right\n      - {at: \"18:1\", text: L, finger: fA}\n", "group: 4 # sixteenths"},
			[]string{"    # flat\n", "", "    # where it trips\n    # right\n", "# sixteenths"},
		},
		"another source": {
			func(_, made *ladder.Notes) {
				*made = ladder.Notes{Score: ladder.ScoreFile{File: "weir-street.musicxml", Part: "Bassoon"}}
			},
			[]string{"    pattern: # warm up\n      key: E flat major\n      group: 4 # sixteenths\n      figure: thirds\n"},
			[]string{"    score: {file: weir-street.musicxml, part: Bassoon}\n    # warm up\n    # sixteenths\n"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			f, err := routine.Parse("notes.yaml", []byte(text))
			if err != nil {
				t.Fatal(err)
			}
			r := f.Routine()
			tt.edit(&r.Steps[0].Notes, &r.Steps[1].Notes)
			if err := f.Patched(r); err != nil {
				t.Fatal(err)
			}
			if err := f.Set(r); err != nil {
				t.Fatal(err)
			}
			want := text
			for i, old := range tt.old {
				if !strings.Contains(want, old) {
					t.Fatalf("%q is not in the text", old)
				}
				want = strings.Replace(want, old, tt.news[i], 1)
			}
			if got := string(f.Bytes()); got != want {
				t.Errorf("reads\n%s\nwant\n%s", got, want)
			}
		})
	}
}

// A list keeps its form and its comments, whatever becomes of its items.
func TestSetKeepsAListsForm(t *testing.T) {
	const head = "footing: 1\nname: Runs\nsteps:\n  - name: Run\n    passage: {bars: 1-20}\n"
	const two = "19 3/4, 20 4/4"
	tests := []struct{ name, old, meters, new string }{
		{"brackets: another value", "    meters: [{bar: 19, meter: 3/4}, {bar: 20, meter: 4/4}] # trio\n", "19 3/4, 20 2/4",
			"    meters: [{bar: 19, meter: 3/4}, {bar: 20, meter: 2/4}] # trio\n"},
		{"brackets: one more", "    meters: [{bar: 19, meter: 3/4}] # trio\n", two, "    meters: [{bar: 19, meter: 3/4}, {bar: 20, meter: 4/4}] # trio\n"},
		{"brackets: two before", "    meters: [{bar: 20, meter: 4/4}] # trio\n", "17 2/4, 18 3/4, 20 4/4",
			"    meters: [{bar: 17, meter: 2/4}, {bar: 18, meter: 3/4}, {bar: 20, meter: 4/4}] # trio\n"},
		{"brackets: the last goes", "    meters: [{bar: 19, meter: 3/4}, {bar: 20, meter: 4/4}] # trio\n", "19 3/4", "    meters: [{bar: 19, meter: 3/4}] # trio\n"},
		{"brackets: the first goes", "    meters: [{bar: 19, meter: 3/4}, {bar: 20, meter: 4/4}] # trio\n", "20 4/4", "    meters: [{bar: 20, meter: 4/4}] # trio\n"},
		{"brackets: the last two go", "    meters: [{bar: 18, meter: 2/4}, {bar: 19, meter: 3/4}, {bar: 20, meter: 4/4}] # trio\n", "18 2/4",
			"    meters: [{bar: 18, meter: 2/4}] # trio\n"},
		{"brackets: all others", "    meters: [{bar: 19, meter: 3/4}] # trio\n", "17 2/4, 18 3/4", "    meters: [{bar: 17, meter: 2/4}, {bar: 18, meter: 3/4}] # trio\n"},
		{"lines in brackets: one more", "    meters: [ # trio\n      {bar: 19, meter: 3/4} # slow\n    ]\n", two,
			"    meters: [ # trio\n      {bar: 19, meter: 3/4}, # slow\n      {bar: 20, meter: 4/4}\n    ]\n"},
		{"lines in brackets: one more behind a comma", "    meters: [ # trio\n      {bar: 19, meter: 3/4}, # slow\n    ]\n", two,
			"    meters: [ # trio\n      {bar: 19, meter: 3/4}, # slow\n      {bar: 20, meter: 4/4},\n    ]\n"},
		{"lines in brackets: one before", "    meters: [\n      {bar: 20, meter: 4/4}, # back\n    ]\n", two,
			"    meters: [\n      {bar: 19, meter: 3/4},\n      {bar: 20, meter: 4/4}, # back\n    ]\n"},
		{"lines in brackets: the first goes", "    meters: [\n      {bar: 19, meter: 3/4}, # slow\n      {bar: 20, meter: 4/4}, # back\n    ]\n", "20 4/4",
			"    meters: [\n      # slow\n      {bar: 20, meter: 4/4}, # back\n    ]\n"},
		{"lines in brackets: the last goes", "    meters: [\n      {bar: 19, meter: 3/4}, # slow\n      {bar: 20, meter: 4/4}\n    ]\n", "19 3/4",
			"    meters: [\n      {bar: 19, meter: 3/4} # slow\n    ]\n"},
		{"dashes: one more", "    meters: # trio\n      - {bar: 19, meter: 3/4} # slow\n", two,
			"    meters: # trio\n      - {bar: 19, meter: 3/4} # slow\n      - {bar: 20, meter: 4/4}\n"},
		{"dashes: one before", "    meters: # trio\n    - {bar: 20, meter: 4/4} # back\n", two,
			"    meters: # trio\n    - {bar: 19, meter: 3/4}\n    - {bar: 20, meter: 4/4} # back\n"},
		{"dashes: one between", "    meters:\n      - {bar: 18, meter: 2/4} # slow\n      - bar: 20 # back\n        meter: 4/4\n", "18 2/4, 19 3/4, 20 4/4",
			"    meters:\n      - {bar: 18, meter: 2/4} # slow\n      - {bar: 19, meter: 3/4}\n      - bar: 20 # back\n        meter: 4/4\n"},
		{"dashes: the first goes", "    meters: # trio\n      - {bar: 19, meter: 3/4}\n      - {bar: 20, meter: 4/4} # back\n", "20 4/4",
			"    meters: # trio\n      - {bar: 20, meter: 4/4} # back\n"},
		{"dashes: the first two go", "    meters: # trio\n      - {bar: 18, meter: 2/4}\n      - {bar: 19, meter: 3/4}\n      - {bar: 20, meter: 4/4}\n", "20 4/4",
			"    meters: # trio\n      - {bar: 20, meter: 4/4}\n"},
		{"dashes: the last two go", "    meters: # trio\n      - {bar: 18, meter: 2/4}\n      - {bar: 19, meter: 3/4}\n      - {bar: 20, meter: 4/4}\n", "18 2/4",
			"    meters: # trio\n      - {bar: 18, meter: 2/4}\n"},
		{"a comment within an item that goes", "    meters: [{bar: 19, # slow\n      meter: 3/4}, {bar: 20, meter: 4/4}]\n", "20 4/4",
			"    meters: [{bar: 20, meter: 4/4}]\n# slow\n"},
		{"dashes: one with a comment goes", "    meters: # trio\n      - {bar: 19, meter: 3/4} # slow\n      - {bar: 20, meter: 4/4}\n", "20 4/4",
			"    meters: # trio\n      # slow\n      - {bar: 20, meter: 4/4}\n"},
		{"dashes below their item", "    meters: # trio\n      -\n        bar: 19\n        meter: 3/4\n", two,
			"    meters:\n      - {bar: 19, meter: 3/4}\n      - {bar: 20, meter: 4/4}\n    # trio\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, crlf := range []bool{false, true} {
				old, want := head+tt.old, head+tt.new
				if crlf {
					old, want = dos(old), dos(want)
				}
				f, err := routine.Parse("runs.yaml", []byte(old))
				if err != nil {
					t.Fatal(err)
				}
				r := f.Routine()
				r.Steps[0].Meters = nil
				for _, part := range strings.Split(tt.meters, ", ") {
					var c click.MeterChange
					var meter string
					if _, err := fmt.Sscan(part, &c.Bar, &meter); err != nil {
						t.Fatal(err)
					}
					if c.Meter, err = click.ParseMeter(meter); err != nil {
						t.Fatal(err)
					}
					r.Steps[0].Meters = append(r.Steps[0].Meters, c)
				}
				if err := f.Set(r); err != nil {
					t.Fatal(err)
				}
				if got := string(f.Bytes()); got != want {
					t.Errorf("the text is now\n%s\nwant\n%s", got, want)
				}
			}
		})
	}
}
