package picture

import (
	"fmt"

	"footing/audio/judge"
)

// pitches draws the notes of a take without a grid by pitch and time.
func (g *pen) pitches(m Model, b box) {
	low, high := pitchRange(m.Report.Notes)
	length := takeLength(m)
	plot := box{b.x + 16, b.y + 20, b.w - 32, b.h - 40 - legendRoom/2}
	key := func(midi int) float64 {
		return plot.bottom() - plot.h*(float64(midi-low)+0.5)/float64(high-low+1)
	}
	row := plot.h / float64(high-low+1)
	for midi := low; midi <= high; midi++ {
		if row < 20 && midi%12 != 0 {
			continue
		}
		g.line(plot.x+keysRoom-6, key(midi), plot.right(), key(midi), 1, g.p.Hair)
		g.text(pitchName(midi), plot.x+keysRoom-16, key(midi), style{regular, min(20, max(15, row*0.7)), g.p.Soft, 1})
	}
	x := func(t float64) float64 { return plot.x + keysRoom + (plot.w-keysRoom)*t/length }
	r := min(9, max(4, row*0.36))
	slurred := false
	for _, n := range m.Report.Notes {
		y := key(n.Midi)
		if n.Midi == 0 {
			y = plot.bottom() + 8
		}
		if n.Slurred {
			slurred = true
			g.ring(x(n.Seconds), y, r*0.85, 2.5, g.p.Accent)
		} else {
			g.disc(x(n.Seconds), y, r, g.p.Accent)
		}
	}
	g.pitchLegend(box{b.x + 18, b.bottom() - legendRoom, b.w - 36, legendRoom - 6}, len(m.Report.Notes), slurred)
}

func (g *pen) pitchLegend(b box, notes int, slurred bool) {
	y := b.y + b.h/2
	look := style{regular, 18, g.p.Soft, 0}
	word := "notes"
	if notes == 1 {
		word = "note"
	}
	x := b.x + g.text(fmt.Sprintf("%d %s, by pitch and time", notes, word), b.x, y, look) + 34
	g.disc(x, y, 8, g.p.Accent)
	x += 18 + g.text("attacked", x+18, y, look) + 30
	if slurred {
		g.ring(x, y, 7, 2.5, g.p.Accent)
		g.text("slurred to", x+18, y, look)
	}
}

// pitchRange is from the lowest to the highest note, at least an octave.
func pitchRange(notes []judge.Note) (low, high int) {
	low, high = 1000, 0
	for _, n := range notes {
		if n.Midi > 0 {
			low, high = min(low, n.Midi), max(high, n.Midi)
		}
	}
	if high == 0 {
		return 60, 72
	}
	for high-low < 12 {
		low, high = low-1, high+1
	}
	return low, high
}

// pitchName is a note in scientific pitch notation: 60 is C4.
func pitchName(midi int) string {
	names := [...]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}
	return fmt.Sprintf("%s%d", names[((midi%12)+12)%12], (midi+1200)/12-101)
}
