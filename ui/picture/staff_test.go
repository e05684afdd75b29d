package picture

import (
	"fmt"
	"image"
	"path/filepath"
	"strings"
	"testing"

	"footing/audio/click"
	"footing/audio/hear"
	"footing/ladder"
	"footing/ladder/hearing"
	"footing/ladder/march"
	"footing/ladder/notes"
	"footing/ladder/passage"
	"footing/ui/palette"
)

// noted is a report on a take of a step with notes: eight reps, the third change late
// by 25 ms.
func noted(t *testing.T) hearing.Report {
	t.Helper()
	step := march.Step(func(s *ladder.Step) {
		s.Passage.To = 17
		s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(2), Landing: true}
		s.Notes.Typed = ladder.TypedNotes{Text: "G,A,B,D CB,A,C B,4 z4 |", Key: "B flat major", Unit: "1/16"}
		s.Notes.Instrument = ladder.Instrument{Name: "bassoon"}
	})
	n, _, err := notes.Of(step, nil)
	if err != nil {
		t.Fatal(err)
	}
	return heard(step, n, 8)
}

// heard is a report on so many reps of a step.
func heard(step ladder.Step, n *notes.Notes, reps int) hearing.Report {
	beat := 60 / step.Tempo.From.BPM()
	period := beat * float64(step.Loop().RepBeats()+step.Breath)
	var r hearing.Recording
	for rep := range reps {
		for i, w := range n.Wants(step) {
			o := hear.Onset{Seconds: 1 + float64(rep)*period + beat*float64(w.At.Num())/float64(w.At.Den()), Midi: w.Sounds[0] / 100, Certainty: 1, PlacedMs: 1}
			o.Seconds += float64((rep*5+i*3)%7-3) / 1500
			if i == 3 {
				o.Seconds += 0.025
			}
			r.Onsets = append(r.Onsets, o)
		}
	}
	r.Hearing.Seconds = r.Onsets[len(r.Onsets)-1].Seconds + 1
	return hearing.Compare(r, hearing.Question{Step: &step, Notes: n})
}

func TestNotesStandAboveTheirColumns(t *testing.T) {
	r := noted(t)
	if !strings.Contains(r.Sentence, "from B flat to D") {
		t.Errorf("%q", r.Sentence)
	}
	wrong := hearing.Fault{Kind: hearing.WrongNote, Slot: 3, Rep: 2, Written: passage.Pitch{Letter: passage.B, Octave: 3, Alter: passage.Flat}, Heard: passage.Pitch{Letter: passage.B, Octave: 3}}
	r.Reading.Faults = append(r.Reading.Faults, wrong)
	r.Sentence = "B is played instead of B flat at 17:1+1/2 in one of eight reps. " + r.Sentence
	m := Of("weir-street-run.wav", r, nil)
	if got := fmt.Sprint(m.Notes.Pitches); got != "[G3 A3 Bb3 D4 C4 Bb3 A3 C4 Bb3]" {
		t.Errorf("pitches %s", got)
	}
	if !strings.Contains(m.SmallPrint, `In the routine: chunk: {start: "17:1", beats: 1, landing: true}`) {
		t.Errorf("%q", m.SmallPrint)
	}
	for name, p := range map[string]*palette.Palette{"notes-day": palette.Day(), "notes-night": palette.Night()} {
		got, err := Draw(m, image.Pt(1200, 750), p)
		if err != nil {
			t.Fatal(err)
		}
		golden(t, filepath.Join("testdata", name+".png"), got)
	}
}
