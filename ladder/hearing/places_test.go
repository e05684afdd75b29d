package hearing

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder"
)

// A beat at 60 is 48 000 frames: sixteenths every 12 000.
func TestPlaces(t *testing.T) {
	loop := run(nil).Loop()
	rep := loop.RepPhrase(click.BPM(60))
	want := []int64{1000, 13_000, 25_000, 37_000, 49_000, 61_000, 73_000, 85_000, 97_000}
	if got := Places(rep, 1000, 48_000); !slices.Equal(got, want) {
		t.Errorf("notes at %v, want %v", got, want)
	}
	// A chunk that begins within its beat is led in without a note.
	loop = run(func(s *ladder.Step) { s.Chunk.At, s.Chunk.Length = click.Frac(3, 2), click.Frac(1, 2) }).Loop()
	if got := Places(loop.RepPhrase(click.BPM(60)), 0, 48_000); !slices.Equal(got, []int64{24_000, 36_000, 48_000}) {
		t.Errorf("notes at %v", got)
	}
	in, _ := loop.CountInPhrase(click.BPM(60))
	breath, _ := loop.BreathPhrase(click.BPM(60))
	if got := append(Places(in, 0, 48_000), Places(breath, 0, 48_000)...); len(got) > 0 {
		t.Errorf("notes in a count-in or a breath at %v", got)
	}
}

// The places of a rep are those of the grid that a take of it is judged by.
func TestPlacesAreTheGrids(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := run(func(s *ladder.Step) {
			s.Slots = click.EvenSlots(rapid.IntRange(1, 12).Draw(t, "slots"))
			s.Chunk.Length = click.Whole(rapid.IntRange(1, 4).Draw(t, "beats"))
			s.Chunk.Landing = rapid.Bool().Draw(t, "landing")
			s.Pulse = rapid.SampledFrom([]click.Pulse{click.OnBeat, click.Doubled, click.Halved, click.Offbeat}).Draw(t, "pulse")
		})
		tempo := click.BPM(rapid.IntRange(10, 400).Draw(t, "bpm"))
		rate := rapid.SampledFrom([]int{8000, 44_100, 48_000, 192_000}).Draw(t, "rate")
		start := rapid.Int64Range(0, 1<<40).Draw(t, "start")
		places := Places(step.Loop().RepPhrase(tempo), start, rate)
		grid := Of(step, tempo).Grid(1, 0).Places
		if len(places) != len(grid) {
			t.Fatalf("%d places, the grid has %d", len(places), len(grid))
		}
		for i, p := range places {
			// The grid is reckoned at 48 000 Hz with the fraction of a frame.
			if d := float64(p-places[0]) - grid[i].Seconds*float64(rate); math.Abs(d) > 1 {
				t.Fatalf("place %d lies %.2f frames off the grid's", i, d)
			}
		}
	})
}
