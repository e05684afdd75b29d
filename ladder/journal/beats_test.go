package journal

import (
	"reflect"
	"testing"

	"footing/audio/click"
	"footing/ladder"
	"footing/ladder/march"
)

func TestBeats(t *testing.T) {
	step := march.Step(func(s *ladder.Step) {
		s.Passage.From, s.Passage.To, s.Pickup = 17, 18, click.Frac(1, 2)
		s.Chunk.Bar = 17
	})
	chunks := []ChunkBest{
		{"17:1", "4", true, click.BPM(60)},
		{"17:4", "2", false, click.BPM(72)},
		{"18:2", "1/2", false, click.BPM(100)}, // no whole beat
		{"18:2+1/2", "3/2", false, click.BPM(80)},
		{"16:4+1/2", "1/2", false, click.BPM(90)}, // of the pickup, which is none
		{"23:1", "4", false, click.BPM(104)},      // no longer in the passage
		{"?", "4", false, click.BPM(104)},
	}
	var got []string
	for _, b := range Beats(step, chunks) {
		got = append(got, b.String())
	}
	want := []string{"0", "60", "60", "60", "72", "72", "0", "80", "0"} // from the pickup's beat on
	if !reflect.DeepEqual(got, want) {
		t.Errorf("the beats are %q, want %q", got, want)
	}
}
