package draw

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"pgregory.net/rapid"

	"footing/audio/click"
	"footing/ladder/passage"
	"footing/ui/engrave"
	"footing/ui/engrave/sample"
)

// noted is a lane of so many beats of sixteenths with a landing, counted in for
// two beats and breathed after for two, under the notes of a line in 4/4 from its
// start on.
func noted(t testing.TB, l passage.Line, beats int) LaneModel {
	t.Helper()
	m := whole(beats, 2, "1", "e", "&", "a")
	m.Heard, m.Staff = -1, true
	m.Notes = &LaneNotes{
		Excerpt: engrave.Excerpt{Line: l, To: click.Whole(beats + 1)},
		Start:   click.Whole(-2), Beat: click.Whole(1), Breath: beats + 3,
	}
	return m
}

// sixteenths is a line of so many bars, with a mark.
func sixteenths(t testing.TB, bars int, bar string) passage.Line {
	t.Helper()
	all := make([]string, bars)
	for i := range all {
		all[i] = bar
	}
	l, err := sample.Line(sample.Tenor, 2, "4/4", all...)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

const run = "D4:16 E4:16 F#4:16 G4:16 A4:8 B4:16 C#5:16 D5:16 C#5:16 B4:16 A#4:16 G4:4"

// hear lights a stroke.
func (l *Lane) hear(stroke int) {
	m := l.model
	m.Now, m.Heard = stroke, stroke
	l.Set(m)
}

// Each head stands over its stroke, on whatever page and while it turns.
func TestLawOfNotesOverStrokes(t *testing.T) {
	app(t)
	rapid.Check(t, func(r *rapid.T) {
		beats := rapid.IntRange(1, 15).Draw(r, "beats")
		var bars []string
		for range 4 {
			var bar []string
			for left := 16; left > 0; {
				length := min(rapid.SampledFrom([]int{1, 1, 2, 4}).Draw(r, "length"), left)
				for length == 3 || left%length != 0 {
					length--
				}
				left -= length
				pitch := rapid.SampledFrom([]string{"C3", "E3", "F#3", "Bb3", "C#4", "D4", "A4"}).Draw(r, "pitch")
				bar = append(bar, fmt.Sprintf("%s:%d", pitch, 16/length))
			}
			bars = append(bars, strings.Join(bar, " "))
		}
		line, err := sample.Line(sample.Bass, rapid.IntRange(-7, 7).Draw(r, "key"), "4/4", bars...)
		if err != nil {
			r.Fatal(err)
		}
		m := noted(t, line, beats)
		size := fyne.NewSize(rapid.Float32Range(600, 1300).Draw(r, "width"), 0)
		size.Height = size.Width * rapid.Float32Range(0.26, 0.4).Draw(r, "height")
		l := NewLane(func(int, int, int) {})
		l.Set(m)
		show(t, l, size.Width, size.Height, size.Width/810)
		l.hear(rapid.IntRange(-1, 4*(beats+5)-1).Draw(r, "heard"))
		s := l.staff(size)
		parts, _ := l.stretches(size, s)
		for _, part := range parts {
			heads := 0
			for _, p := range s.drawing(part).Notes {
				at := m.Notes.At(p.Onset)
				if at < part.from || at >= part.to {
					continue
				}
				heads++
				head := float64(s.x) + p.X()*s.space/s.device
				stroke := math.Inf(1)
				for _, sec := range m.Sections {
					for _, st := range sec.Strokes {
						if st.At == at {
							stroke = float64(part.at(st.At))
						}
					}
				}
				if math.Abs(head-stroke) > 0.01 {
					r.Errorf("beat %v: the head is at %.3f, its stroke at %.3f", at, head, stroke)
				}
				if math.IsInf(stroke, 1) {
					r.Errorf("beat %v has no stroke", at)
				}
				if part.at(at) < 0 || part.at(at) > size.Width {
					r.Errorf("beat %v lies outside the lane", at)
				}
			}
			if inRep := int(part.to) > s.first && int(part.from) < s.end; inRep && heads == 0 && part.to-part.from >= 4 {
				r.Errorf("no notes from beat %v to %v", part.from, part.to)
			}
		}
	})
}

// What is heard is always shown, and while a page's last beat sounds the next
// page stands before it: after the rep its start.
func TestAPageIsTurnedBeforeItIsNeeded(t *testing.T) {
	app(t)
	l := NewLane(func(int, int, int) {})
	l.Set(noted(t, sixteenths(t, 5, run), 16))
	size := fyne.NewSize(607, 190)
	show(t, l, size.Width, size.Height, 0.75)
	s := l.staff(size)
	if s.per < leastBeats || len(s.pages) < 3 || s.crowded() {
		t.Fatalf("17 beats lie on %d pages of %d, crowded %v", len(s.pages), s.per, s.crowded())
	}
	shown := func(beat int) bool {
		parts, _ := l.stretches(size, s)
		for _, p := range parts {
			if float64(beat) >= p.from && float64(beat) < p.to {
				return true
			}
		}
		return false
	}
	for beat := range s.total {
		l.hear(4 * beat)
		if !shown(beat) {
			t.Errorf("beat %d is heard and not shown", beat)
		}
		next := beat + 1
		if beat < s.first || next >= s.end {
			next = s.first // it is practised again
		}
		if !shown(next) {
			t.Errorf("while beat %d is heard, beat %d cannot be read yet", beat, next)
		}
	}
	l.hear(-1)
	l.Scrolled(&fyne.ScrollEvent{Scrolled: fyne.NewDelta(0, -10)})
	if !shown(s.begin[1]) || shown(s.first) {
		t.Error("at rest the pages are not turned by scrolling")
	}
}

// The light goes through notes that stay as they were painted, and a turn
// repaints the leaf that is turned.
func TestTheLightRepaintsNoNotes(t *testing.T) {
	app(t)
	l := NewLane(func(int, int, int) {})
	l.Set(noted(t, sixteenths(t, 5, run), 1))
	show(t, l, 810, 254, 1)
	turns := 0 // that the screen was given
	painted := func() (n int) {
		turns = 0
		for _, f := range l.engraver.leaves {
			if slices.Contains(l.sc.objects, fyne.CanvasObject(f.raster)) {
				f.raster.Generator(int(f.raster.Size().Width), int(f.raster.Size().Height)) // as for a repaint
			}
			n += f.still.Painted()
			turns += f.turns
		}
		return n
	}
	if n := painted(); n != 1 {
		t.Fatalf("painted %d times", n)
	}
	for i := range 4 * 6 {
		l.hear(i)
		if n := painted(); n != 1 || turns != 1 {
			t.Fatalf("painted %d times when stroke %d is heard", n, i)
		}
	}
	l.Set(noted(t, sixteenths(t, 5, run), 16))
	s := l.staff(l.Size())
	repaints, before := 0, painted()
	for i := range 4 * s.total {
		l.hear(i)
		if n := painted(); n != before {
			before, repaints = n, repaints+1
		}
	}
	if pages := len(s.pages); repaints > 2*pages+3 {
		t.Errorf("%d pages were painted at %d strokes", pages, repaints)
	}
}

// Sizes at which notes are read from 1.2 m: 12 pixels a space at the reference
// size, and never under 8 in the smallest window.
func TestNotesAreLargeEnough(t *testing.T) {
	app(t)
	sharps := "C#4:16 D#4:16 E#4:16 F#4:16 G#4:16 A#4:16 B#4:16 C#5:16 B4:16 A##4:16 G#4:16 F##4:16 E#4:16 D#4:16 C#4:16 B#3:16"
	for _, tt := range []struct {
		size  fyne.Size
		scale float32
		least float64
	}{{fyne.NewSize(810, 262), 1, 11}, {fyne.NewSize(607, 196), 0.7486, 8}, {fyne.NewSize(1600, 420), 1.6, 18}} {
		for _, beats := range []int{1, 2, 4, 8} {
			l := NewLane(func(int, int, int) {})
			m := noted(t, sixteenths(t, 3, sharps), beats)
			l.Set(m)
			show(t, l, tt.size.Width, tt.size.Height, tt.scale)
			s := l.staff(tt.size)
			if s.space < tt.least || s.crowded() || !s.fits() {
				t.Errorf("%v, %d beats: %v pixels a space, crowded %v, fits %v", tt.size, beats, s.space, s.crowded(), s.fits())
			}
		}
	}
}

// Notes that touch at any size are drawn all the same, every page of them.
func TestNotesThatAreTooMany(t *testing.T) {
	app(t)
	bar := strings.TrimSpace(strings.Repeat("C#4:64 Db4:64 C##4:64 Dbb4:64 ", 16))
	for beats := 1; beats <= 7; beats++ {
		l := NewLane(func(int, int, int) {})
		l.Set(noted(t, sixteenths(t, 3, bar), beats))
		show(t, l, 607, 196, 0.7486)
		s := l.staff(l.Size())
		for beat := range s.total {
			l.hear(4 * beat)
		}
		if got := len(s.pages); s.per > 0 && got != len(s.begin)-1 {
			t.Errorf("%d beats: %d pages of %d", beats, got, len(s.begin)-1)
		}
	}
}

// The comma stands over the breath's first beat, and nowhere without one.
func TestTheBreathIsMarked(t *testing.T) {
	app(t)
	for _, breath := range []int{0, 4} {
		l := NewLane(func(int, int, int) {})
		m := noted(t, sixteenths(t, 1, run), 1)
		m.Notes.Breath = breath
		l.Set(m)
		show(t, l, 810, 262, 1)
		s := l.staff(l.Size())
		commas := 0
		for _, shape := range s.pages[0].Shapes {
			if ink := shape.Ink(); shape.Role == engrave.Mark {
				commas++
				if x := (ink.X0 + ink.X1) / 2; math.Abs(float64(s.x)+x*s.space-s.units(4, 0)) > 0.01 {
					t.Errorf("the comma is at %v", x)
				}
			}
		}
		if commas != min(breath, 1) {
			t.Errorf("with a breath at %d there are %d commas", breath, commas)
		}
	}
}

// A staff waits for its notes, and what cannot be drawn leaves the strokes alone.
func TestALaneWithoutItsNotes(t *testing.T) {
	app(t)
	l := NewLane(func(int, int, int) {})
	m := noted(t, sixteenths(t, 1, run), 3)
	notes := m.Notes
	m.Notes = nil
	l.Set(m)
	show(t, l, 810, 262, 1)
	if s := l.staff(l.Size()); s == nil || len(s.drawing(stretch{}).Notes) > 0 {
		t.Error("no staff waits for notes")
	}
	inside(t, &l.sc, l.Size())
	notes.Excerpt.Line.Part.Changes[0].Clef = &passage.Clef{Sign: "percussion"}
	m.Notes = notes
	l.Set(m)
	if s := l.staff(l.Size()); s != nil {
		t.Error("notes without pitches are drawn")
	}
	inside(t, &l.sc, l.Size())
}
