package picture

import (
	"image/color"

	"footing/audio/judge"
)

// Measures of the page.
const (
	margin   = 44
	headRoom = 76
	waveRoom = 150
	gap      = 14
	corner   = 10
	keysRoom = 56 // for the names of the pitches
)

// page lays out the parts: the title, the waveform, the reps or the pitches,
// and the caption.
func (g *pen) page(m Model) {
	g.dc.SetColor(g.p.Paper)
	g.dc.Clear()
	g.title(m)
	caption := g.caption(m)
	wave := box{margin, headRoom, g.w - 2*margin, waveRoom}
	g.card(wave)
	g.wave(m, wave)
	main := box{margin, wave.bottom() + gap, wave.w, caption - gap - wave.bottom() - gap}
	g.card(main)
	if gridded(m.Report) {
		g.reps(m, main)
	} else {
		g.pitches(m, main)
	}
}

func (g *pen) card(b box) {
	g.rect(b, corner, g.p.Card)
	g.outline(b, corner, 1.5, g.p.Hair)
}

func (g *pen) title(m Model) {
	const size, small, y = 34, 22, headRoom / 2
	sub := g.cut(m.Subtitle, (g.w-2*margin)*0.55, regular, small)
	room := g.w - 2*margin - g.width(sub, regular, small) - 24
	w := g.text(g.cut(m.Title, room, bold, size), margin, y, style{bold, size, g.p.Ink, 0})
	g.text(sub, margin+w+20, y+3, style{regular, small, g.p.Soft, 0})
}

// caption writes the sentence at the foot of the page, as large as it fits in
// three lines, and returns where it begins.
func (g *pen) caption(m Model) float64 {
	const indent = 40
	room := g.w - 2*margin - indent
	var lines []string
	size := 34.0
	// On one line as long as it stays large, else on two.
	for ; size >= 20; size -= 2 {
		lines = g.wrap(m.Sentence, room, medium, size)
		if len(lines) <= 1 || size <= 28 && len(lines) <= 2 {
			break
		}
	}
	if roomy := g.wrap(m.Sentence, room, medium, 34); len(lines) == len(roomy) {
		lines, size = roomy, 34
	}
	small := g.wrap(m.SmallPrint, room, regular, 18)
	if m.SmallPrint == "" {
		small = nil
	}
	if len(small) > 3 {
		small = append(small[:2], g.cut(small[2]+" "+small[3]+" …", room, regular, 18))
	}
	const smallLead = 25
	lead := size * 1.25
	foot := g.h - 22
	top := foot - float64(len(small))*smallLead - float64(len(lines))*lead
	mark, y := g.p.Accent, top+lead/2
	if m.Report.Weak != nil {
		mark = g.p.Warm
		g.diamond(margin+13, y, 13, mark)
	} else {
		g.disc(margin+13, y, 9, mark)
	}
	for _, line := range lines {
		g.text(line, margin+indent, y, style{medium, size, g.p.Ink, 0})
		y += lead
	}
	y += smallLead/2 - lead/2
	for _, line := range small {
		g.text(line, margin+indent, y, style{regular, 18, g.p.Soft, 0})
		y += smallLead
	}
	return top - 8
}

// head is the shape of a played note: a diamond in the weak column, a disc in
// the others, so that shape tells it as well as colour.
func (g *pen) head(x, y, r float64, weak bool, c color.NRGBA) {
	if weak {
		g.diamond(x, y, r*1.3, c)
	} else {
		g.disc(x, y, r, c)
	}
}

func (g *pen) noteColour(weak bool) color.NRGBA {
	if weak {
		return g.p.Warm
	}
	return g.p.Accent
}

// gridded reports whether there is a grid to draw.
func gridded(r judge.Report) bool { return r.HasGrid && slots(r) > 0 }
