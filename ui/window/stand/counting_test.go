package stand

import (
	"testing"

	"footing/audio/click"
	"footing/ladder"
)

// The line over the lane counts as the lane does: compound beats by their own words, and
// the first group of an additive meter.
func TestTheLineCountsAsTheLane(t *testing.T) {
	for _, tt := range []struct {
		meter string
		slots int
		count click.Counting
		want  string
	}{
		{"4/4", 4, click.CountNumber, "1 e & a"},
		{"4/4", 1, click.CountNone, "off"},
		{"6/8", 3, click.CountNumber, "1 la li"},
		{"6/8", 6, click.CountNumber, "1 ta la ta li ta"},
		{"6/8", 6, click.CountTakadimi, "ta va ki di da ma"},
		{"6/8", 3, click.CountKodaly, "ti ti ti"},
		{"3+2/8", 1, click.CountGordon, "du ba bi"},
		{"2+3/8", 1, click.CountTakadimi, "ta di"},
		{"2+2+3/8", 2, click.CountTakadimi, "ta ka di mi"},
		{"3/4", 5, click.CountGordon, "du"},
	} {
		s := ladder.DefaultStep()
		var err error
		if s.Meter, err = click.ParseMeter(tt.meter); err != nil {
			t.Fatal(err)
		}
		s.Unit, s.Slots, s.Count, s.Chunk.Length = s.Meter.Unit(), click.EvenSlots(tt.slots), tt.count, click.Whole(1)
		if got := counting(s); got != tt.want {
			t.Errorf("%s in %d by %s is %q, want %q", tt.meter, tt.slots, tt.count, got, tt.want)
		}
	}
}
