package engrave

import (
	"footing/ladder/passage"
)

// barShapes are what stands at the end of a bar and the start of the next, which
// may be nil. Their left edge is at 0, the staff's middle at 0.
func barShapes(end passage.Barline, next *passage.Barline) []Shape {
	back := end.Repeat == passage.Stop
	forward := next != nil && next.Repeat == passage.Start
	style := end.Style
	if next != nil && (style == "" || style == "regular") && next.Style != "" && next.Style != "regular" && !forward {
		style = next.Style
	}
	var out []Shape
	x := 0.0
	line := func(thick, y1, y2 float64) {
		out = append(out, Shape{Kind: Bar, Role: BarLine, X: x + thick/2, Y: y1, X2: x + thick/2, Y2: y2, Thick: thick})
		x += thick
	}
	dots := func() {
		for _, y := range [...]float64{-0.5, 0.5} {
			out = append(out, Shape{Kind: Sign, Role: BarLine, Glyph: repeatDot, X: x, Y: y, Size: 1})
		}
		x += inks[repeatDot].X1
	}
	switch {
	case back || forward:
		if back {
			dots()
			x += barThin
			line(barThin, -2, 2)
			x += barGap
		}
		line(barThick, -2, 2)
		if forward {
			x += barGap
			line(barThin, -2, 2)
			x += barThin
			dots()
		}
	case style == "light-heavy":
		line(barThin, -2, 2)
		x += barGap
		line(barThick, -2, 2)
	case style == "heavy-light":
		line(barThick, -2, 2)
		x += barGap
		line(barThin, -2, 2)
	case style == "light-light":
		line(barThin, -2, 2)
		x += barGap
		line(barThin, -2, 2)
	case style == "heavy-heavy":
		line(barThick, -2, 2)
		x += barGap
		line(barThick, -2, 2)
	case style == "heavy":
		line(barThick, -2, 2)
	case style == "none":
		return nil
	case style == "tick":
		line(barThin, -2.5, -1.5)
	case style == "short":
		line(barThin, -1, 1)
	case style == "dashed" || style == "dotted":
		n, long := 5, 0.5
		if style == "dotted" {
			n, long = 9, 0.2
		}
		for i := range n {
			y := -2 + 4*float64(i)/float64(n-1) - long/2
			x = 0
			line(barThin, max(-2, y), min(2, y+long))
		}
	default:
		line(barThin, -2, 2)
	}
	return out
}

// drawEndings draws the brackets over the endings of a system's bars.
func (l *layout) drawEndings(bars []barSpan) {
	for i := 0; i < len(bars); i++ {
		left := l.line.Part.Bars[bars[i].bar].Left
		if left.Ending != passage.Start {
			continue
		}
		j, closed := i, false
		for ; j < len(bars); j++ {
			b := l.line.Part.Bars[bars[j].bar]
			if j > i && b.Left.Ending == passage.Start {
				j--
				break
			}
			if b.Right.Ending == passage.Stop || b.Right.Ending == passage.Continue {
				closed = b.Right.Ending == passage.Stop
				break
			}
		}
		j = min(j, len(bars)-1)
		x1, x2 := bars[i].left+0.2, bars[j].right-0.2
		y := min(-4, l.roofOver(x1, x2)-0.8) - 1.6
		bar := func(ax, ay, bx, by float64) {
			l.put(Shape{Kind: Bar, Role: Ending, X: ax, Y: ay, X2: bx, Y2: by, Thick: fineThick}, -1, -1)
		}
		bar(x1, y, x2, y)
		bar(x1, y, x1, y+2)
		if closed {
			bar(x2, y, x2, y+2)
		}
		text := left.Text
		if text == "" {
			for k, n := range left.Endings {
				if k > 0 {
					text += ", "
				}
				text += itoa(n) + "."
			}
		}
		l.put(Shape{Kind: Text, Role: Ending, Text: text, X: x1 + 0.4, Y: y + 1.5, Size: 1}, -1, -1)
	}
}

// barSpan is where a bar lies on a system.
type barSpan struct {
	bar         int
	left, right float64
}
