package picture

import (
	"image"
	"image/color"
	"math"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"footing/audio/hear"
	"footing/audio/judge"
	"footing/ui/palette"
)

func TestCheckSize(t *testing.T) {
	for size, ok := range map[image.Point]bool{
		{X: 1600, Y: 1000}: true, {X: 640, Y: 400}: true, {X: 6000, Y: 4000}: true,
		{X: 639, Y: 400}: false, {X: 640, Y: 399}: false, {X: 6001, Y: 400}: false, {X: 640, Y: 4001}: false, {}: false, {X: -5, Y: -5}: false,
	} {
		if err := CheckSize(size); (err == nil) != ok {
			t.Errorf("%v: %v", size, err)
		} else if !ok && !strings.Contains(err.Error(), "write 640x400 to 6000x4000") {
			t.Errorf("%v: %q does not say what would be right", size, err)
		}
	}
}

// 10 ms must be seen: at least 5 pixels in a picture of 1600 by 1000, whatever
// the take; and an even take must not be blown up to look rough.
func TestScale(t *testing.T) {
	pen, err := newPen(image.Pt(1600, 1000), palette.Day())
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		m := played{
			reps: rapid.IntRange(1, 30).Draw(t, "reps"), slots: rapid.IntRange(1, 60).Draw(t, "slots"),
			beat: 4, bpm: 80, scatter: rapid.Float64Range(0, 200).Draw(t, "scatter"), breath: 1, mute: true,
		}.model()
		s := pen.newSheet(m, box{44, 240, 1512, 600})
		if ten := 10 * s.perMs; ten < 5 || ten > 40 {
			t.Fatalf("10 ms are %.1f pixels", ten)
		}
		if s.reach*s.perMs > s.col/2 {
			t.Fatalf("notes reach %.1f from the line in a column of %.1f", s.reach*s.perMs, s.col)
		}
	})
}

// warm counts the pixels in the colour of the weak change, left and right of x.
func warm(img image.Image, p *palette.Palette, from, to float64) (inside, outside int) {
	b := img.Bounds()
	for y := b.Min.Y + b.Dy()*30/100; y < b.Min.Y+b.Dy()*70/100; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, bl, _ := img.At(x, y).RGBA()
			if (color.NRGBA{uint8(r >> 8), uint8(g >> 8), uint8(bl >> 8), 255}) != p.Warm {
				continue
			}
			if fx := float64(x) / float64(b.Dx()); fx >= from && fx <= to {
				inside++
			} else {
				outside++
			}
		}
	}
	return inside, outside
}

// The weak colour lies in the weak column, with the arrow into it, and nowhere
// else among the reps; without a weak change it is not used at all.
func TestTheWeakChangeStandsOut(t *testing.T) {
	for _, p := range []*palette.Palette{palette.Day(), palette.Night()} {
		img, err := Draw(weak(), image.Pt(1200, 750), p)
		if err != nil {
			t.Fatal(err)
		}
		// Slot 6 of 9, with the arrow from slot 5.
		if in, out := warm(img, p, 0.51, 0.67); in < 2000 || out > 0 {
			t.Errorf("%d pixels of the weak colour in its columns, %d elsewhere", in, out)
		}
		img, err = Draw(played{reps: 8, slots: 9, beat: 4, bpm: 72, scatter: 5, breath: 2}.model(), image.Pt(1200, 750), p)
		if err != nil {
			t.Fatal(err)
		}
		if in, out := warm(img, p, 0, 1); in+out > 0 {
			t.Errorf("%d pixels of the weak colour in an even take", in+out)
		}
	}
}

// A report with anything in it is drawn, and several at once.
func TestDrawTakesAnything(t *testing.T) {
	odd := weak()
	odd.Title = strings.Repeat("a very long name\x00\n", 40) + ".wav"
	odd.Subtitle = strings.Repeat("long ", 200)
	odd.SmallPrint = strings.Repeat("Much is to be said of this take. ", 60)
	odd.Sentence = strings.Repeat("It goes on and on. ", 30)
	odd.Report.Notes[3].DeviationMs = math.NaN()
	odd.Report.Notes[4].DeviationMs = math.Inf(1)
	odd.Report.Notes[5].Slot = 400
	odd.Report.Notes[8].GridSeconds = math.Inf(-1)
	odd.Report.Notes[9].Seconds = 1e30
	odd.Report.Slots[1].MeanMs = math.NaN()
	odd.Report.Missed[0].Seconds = math.NaN()
	odd.Report.Notes[6].Kind = judge.Extra
	odd.Report.Notes[7].Kind = judge.Doubled
	over := played{reps: 8, slots: 4, beat: 4, bpm: 72, scatter: 5}.model()
	over.Report.Weak = &judge.WeakChange{FromSlot: 4, ToSlot: 1, LateMs: 20}
	beyond := over
	beyond.Report.Weak = &judge.WeakChange{FromSlot: 4, ToSlot: 5, LateMs: 20}
	one := Model{Report: judge.Report{Notes: []judge.Note{{Onset: hear.Onset{Seconds: 1, Midi: 0}}}}, Sentence: "One note was heard."}
	hour := Model{Sentence: "Many notes."}
	for i := range 20_000 {
		hour.Report.Notes = append(hour.Report.Notes, judge.Note{Onset: hear.Onset{Seconds: float64(i) * 0.2, Midi: 20 + i%90}})
	}
	var wg sync.WaitGroup
	for name, m := range map[string]Model{
		"odd": odd, "over the beat": over, "beyond the rep": beyond, "one note": one, "nothing": {}, "an hour": hour,
		"a slot": played{reps: 3, slots: 1, beat: 1, bpm: 60}.model(), "a rep": played{reps: 1, slots: 12, beat: 12, bpm: 60}.model(),
	} {
		wg.Go(func() {
			img, err := Draw(m, image.Pt(640, 400), palette.Night())
			if err != nil || img.Bounds() != image.Rect(0, 0, 640, 400) {
				t.Errorf("%s: %v", name, err)
			}
		})
	}
	wg.Wait()
}

func TestClock(t *testing.T) {
	for seconds, want := range map[float64]string{0: "0:00", 7: "0:07", 7.5: "0:07.5", 65: "1:05", 3600: "1:00:00", 7325: "2:02:05"} {
		if got := clock(seconds); got != want {
			t.Errorf("%v s is %q, want %q", seconds, got, want)
		}
	}
}

// Scientific pitch notation: A4 is 440 Hz, MIDI note 69; middle C is C4 (60).
func TestPitchName(t *testing.T) {
	for midi, want := range map[int]string{60: "C4", 69: "A4", 34: "A#1", 0: "C-1", -1: "B-2"} {
		if got := pitchName(midi); got != want {
			t.Errorf("note %d is %q, want %q", midi, got, want)
		}
	}
}

func BenchmarkDraw(b *testing.B) {
	m := weak()
	for b.Loop() {
		if _, err := Draw(m, image.Pt(1600, 1000), palette.Day()); err != nil {
			b.Fatal(err)
		}
	}
}
