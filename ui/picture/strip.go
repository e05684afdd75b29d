package picture

import (
	"fmt"

	"footing/audio/judge"
)

// wave draws the whole take: its outline, where the reps and the slots lie,
// and a mark for each note.
func (g *pen) wave(m Model, b box) {
	length := takeLength(m)
	in := box{b.x + 16, b.y + 8, b.w - 32, b.h - 16}
	if !gridded(m.Report) {
		in.x, in.w = in.x+keysRoom, in.w-keysRoom
	}
	x := func(t float64) float64 { return in.x + in.w*t/length }
	ruler := box{in.x, in.bottom() - 20, in.w, 20}
	marks := box{in.x, ruler.y - 20, in.w, 18}
	sound := box{in.x, in.y + 20, in.w, marks.y - in.y - 20}
	all := places(m.Report)
	g.repSpans(m.Report, all, x, box{in.x, in.y, in.w, marks.bottom() - in.y})
	g.outlineOf(m.Wave, sound, length)
	if slotWidth := in.w / length * shortest(all); slotWidth >= 7 {
		for _, p := range all {
			g.line(x(p.seconds), marks.y-4, x(p.seconds), marks.bottom(), 1, g.p.Rung)
		}
	}
	g.ruler(ruler, length, x)
	g.noteMarks(m.Report, x, marks)
}

func takeLength(m Model) float64 {
	length := 0.0
	if m.Wave != nil {
		length = m.Wave.Seconds()
	}
	if n := len(m.Report.Notes); n > 0 {
		length = max(length, m.Report.Notes[n-1].Seconds+0.2)
	}
	return max(length, 0.1)
}

// shortest is the least time between neighbouring places, 0 without any.
func shortest(all []place) float64 {
	least := 0.0
	for i := 1; i < len(all); i++ {
		if d := all[i].seconds - all[i-1].seconds; d > 1e-3 && (least == 0 || d < least) {
			least = d
		}
	}
	return least
}

// span is a rep in the take.
type span struct {
	rep      int
	from, to float64 // seconds, of its first and its last slot
}

func spans(all []place) []span {
	var out []span
	for _, p := range all {
		if n := len(out); n > 0 && out[n-1].rep == p.rep {
			out[n-1].to = p.seconds
			continue
		}
		out = append(out, span{p.rep, p.seconds, p.seconds})
	}
	return out
}

// repSpans shades every other rep and numbers as many as there is room for.
func (g *pen) repSpans(r judge.Report, all []place, x func(float64) float64, b box) {
	reps := spans(all)
	pad := shortest(all) / 2
	apart := b.w
	for i := 1; i < len(reps); i++ {
		apart = min(apart, x(reps[i].from)-x(reps[i-1].from))
	}
	every := 1
	for _, every = range []int{1, 2, 5, 10, 20, 50, 100, 1 << 30} {
		if float64(every)*apart >= 46 {
			break
		}
	}
	look := style{regular, 16, g.p.Soft, 0}
	for _, s := range reps {
		if from, to := x(s.from-pad), x(s.to+pad); s.rep%2 == 1 && apart >= 12 {
			g.rect(box{from, b.y, to - from, b.h}, 3, g.p.Wash)
		}
	}
	for i, s := range reps {
		from := x(s.from - pad)
		switch {
		case i == 0:
			g.text(fmt.Sprintf("%s %d", rowWord(r), s.rep), from+5, b.y+10, look)
		case s.rep%every == 0 && from-x(reps[0].from-pad) > 70 && from+40 < b.right():
			g.text(fmt.Sprint(s.rep), from+5, b.y+10, look)
		}
	}
}

// outlineOf draws the sound, its peak as high as there is room.
func (g *pen) outlineOf(w *Wave, b box, length float64) {
	middle := b.y + b.h/2
	g.line(b.x, middle, b.right(), middle, 1, g.p.Hair)
	if w == nil {
		return
	}
	scale := b.h / 2 / max(1e-4, float64(w.Peak()))
	columns := int(b.w * g.u)
	for i := range columns {
		from, to := length*float64(i)/float64(columns), length*float64(i+1)/float64(columns)
		s := w.between(from, to)
		if s.high-s.low == 0 {
			continue
		}
		at := b.x + b.w*(float64(i)+0.5)/float64(columns)
		g.line(at, middle-float64(s.high)*scale, at, middle-float64(s.low)*scale+1/g.u, 0, g.p.Soft)
	}
}

// noteMarks draws a mark for each note; where there are too many to tell apart,
// only for those that stand out.
func (g *pen) noteMarks(r judge.Report, x func(float64) float64, b box) {
	_, weak := weakSlots(r)
	every := float64(len(r.Notes)) <= b.w/7
	some := float64(len(r.Notes)) <= b.w/14*float64(max(1, slots(r)))
	y := b.y + b.h/2
	for _, n := range r.Notes {
		isWeak := n.Slot == weak && weak > 0 && n.Kind == judge.Played
		switch {
		case n.Kind == judge.Extra && some:
			g.plus(x(n.Seconds), y, 6, g.p.Ink)
		case isWeak && some:
			g.diamond(x(n.Seconds), y, 8, g.p.Warm)
		case every && n.Kind == judge.Doubled:
			g.ring(x(n.Seconds), y, 4, 2, g.p.Ink)
		case every && !isWeak:
			g.disc(x(n.Seconds), y, 4, g.p.Accent)
		}
	}
	if every {
		for _, n := range r.Missed {
			g.missed(x(n.Seconds), y, 5)
		}
	}
}

// missed is the mark of a slot without a note: a ring with a stroke through it.
func (g *pen) missed(x, y, r float64) {
	g.ring(x, y, r, 2, g.p.Ink)
	g.line(x-r*1.3, y+r*1.3, x+r*1.3, y-r*1.3, 2, g.p.Ink)
}

// ruler writes minutes and seconds under the sound.
func (g *pen) ruler(b box, length float64, x func(float64) float64) {
	steps := []float64{0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1800, 3600, 7200}
	step := steps[0]
	for i := 1; b.w/length*step < 90; i++ {
		if i < len(steps) {
			step = steps[i]
		} else {
			step *= 2
		}
	}
	for i := 0; float64(i)*step <= length; i++ {
		at := x(float64(i) * step)
		g.line(at, b.y, at, b.y+5, 1.5, g.p.Rung)
		label := clock(float64(i) * step)
		if w := g.width(label, regular, 16); at+w < b.right() {
			g.text(label, at+5, b.y+13, style{regular, 16, g.p.Soft, 0})
		}
	}
}

// clock writes seconds as 0:07, 1:02:00, or 0:07.5 where it is no whole number.
func clock(t float64) string {
	whole := int(t)
	hours, minutes, seconds := whole/3600, whole/60%60, whole%60
	out := fmt.Sprintf("%d:%02d", minutes, seconds)
	if hours > 0 {
		out = fmt.Sprintf("%d:%02d:%02d", hours, minutes, seconds)
	}
	if rest := t - float64(whole); rest > 0 {
		out += fmt.Sprintf("%.1f", rest)[1:]
	}
	return out
}
