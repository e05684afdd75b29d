// Package picture draws a take: its waveform, the grid, every note above its
// slot with the reps under each other, the mean of each slot, and the weak
// change. It draws from plain values to an image, so that a file and a view in
// the window show the same.
package picture

import (
	"cmp"
	"fmt"
	"image"
	"math"
	"slices"

	"footing/audio/judge"
	"footing/ladder/hearing"
	"footing/ui/palette"
)

// Model is everything that is drawn.
type Model struct {
	// Title names the take, Subtitle says on what grid it was played. Each is
	// cut to the room there is.
	Title, Subtitle string
	// Report is what was heard. Without a grid the notes are drawn by pitch and
	// time.
	Report judge.Report
	// Sentence is the caption.
	Sentence string
	// Wave is the outline of the sound; nil draws none.
	Wave *Wave
	// Labels is what is counted on the slots, that of slot 1 first. It may be
	// shorter than the rep, or empty.
	Labels []string
	// SmallPrint stands under the caption; it may be empty.
	SmallPrint string
	// Notes are written above the columns; nil where they are not known.
	Notes *Notes
}

// Of is the model of a report on a take that is called title.
func Of(title string, r hearing.Report, wave *Wave) Model {
	m := Model{
		Title: title, Subtitle: r.GridWords(" · "), Report: r.Report, Sentence: r.Sentence,
		Wave: wave, SmallPrint: r.SmallPrint(), Notes: notesOf(r),
	}
	if r.FitsBadly {
		// Where the notes keep to no grid, it would be against what is said.
		m.Subtitle, m.Notes = "", nil
		m.Report = judge.Report{}
		for _, n := range r.Notes {
			m.Report.Notes = append(m.Report.Notes, judge.Note{Onset: n.Onset})
		}
	}
	if m.Report.HasGrid {
		m.Labels = r.Labels()
	}
	return m
}

// smallest and largest bound the size of a picture in pixels, so that every
// word can be read and memory stays bounded (100 MB for the largest).
var (
	smallest = image.Pt(640, 400)
	largest  = image.Pt(6000, 4000)
)

// CheckSize says what is wrong with a size in pixels: 640 by 400 to 6000 by
// 4000 can be drawn.
func CheckSize(size image.Point) error {
	if size.X < smallest.X || size.Y < smallest.Y || size.X > largest.X || size.Y > largest.Y {
		return fmt.Errorf("a picture of %dx%d pixels cannot be drawn; write %dx%d to %dx%d",
			size.X, size.Y, smallest.X, smallest.Y, largest.X, largest.Y)
	}
	return nil
}

// Draw draws the model at a size in pixels. Text and shapes grow with the
// picture. It returns the error of [CheckSize]. Draw keeps nothing, and may be
// called from several goroutines at once.
func Draw(m Model, size image.Point, p *palette.Palette) (image.Image, error) {
	if err := CheckSize(size); err != nil {
		return nil, err
	}
	pen, err := newPen(size, p)
	if err != nil {
		return nil, err
	}
	m.Report = tidy(m)
	pen.page(m)
	return pen.dc.Image(), nil
}

// tidy is the report without what has no place in the picture: a figure that is
// no number, or a moment far outside the take. Such a place would keep the
// rasteriser busy for ever.
func tidy(m Model) judge.Report {
	r := m.Report
	end := 0.0
	if m.Wave != nil {
		end = m.Wave.Seconds()
	}
	for _, n := range r.Notes {
		if n.Seconds < 1e7 { // a third of a year
			end = max(end, n.Seconds)
		}
	}
	bad := func(seconds float64, figures ...float64) bool {
		for _, v := range figures {
			if !(math.Abs(v) < 1e7) {
				return true
			}
		}
		return !(seconds >= -10 && seconds <= end+10)
	}
	r.Notes = slices.DeleteFunc(slices.Clone(r.Notes), func(n judge.Note) bool {
		grid := n.GridSeconds
		if n.Kind == "" || n.Kind == judge.Extra {
			grid = n.Seconds
		}
		return bad(n.Seconds, n.DeviationMs) || bad(grid)
	})
	r.Missed = slices.DeleteFunc(slices.Clone(r.Missed), func(n judge.Missed) bool { return bad(n.Seconds) })
	r.Slots = slices.DeleteFunc(slices.Clone(r.Slots), func(s judge.SlotStat) bool { return bad(0, s.MeanMs, s.SpreadMs) })
	if bad(0, r.JNDMs) {
		r.JNDMs = 0
	}
	return r
}

// place is where a slot of a rep lies in the take.
type place struct {
	seconds   float64
	slot, rep int
}

// places lists the slots of the take in order of time, as far as notes were
// heard or missed on them.
func places(r judge.Report) []place {
	var out []place
	for _, n := range r.Notes {
		if n.Kind == judge.Played {
			out = append(out, place{n.GridSeconds, n.Slot, n.Rep})
		}
	}
	for _, m := range r.Missed {
		out = append(out, place{m.Seconds, m.Slot, m.Rep})
	}
	slices.SortFunc(out, func(a, b place) int { return cmp.Compare(a.seconds, b.seconds) })
	return out
}

// slots is the number of slots of a rep.
func slots(r judge.Report) int {
	n := 0
	for _, s := range r.Slots {
		n = max(n, s.Slot)
	}
	return n
}

// weakSlots are the columns of the weak change: 0 and 0 without one. A change
// over the end of a rep leads to the first slot of the next.
func weakSlots(r judge.Report) (from, to int) {
	n := slots(r)
	if r.Weak == nil || n == 0 {
		return 0, 0
	}
	wrap := func(s int) int { return (s-1+n)%n + 1 }
	return wrap(r.Weak.FromSlot), wrap(r.Weak.ToSlot)
}

// rowWord is what a rep of the grid is called: on a regular grid without a figure
// each beat counts as one.
func rowWord(r judge.Report) string {
	if r.Grid.Regular() && r.Grid.Cycle == 0 {
		return "beat"
	}
	return "rep"
}
