package hear_test

import (
	"context"
	"math"
	"testing"

	"footing/audio/hear"
	"footing/audio/stat"
	"footing/audio/takes"
)

// In a living room notes are still found and placed, and how well they are is told
// as it is; that there is much room is heard as well.
func TestRoomsAreHeard(t *testing.T) {
	for _, c := range []struct {
		metres         float64
		f, most        float64 // least F, and the most error in ms
		least, highest float64 // of Live
	}{
		{0, 0.99, 4, 0, 0.25}, {0.6, 0.96, 6, 0.3, 1}, {1.5, 0.94, 7, 0.4, 1},
	} {
		total := &takes.Total{}
		var squares, told, live []float64
		for i, a := range []takes.Articulation{takes.Tongued, takes.Legato, takes.Faded, takes.Tongued, takes.Legato, takes.Tongued} {
			take, err := takes.PlayFigure(context.Background(), takes.Figure{
				Instrument: takes.Instruments()[i%5], Bank: takes.MadeUp, Articulation: a, Keys: []int{0, 4, 2, 9, 7, 11, 5, 2},
				BPM: 76, Slots: 4, Reps: 5, Breath: 1, ScatterMs: 4, Room: takes.Room{Metres: c.metres, Walls: i%2 == 0}, Seed: uint64(i),
			})
			if err != nil {
				t.Fatal(err)
			}
			l, err := hear.NewListener(takes.Rate)
			if err != nil {
				t.Fatal(err)
			}
			l.Write(take.Samples)
			l.Close()
			onsets := l.Onsets()
			l.Refine(onsets)
			r := takes.Judge(take, onsets)
			total.Add(r)
			live = append(live, l.Hearing().Live)
			for k, p := range r.Pairs {
				squares = append(squares, r.ErrorsMs[k]*r.ErrorsMs[k])
				told = append(told, onsets[p.Est].PlacedMs*onsets[p.Est].PlacedMs)
			}
		}
		e, _ := stat.MeanSpread(squares)
		m, _ := stat.MeanSpread(told)
		ratio := math.Sqrt(e / m)
		if total.Score().F < c.f || math.Sqrt(e) > c.most || ratio < 0.4 || ratio > 1.6 {
			t.Errorf("%.1f m: F %.4f, off by %.2f ms, %.2f of what is told", c.metres, total.Score().F, math.Sqrt(e), ratio)
		}
		if v := stat.Median(live); v < c.least || v > c.highest {
			t.Errorf("%.1f m: the room is said to be %.2f live", c.metres, v)
		}
		t.Logf("%.1f m: F %.4f, off by %.2f ms, %.2f of what is told, live %.2f", c.metres, total.Score().F, math.Sqrt(e), ratio, stat.Median(live))
	}
}

// Slurs are placed in a room nearly as well as in a dry one.
func TestSlursInARoom(t *testing.T) {
	most := map[takes.Articulation]float64{takes.Slurred: 2, takes.Faded: 3.5} // ms
	for i, a := range []takes.Articulation{takes.Slurred, takes.Faded, takes.Slurred, takes.Faded} {
		take, err := takes.PlayFigure(context.Background(), takes.Figure{
			Instrument: takes.Instruments()[i], Bank: takes.MadeUp, Articulation: a, Keys: []int{0, 4, 2, 9, 7, 11, 5, 2},
			BPM: 80, Slots: 4, Reps: 8, Breath: 1, ScatterMs: 4, Room: takes.Room{Metres: 0.6, Walls: i%2 == 0}, Seed: uint64(i),
		})
		if err != nil {
			t.Fatal(err)
		}
		onsets, err := takes.Hear(take)
		if err != nil {
			t.Fatal(err)
		}
		total := &takes.Total{}
		total.Add(takes.Judge(take, onsets))
		if total.Score().F < 0.98 || total.SpreadMs() > most[a] {
			t.Errorf("%s %s: F %.4f, spread %.2f ms", takes.Instruments()[i].Name, a, total.Score().F, total.SpreadMs())
		}
		t.Logf("%s %s: F %.4f, spread %.2f ms", takes.Instruments()[i].Name, a, total.Score().F, total.SpreadMs())
	}
}
