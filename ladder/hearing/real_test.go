package hearing

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"footing/audio/click"
	"footing/audio/track"
	"footing/ladder"
	"footing/ladder/notes"
)

// A real player's scale (a tenor saxophone in D minor, an A of some 432 Hz, see the
// README of the data) has no fault against its own notes; where one of the notes is another,
// that one is wrong, but for an octave, which the ears may have wrong.
func TestARealScaleIsReadAsItIsPlayed(t *testing.T) {
	data := os.Getenv("FOOTING_DATA")
	if data == "" {
		t.Log("0 real takes: FOOTING_DATA names no folder")
		return // made takes stand for it
	}
	f, err := track.Open(filepath.Join(data, "real", "sax-tenor-d-minor.wav"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	mono := track.Mono(f)
	ear, err := NewEar(mono.Info().Rate)
	if err != nil {
		t.Fatal(err)
	}
	for block := make([]float32, 1<<14); ; {
		n, err := mono.Read(block)
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		ear.Write(block[:n])
	}
	heard := ear.Close()
	for text, want := range map[string][]string{
		"E^FGA Bc^de ^dcBA G^FE2 |":     nil,
		"E^FGA Bc^d=f ^dcBA G^FE2 |":    {"wrong 8 1 F5 E5"},
		"E^FGA _Bc^de ^dc=BA G^FE2 |":   {"wrong 5 1 Bb4 B4"},
		"E^FGA Bc^de =dcBA G^FE2 |":     {"wrong 9 1 D5 D#5"},
		"E^FGA Bc^de ^dcBA G=FE2 |":     {"wrong 14 1 F4 F#4"},
		"E^FG=A, Bc^de ^dc=B=A G^FE2 |": nil,
	} {
		step := run(func(s *ladder.Step) {
			s.Passage = ladder.Passage{From: 17, To: 17}
			s.Tempo = ladder.Range{From: click.Tempo(77_950), Goal: click.Tempo(77_950), By: ladder.StepSize{Kind: ladder.ByBPM, Amount: 4000}}
			s.Meter, s.Slots, s.Breath = click.MakeMeter(8, 4), click.EvenSlots(2), 0
			s.Chunk = ladder.Chunk{Bar: 17, Length: click.Whole(8)}
			s.Notes.Typed = ladder.TypedNotes{Text: text, Unit: "1/8"}
			s.Notes.Instrument = ladder.Instrument{Name: "tenor saxophone"}
		})
		n, _, err := notes.Of(step, nil)
		if err != nil {
			t.Fatal(err)
		}
		r := Compare(heard, Question{Step: &step, Notes: n})
		if r.Reading == nil {
			t.Errorf("%s: %s", text, r.Sentence)
			continue
		}
		if got := faultsOf(r); !slices.Equal(got, want) || math.Abs(r.Reading.A()-432) > 2 {
			t.Errorf("%s: %q, want %q; A at %.1f Hz: %s", text, got, want, r.Reading.A(), fmt.Sprint(*r.Reading))
		}
	}
}
