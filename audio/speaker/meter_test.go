package speaker

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// A device pulls every 10 ms, each time a little late. Whatever the lateness and the drift of its clock, an underrun
// that lasts is counted once and nothing else is.
func TestMeter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const rate = 48_000
		ppm := rapid.Int64Range(-500, 500).Draw(t, "ppm")
		late := rapid.SliceOfN(rapid.Int64Range(0, 700), 50, 50).Draw(t, "late") // frames, up to 15 ms
		late[7] = 0                                                              // now and then it is in time
		dryAt := rapid.IntRange(300, 1500).Draw(t, "dry at")
		loss := rapid.SampledFrom([]int64{0, 0, 480, 960, 20_000}).Draw(t, "loss")
		m := newMeter(rate)
		lead, found := int64(0), 0
		for i := range 2000 {
			now := time.Duration(i) * 10 * time.Millisecond
			truth := 5000 + int64(i)*rate/100*ppm/1_000_000
			if i >= dryAt {
				truth -= loss
			}
			var dry bool
			lead, dry = m.note(now, truth-late[i%len(late)])
			if dry {
				found++
			}
			if i > 200 && (i < dryAt || i > dryAt+300) && (lead < truth-100 || lead > truth+100) {
				t.Fatalf("call %d: lead %d, truth %d", i, lead, truth)
			}
		}
		if want := min(loss, 1); int64(found) != want {
			t.Fatalf("%d underruns found, want %d", found, want)
		}
	})
}

// Gaps too short to be seen one by one are found when they add up.
func TestMeterManyShortGaps(t *testing.T) {
	m := newMeter(48_000)
	found := 0
	for i := range 6000 { // a minute, 2 ms lost every other second
		if _, dry := m.note(time.Duration(i)*10*time.Millisecond, 5000-int64(i/200)*96); dry {
			found++
		}
	}
	if found < 8 {
		t.Errorf("58 ms lost in short gaps were found as %d underruns", found)
	}
}
