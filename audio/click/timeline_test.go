package click

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// traditional are the 39 marks of a metronome (horn list, "Metronome Scale",
// msg29183 and msg29184).
var traditional = []int{
	40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92,
	96, 100, 104, 108, 112, 116, 120, 126, 132, 138, 144, 152, 160, 168, 176, 184, 192, 200, 208,
}

// exactly is the judge: beats · rate · 60 000 / tempo as a big rational.
func exactly(b Beats, t Tempo, rate int) *big.Rat {
	frames := new(big.Rat).Mul(rat(b), big.NewRat(int64(rate)*60_000, 1))
	return frames.Quo(frames, big.NewRat(int64(t), 1))
}

// off is how far a frame lies from its exact place.
func off(frame int64, exact *big.Rat) *big.Rat {
	d := new(big.Rat).Sub(big.NewRat(frame, 1), exact)
	return d.Abs(d)
}

var half = big.NewRat(1, 2)

// For every mark and every subdivision, a whole day of phrases is walked the
// way the renderer walks it. The clicks of its first and of its last minute are
// set against their exact places in integers, |2·frame·den − 2·num| ≤ den: n
// beats a minute in s slots lie on multiples of 60·rate/(n·s) samples, so that a
// minute holds every fraction of a sample that the day can. Between them, so is
// the first click of every phrase of one minute in each hour. Some are set
// against math/big as well, so that the integers have a judge too.
func TestEveryClickOfADayIsWithinHalfASample(t *testing.T) {
	for _, bpm := range traditional {
		t.Run(BPM(bpm).String(), func(t *testing.T) {
			t.Parallel()
			for slots := 1; slots <= MaxSlots; slots++ {
				walkDay(t, bpm, slots)
			}
		})
	}
}

func walkDay(t *testing.T, bpm, slots int) {
	const rate, minutes, phrase = 48_000, 24 * 60, 7 // seven beats divide no minute
	line := NewTimeline(0, BPM(bpm), rate)
	den := int64(bpm * slots)
	check := func(beat, slot int) {
		at := Whole(beat % phrase).Add(EvenSlots(slots).At(slot))
		frame := line.At(at).Round()
		num := (int64(beat*slots) + int64(slot)) * rate * 60
		if d := abs(2*frame*den - 2*num); d > den {
			t.Fatalf("%d slots, beat %d, slot %d: frame %d is %d/%d of a sample off", slots, beat, slot, frame, d, 2*den)
		}
		if beat%997 == 0 {
			exact := exactly(Whole(beat).Add(EvenSlots(slots).At(slot)), BPM(bpm), rate)
			if off(frame, exact).Cmp(half) > 0 {
				t.Fatalf("%d slots, beat %d: frame %d, exactly %s", slots, beat, frame, exact.FloatString(6))
			}
		}
	}
	for first := 0; first < bpm*minutes; first += phrase {
		whole := first < bpm || first >= bpm*(minutes-1)
		for beat := first; whole && beat < min(first+phrase, bpm*minutes); beat++ {
			for slot := range slots {
				check(beat, slot)
			}
		}
		if first/bpm%60 == 0 {
			check(first, 0)
		}
		line.Advance(Whole(phrase))
	}
}

// The same for any tempo, rate, subdivision and any changes of tempo on the
// way: the sum of exact spans is the judge.
func TestClicksStayExactThroughTempoChanges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]int{8_000, 44_100, 48_000, 96_000, 192_000}).Draw(t, "rate")
		tempos := rapid.Int64Range(int64(MinTempo), int64(MaxTempo))
		tempo := Tempo(tempos.Draw(t, "tempo"))
		line := NewTimeline(0, tempo, rate)
		exact := new(big.Rat)
		for range rapid.IntRange(1, 40).Draw(t, "phrases") {
			length := Whole(rapid.IntRange(1, 300_000).Draw(t, "length"))
			slots := rapid.Int64Range(1, MaxSlots).Draw(t, "slots")
			slot := Frac(rapid.Int64Range(0, slots*4).Draw(t, "slot"), slots)
			want := new(big.Rat).Add(exact, exactly(slot, tempo, rate))
			// Past changes of tempo are kept to 2⁻⁶⁴ of a sample each.
			limit := new(big.Rat).Add(half, new(big.Rat).SetFrac64(1, 1<<50))
			if got := line.At(slot).Round(); off(got, want).Cmp(limit) > 0 {
				t.Fatalf("frame %d, exactly %s", got, want.FloatString(9))
			}
			next := Tempo(tempos.Draw(t, "next tempo"))
			if rapid.Bool().Draw(t, "change within the phrase") {
				line.Change(slot, next)
				exact.Add(exact, exactly(slot, tempo, rate))
				exact.Add(exact, exactly(length.Add(slot).Sub(slot), next, rate))
				line.Advance(slot.Add(length))
			} else {
				line.Advance(length)
				line.Change(Beats{}, next)
				exact.Add(exact, exactly(length, tempo, rate))
			}
			tempo = next
		}
	})
}

// At 208 bpm and 48 kHz a beat is 13846 2/13 samples. A rounded period, added
// up for three minutes (624 beats), is 96 samples early; a timeline is not
// (samples per beat: check values computed from the definition).
func TestNoRoundedPeriodIsAddedUp(t *testing.T) {
	const beats = 208 * 3
	line := NewTimeline(0, BPM(208), 48_000)
	for range beats {
		line.Advance(Whole(1))
	}
	got := line.At(Beats{}).Round()
	if want := int64(3 * 60 * 48_000); got != want {
		t.Errorf("beat %d lies at frame %d, want %d", beats, got, want)
	}
	if summed := int64(beats * 13_846); got-summed != 96 {
		t.Errorf("a summed rounded period is off by %d samples, want 96", got-summed)
	}
}

// Whole samples a beat at 48 kHz, and those that are not whole (check values
// computed from the definition).
func TestSamplesPerBeat(t *testing.T) {
	for bpm, want := range map[int]Place{
		40: {72_000, 0}, 60: {48_000, 0}, 72: {40_000, 0}, 100: {28_800, 0}, 144: {20_000, 0}, 192: {15_000, 0}, 200: {14_400, 0},
		63:  {45_714, 0x4924924924924924}, // 45714 2/7
		208: {13_846, 0x2762762762762762}, // 13846 2/13
	} {
		if got := Span(Whole(1), BPM(bpm), 48_000); got != want {
			t.Errorf("a beat at %d bpm is %d + %#x/2^64 samples, want %d + %#x/2^64", bpm, got.Frame, got.Frac, want.Frame, want.Frac)
		}
	}
}

func TestRoundingIsHalfUp(t *testing.T) {
	for _, c := range []struct {
		in   Place
		want int64
	}{{Place{7, 0}, 7}, {Place{7, 1<<63 - 1}, 7}, {Place{7, 1 << 63}, 8}, {Place{7, 1<<64 - 1}, 8}} {
		if got := c.in.Round(); got != c.want {
			t.Errorf("%+v rounds to %d, want %d", c.in, got, c.want)
		}
	}
}

func BenchmarkTimelineAt(b *testing.B) {
	line := NewTimeline(0, BPM(208), 48_000)
	b.ReportAllocs()
	for b.Loop() {
		line.At(Frac(3, 4))
	}
}
