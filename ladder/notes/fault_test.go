package notes_test

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ladder/passage/pattern"
)

// typed is a step of bar 17 with notes.
func typed(text string, edit func(*ladder.Step)) ladder.Step {
	return march.Step(func(s *ladder.Step) {
		s.Passage.To = 17
		s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(4)}
		s.Notes.Typed = ladder.TypedNotes{Text: text}
		if edit != nil {
			edit(s)
		}
	})
}

// bars is a score of whole notes, in bars of these numbers.
func bars(parts int, numbers ...string) *passage.Score {
	s := &passage.Score{}
	for i := range parts {
		p := passage.Part{ID: "P" + strconv.Itoa(i+1), Name: "Bassoon " + strconv.Itoa(i+1), Staves: 1}
		for k, n := range numbers {
			p.Bars = append(p.Bars, passage.Bar{Number: n, Length: click.Whole(4), Meter: passage.FromClick(click.MakeMeter(4, 4))})
			p.Notes = append(p.Notes, passage.Note{Bar: k, Duration: click.Whole(4), Voice: "1", Pitch: passage.MiddleC, Sounds: passage.MiddleC})
		}
		s.Parts = append(s.Parts, p)
	}
	if err := s.Settle(); err != nil {
		panic(err)
	}
	return s
}

func from(file, part string, first, last int, edit func(*ladder.Step)) ladder.Step {
	return march.Step(func(s *ladder.Step) {
		s.Passage = ladder.Passage{From: first, To: last}
		s.Chunk = ladder.Chunk{Bar: first, Length: click.Whole(1)}
		s.Notes.Score = ladder.ScoreFile{File: file, Part: part}
		if edit != nil {
			edit(s)
		}
	})
}

// Each fault names its key, and its line and column or its mark.
func TestFaults(t *testing.T) {
	marked := func(places ...click.Beats) func(*ladder.Step) {
		return func(s *ladder.Step) {
			for _, at := range places {
				s.Notes.Marks = append(s.Notes.Marks, ladder.NoteMark{Bar: 17, At: at, Text: "R"})
			}
		}
	}
	made := func(w pattern.Words, edit func(*ladder.Step)) ladder.Step {
		return typed("", func(s *ladder.Step) {
			s.Passage.To = 18
			s.Notes.Pattern = w
			if edit != nil {
				edit(s)
			}
		})
	}
	for name, tt := range map[string]struct {
		step      ladder.Step
		score     *passage.Score
		key       string
		line, col int
		mark      int
		says      string
	}{
		"typed":      {typed("C2D2 E2F2 |\n  G2A2 Q2", nil), nil, "notes", 2, 8, -1, ""},
		"key alone":  {typed("", func(s *ladder.Step) { s.Notes.Typed.Key = "Bb" }), nil, "key", 0, 0, -1, "there are no typed notes"},
		"unit alone": {typed("", func(s *ladder.Step) { s.Notes.Typed.Unit = "1/8" }), nil, "unit", 0, 0, -1, "there are no typed notes"},
		"mark alone": {typed("", marked(click.Beats{})), nil, "marks", 0, 0, -1, "no notes to be marked"},
		"rests":      {typed("Z |", nil), nil, "notes", 0, 0, -1, "there is no note in bar 17"},
		"too long":   {typed("C8 | D8 | E8", nil), nil, "bars", 0, 0, -1, "go on to bar 19, the passage to bar 17; write bars: 17-19"},
		"a bar too long": {typed("C8 | D8 |", nil), nil, "bars", 0, 0, -1,
			"go on to bar 18, the passage to bar 17; write bars: 17-18"},
		"pickup":                 {typed("C2 | D8 |", nil), nil, "pickup", 0, 0, -1, "write pickup: 1"},
		"mark before the first":  {typed("z2 D2 E4 |", marked(click.Beats{})), nil, "marks", 0, 0, 0, "no note begins at 17:1; write where one does, such as 17:2"},
		"mark behind the last":   {typed("C2 D2 E4 |", marked(click.Beats{}, click.Whole(3))), nil, "marks", 0, 0, 1, "such as 17:3"},
		"mark nearer the first":  {typed("C2 D2 E4 |", marked(click.Frac(1, 3))), nil, "marks", 0, 0, 0, "such as 17:1"},
		"mark nearer the second": {typed("C2 D2 E4 |", marked(click.Frac(2, 3))), nil, "marks", 0, 0, 0, "such as 17:2"},
		"two meters": {made(pattern.Words{Key: "C"}, func(s *ladder.Step) { s.Meters = []click.MeterChange{{Bar: 18, Meter: click.MakeMeter(3, 4)}} }), nil,
			"pattern key", 0, 0, -1, "the meter changes in bar 18"},
		"range":        {made(pattern.Words{Key: "C", Figure: "thirds", Range: "C4-D4"}, nil), nil, "pattern range", 0, 0, -1, "the range C4-D4"},
		"parts":        {from("a.xml", "", 1, 1, nil), bars(2, "1"), "score part", 0, 0, -1, `the score has 2 parts; name one: "Bassoon 1" (P1), "Bassoon 2" (P2)`},
		"part":         {from("a.xml", "Tuba", 1, 1, nil), bars(2, "1"), "score part", 0, 0, -1, `no part is named "Tuba"`},
		"voice":        {from("a.xml", "", 3, 4, func(s *ladder.Step) { s.Notes.Score.Voice = "2" }), bars(1, "3", "4"), "score voice", 0, 0, -1, `has no voice "2"; write one of 1`},
		"first bar":    {from("a.xml", "", 5, 6, nil), bars(1, "X1", "3", "4"), "bars", 0, 0, -1, "the score has no bar 5; write bars of the score such as 3"},
		"last bar":     {from("a.xml", "", 3, 6, nil), bars(1, "3", "4"), "bars", 0, 0, -1, "the score has no bar 5 behind bar 4; write bars up to 4"},
		"named bars":   {from("a.xml", "", 5, 6, nil), bars(1, "X1"), "bars", 0, 0, -1, "such as 1"},
		"left out":     {from("a.xml", "", 3, 5, nil), bars(1, "3", "5"), "bars", 0, 0, -1, "bar 5 comes after bar 3; the numbers must follow each other"},
		"other meter":  {from("a.xml", "", 3, 4, func(s *ladder.Step) { s.Meter = click.MakeMeter(3, 4) }), bars(1, "3", "4"), "meter", 0, 0, -1, "bar 3 is in another meter in the score, of 4 beats where the step has 3"},
		"other change": {from("a.xml", "", 3, 4, func(s *ladder.Step) { s.Meters = []click.MeterChange{{Bar: 4, Meter: click.MakeMeter(3, 4)}} }), bars(1, "3", "4"), "meters", 0, 0, -1, "bar 4 is in another meter"},
		"before the change": {from("a.xml", "", 3, 4, func(s *ladder.Step) {
			s.Meter = click.MakeMeter(5, 4)
			s.Meters = []click.MeterChange{{Bar: 4, Meter: click.MakeMeter(4, 4)}}
		}), bars(1, "3", "4"), "meter", 0, 0, -1, "bar 3 is in another meter"},
		"no pickup": {from("a.xml", "", 3, 4, func(s *ladder.Step) { s.Pickup = click.Whole(1) }), bars(1, "3", "4"), "pickup", 0, 0, -1, "a pickup of 0 beats, the step one of 1"},
	} {
		n, _, err := notes.Of(tt.step, tt.score)
		var faults notes.Faults
		if !errors.As(err, &faults) || n != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		f := faults[0]
		if f.Key != tt.key || f.Line != tt.line || f.Col != tt.col || f.Mark != tt.mark || !strings.Contains(f.Error(), tt.says) || f.What == "" || f.Want == "" {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

// A pattern has as many notes to a beat as the step has slots where that can be,
// and lies in the range of the instrument.
func TestPatternFollowsTheStep(t *testing.T) {
	for slots, beats := range map[int]click.Beats{1: click.Frac(1, 4), 2: click.Frac(1, 2), 3: click.Frac(1, 3), 4: click.Frac(1, 4), 5: click.Frac(1, 4), 6: click.Frac(1, 6)} {
		s := typed("", func(s *ladder.Step) {
			s.Passage.To = 20
			s.Slots = click.EvenSlots(slots)
			s.Notes.Pattern = pattern.Words{Key: "C", Octaves: 1}
			s.Notes.Instrument = ladder.Instrument{Name: "bassoon"}
		})
		n, _, err := notes.Of(s, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := n.All[0].To; got != beats || n.All[0].Pitch.String() != "C2" || len(n.All) != 15 {
			t.Errorf("%d slots: %d notes of %s beats from %s", slots, len(n.All), got, n.All[0].Pitch)
		}
		if clef := n.Part.At(0, click.Beats{}, 1).Clef; clef.Sign != "F" {
			t.Errorf("a bassoon's pattern stands in clef %s", clef)
		}
	}
}

// What a step says of its instrument stands before what the table has.
func TestInstrumentOfAStep(t *testing.T) {
	s := typed("C8 |", func(s *ladder.Step) { s.Notes.Instrument = ladder.Instrument{Name: "clarinet", Sounds: "A3"} })
	n, _, err := notes.Of(s, nil)
	if err != nil || n.All[0].Sounds.String() != "A3" {
		t.Errorf("%v, %+v", err, n)
	}
	i := notes.Instrument(march.Step(func(s *ladder.Step) { s.Notes.Instrument = ladder.Instrument{Name: "ophicleide", Range: "B1-C5"} }))
	if i.Name != "ophicleide" || i.Range.String() != "B1-C5" || i.Transpose != (passage.Transposition{}) {
		t.Errorf("%+v", i)
	}
	if notes, _, err := notes.Of(march.Step(nil), nil); notes != nil || err != nil {
		t.Errorf("a step without notes gives %v, %v", notes, err)
	}
}
