package judge

import (
	"math"
	"slices"
	"testing"

	"footing/audio/hear"
)

// row is a rep of sixteenths at 72 bpm, each note late by so many milliseconds.
func row(lateMs ...float64) (onsets []hear.Onset, places []float64) {
	for i, ms := range lateMs {
		at := 1 + float64(i)*60/72/4
		places = append(places, at)
		onsets = append(onsets, hear.Onset{Seconds: at + ms/1000, Certainty: 1, PlacedMs: 2})
	}
	return onsets, places
}

func TestSetRep(t *testing.T) {
	onsets, places := row(30, 32, 28, 30, 31, 29)
	r := SetRep(onsets, places, 0.03)
	if len(r.Placed) != 6 || r.Missed != 0 || len(r.Besides) != 0 || math.Abs(r.SlotMs-1000*60.0/72/4) > 1e-9 {
		t.Fatalf("%+v", r)
	}
	for i, want := range []float64{0, 2, -2, 0, 1, -1} {
		if n := r.Placed[i]; n.Place != i || math.Abs(n.LateMs-want) > 1e-6 {
			t.Errorf("note %d: %+v, want %v ms late", i, n, want)
		}
	}
	if late := SetRep(onsets, places, 0).LateMs(); math.Abs(late-30) > 1e-6 {
		t.Errorf("late by %v ms, want 30", late)
	}
	extra := slices.Insert(slices.Clone(onsets), 2, hear.Onset{Seconds: places[1] + 0.1, Certainty: 0.7})
	extra = slices.Delete(extra, 5, 6)
	if r := SetRep(extra, places, 0.03); r.Missed != 1 || !slices.Equal(r.Besides, []float64{0.7}) {
		t.Errorf("a note missed and one too many: %+v", r)
	}
	if r := SetRep(nil, places, 0); r.Missed != 6 || r.LateMs() != 0 || r.Rough() < 0.99 {
		t.Errorf("silence: %+v", r)
	}
	if r := SetRep(onsets, nil, 0); r.Missed != 0 || len(r.Besides) != 6 {
		t.Errorf("nothing expected: %+v", r)
	}
}

// The bounds of a slot of 208 ms are 29 ms off the place and 42 ms from note to
// note.
func TestRough(t *testing.T) {
	for _, tt := range []struct {
		name string
		late []float64
		want [2]float64
	}{
		{"even", []float64{0, 2, -2, 1, 0}, [2]float64{0, 0.01}},
		{"one on the edge", []float64{0, 0, 0.14 * 60_000 / 72 / 4, 0, 0}, [2]float64{0.45, 0.55}},
		{"one far off", []float64{0, 0, 40, 0, 0}, [2]float64{0.99, 1}},
		{"each within, but limping", []float64{24, -24, 24, -24, 24}, [2]float64{0.95, 1}},
		{"each within, and evenly late", []float64{24, 24, 24, 24, 24}, [2]float64{0, 0.1}},
	} {
		onsets, places := row(tt.late...)
		if p := SetRep(onsets, places, 0).Rough(); p < tt.want[0] || p > tt.want[1] {
			t.Errorf("%s: rough by %.3f, want %v", tt.name, p, tt.want)
		}
	}
	// A place that is not known to anything is taken as any onset's.
	onsets, places := row(0, 27, 0, 0)
	onsets[1].PlacedMs = 0
	unknown := SetRep(onsets, places, 0).Rough()
	onsets[1].PlacedMs = placedMs
	if p := SetRep(onsets, places, 0).Rough(); p != unknown || p < 0.2 {
		t.Errorf("rough by %.3f, and by %.3f when it is not told how well it is placed", p, unknown)
	}
}
