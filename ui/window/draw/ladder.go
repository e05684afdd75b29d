package draw

import (
	"image/color"

	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// Mark is what became of a rep: shape first, colour second.
type Mark int

// The marks: hollow, filled, crossed, a diamond for a rep without a verdict,
// and a rest for one that does not count.
const (
	MarkToCome Mark = iota
	MarkClean
	MarkRough
	MarkPlayed
	MarkSkipped
)

// LadderModel is what the ladder shows. Rungs go from slowest to fastest.
// Indices are −1 where there is none.
type LadderModel struct {
	Rungs     []string
	Current   int
	ByHand    bool // the current tempo is off the ladder
	Goal      int
	Footing   int
	Best      int    // the fastest rung of last time
	BestLabel string // when that was
	Reps      []Mark // on the current rung
	Now       int    // the rep that is being played
	UpKey     string
	DownKey   string
}

// Ladder is drawn as a ladder: rails, rungs, and the reps on the current rung
// as noteheads.
type Ladder struct {
	canvasWidget
	model  LadderModel
	onRung func(int)
	rows   []ladderRow
}

var _ fyne.Tappable = (*Ladder)(nil)

// NewLadder makes a ladder; onRung is told when a rung is tapped.
func NewLadder(onRung func(int)) *Ladder {
	l := &Ladder{onRung: onRung, model: LadderModel{Current: -1, Goal: -1, Footing: -1, Best: -1, Now: -1}}
	l.init(l, l.draw)
	return l
}

// Set shows m.
func (l *Ladder) Set(m LadderModel) {
	l.model = m
	l.redraw()
}

// Tapped is for Fyne.
func (l *Ladder) Tapped(e *fyne.PointEvent) {
	if rung, ok := l.sc.at(e.Position).(int); ok {
		l.onRung(rung)
	}
}

// ladderRow is a rung, or a gap (rung −1) where rungs are left out.
type ladderRow struct {
	rung        int
	top, height float32
}

func (r ladderRow) middle() float32 { return r.top + r.height/2 }

// Measures at the reference size.
const (
	ladderNumbers = 88  // right edge of the numbers
	ladderLeft    = 104 // the rails
	ladderRight   = 200
	ladderNotes   = 216 // where noteheads and labels begin
	repsInRow     = 6
)

func (l *Ladder) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := l.px, l.model
	title := l.font(20, 16)
	s.text("Ladder", px(28), px(38), left, look.Regular, title, p.Soft)
	x := size.Width - px(20)
	for _, key := range []string{m.DownKey, m.UpKey} {
		if key != "" {
			w := keyWidth(key, title*0.8)
			x -= w
			s.keycap(key, x, px(31), title*0.8, p.Soft, p.Hair)
			x -= px(6)
		}
	}

	top, bottom := px(58), size.Height-px(14)
	l.rows = l.layout(top+px(12), bottom-px(10))
	if len(l.rows) == 0 {
		return
	}
	for _, r := range l.rows {
		if r.rung == m.Current {
			s.box(box{x: px(8), y: r.top + px(2), w: size.Width - px(16), h: r.height - px(4), fill: p.Wash, radius: px(10)})
		}
	}
	l.rails(s, p, top, bottom)
	for _, r := range l.rows {
		if r.rung >= 0 {
			s.hit(r.rung, 0, r.top, size.Width, r.height)
			l.rung(s, size, p, r)
		}
	}
}

// layout chooses which rungs are shown and where: all of them when they fit,
// else those around the current one, with the goal and the footing kept.
func (l *Ladder) layout(top, bottom float32) []ladderRow {
	n, m := len(l.model.Rungs), l.model
	if n == 0 || bottom <= top {
		return nil
	}
	least := max(l.px(36), 27)
	extra := l.px(26) // the current rung stands in more room
	room := bottom - top - extra
	cap := max(int(room/least), 5)
	lo, hi := 0, n-1
	var shown []int
	if n > cap {
		at := max(m.Current, 0)
		lo = min(max(at-cap/2, 0), n-cap)
		hi = lo + cap - 1
		if hi < n-1 {
			hi -= 2
		}
		if lo > 0 && m.Footing >= 0 && m.Footing < lo+2 {
			lo += 2
		}
		if lo > at {
			lo = at
		}
		if hi < at {
			hi = at
		}
	}
	if hi < n-1 {
		shown = append(shown, n-1)
		if hi < n-2 {
			shown = append(shown, -1)
		}
	}
	for i := hi; i >= lo; i-- {
		shown = append(shown, i)
	}
	if m.Footing >= 0 && m.Footing < lo {
		if m.Footing < lo-1 {
			shown = append(shown, -1)
		}
		shown = append(shown, m.Footing)
	}

	each := min(room/float32(len(shown)), l.px(58))
	rows := make([]ladderRow, len(shown))
	y := bottom - each*float32(len(shown)) - extra
	// A short ladder hangs from the top, so that it does not jump about.
	y = min(y, top+(bottom-top-each*float32(len(shown))-extra)/2)
	for i, rung := range shown {
		h := each
		if rung == m.Current && rung >= 0 {
			h += extra
		}
		rows[i] = ladderRow{rung: rung, top: y, height: h}
		y += h
	}
	return rows
}

func (l *Ladder) rails(s *scene, p *look.Palette, top, bottom float32) {
	px := l.px
	for _, x := range []float32{px(ladderLeft), px(ladderRight)} {
		y := l.rows[0].top - px(10)
		y = max(y, top-px(6))
		for _, r := range l.rows {
			if r.rung >= 0 {
				continue
			}
			s.box(box{x: x - px(2), y: y, w: px(4), h: r.top - y, fill: p.Ink, radius: px(2)})
			for i := range 3 {
				s.box(box{x: x - px(2), y: r.top + r.height*(float32(i)+0.5)/3 - px(2), w: px(4), h: px(4), fill: p.Ink, radius: px(2)})
			}
			y = r.top + r.height
		}
		last := l.rows[len(l.rows)-1]
		end := min(last.top+last.height+px(10), bottom)
		s.box(box{x: x - px(2), y: y, w: px(4), h: end - y, fill: p.Ink, radius: px(2)})
	}
}

func (l *Ladder) rung(s *scene, size fyne.Size, p *look.Palette, r ladderRow) {
	px, m, y := l.px, l.model, r.middle()
	c, face, thick := p.Rung, look.Regular, px(3)
	ink, font := p.Soft, l.font(21, 17)
	switch {
	case r.rung == m.Current:
		c, ink, face, thick, font = p.Accent, p.Accent, look.Bold, px(8), l.font(34, look.FarSize)
	case r.rung < m.Current:
		c, ink, face, thick = p.Ink, p.Ink, look.Bold, px(5)
	}
	if r.rung == m.Current && m.ByHand {
		// A tempo off the ladder has no rung: short strokes stand for it.
		each := px(ladderRight-ladderLeft) / 5
		for i := range 3 {
			s.box(box{x: px(ladderLeft) + each*(2*float32(i)+0.1), y: y - thick/2, w: each * 0.8, h: thick, fill: c, radius: thick / 2})
		}
	} else {
		s.box(box{x: px(ladderLeft), y: y - thick/2, w: px(ladderRight - ladderLeft), h: thick, fill: c, radius: thick / 2})
	}
	label := m.Rungs[r.rung]
	if room := px(ladderNumbers - 18); textWidth(label, face, font) > room {
		font *= room / textWidth(label, face, font)
	}
	s.text(label, px(ladderNumbers), y+font*look.CapHeight/2, right, face, font, ink)

	words, wordsColor := l.words(p, r.rung)
	small := l.font(18, 15)
	if r.rung != m.Current || len(m.Reps) == 0 {
		if words != "" {
			room := size.Width - px(ladderNotes+8)
			s.text(fit(words, room, look.Regular, small), px(ladderNotes), y+small*look.CapHeight/2, left, look.Regular, small, wordsColor)
		}
		return
	}
	l.reps(s, size, p, r, words, small)
}

// words names what a rung is besides a tempo.
func (l *Ladder) words(p *look.Palette, rung int) (string, color.NRGBA) {
	m, out, c := l.model, "", p.Soft
	add := func(w string) {
		if out != "" {
			out += " · "
		}
		out += w
	}
	if rung == m.Goal {
		add("goal")
	}
	if rung == m.Current && m.ByHand {
		add("by hand")
	}
	if rung == m.Footing {
		add("footing")
		c = p.Ink
	}
	if rung == m.Best && m.BestLabel != "" {
		add(m.BestLabel)
	}
	return out, c
}

// reps draws the noteheads of the current rung in one or two rows.
func (l *Ladder) reps(s *scene, size fyne.Size, p *look.Palette, r ladderRow, words string, small float32) {
	px, reps, now := l.px, l.model.Reps, l.model.Now
	const most = 4 * repsInRow
	if len(reps) > most {
		from := min(max(now-most/2, 0), len(reps)-most)
		reps, now = reps[from:from+most], now-from
	}
	rows := max(1, min((len(reps)+repsInRow-1)/repsInRow, 2))
	perRow := max(1, (len(reps)+rows-1)/rows)
	room := size.Width - px(ladderNotes+18)
	step := min(room/float32(perRow), px(24))
	space := min(step/1.3, px(15)) // a staff space, by which noteheads are measured
	gap := space * 1.75
	y := r.middle() - gap*float32(rows-1)/2
	if words != "" {
		base := r.top + r.height - px(7)
		s.text(fit(words, room, look.Regular, small), px(ladderNotes), base, left, look.Regular, small, p.Ink)
		// The rows, with the stroke under the rep in hand, stay over the words.
		high := base - small*look.CapHeight - px(6) - r.top - px(4)
		space = min(space, high/(1.75*float32(rows-1)+0.5+0.9))
		gap = space * 1.75
		y = min(y, r.top+px(16)+space/2, r.top+px(4)+high-gap*float32(rows-1)-space*0.9)
	}
	for i, rep := range reps {
		x := px(ladderNotes) + (float32(i%perRow)+0.5)*step
		ry := y + float32(i/perRow)*gap
		s.notehead(rep, x, ry, space, p)
		if i == now {
			s.box(box{x: x - space*0.6, y: ry + space*0.75, w: space * 1.2, h: max(px(3), 2), fill: p.Accent, radius: px(1.5)})
		}
	}
}

// notehead draws the mark around its middle; space is a staff space.
func (s *scene) notehead(m Mark, x, y, space float32, p *look.Palette) {
	glyph, c, dy := look.HeadHalf, p.Accent, float32(0)
	switch m {
	case MarkClean:
		glyph = look.HeadBlack
	case MarkRough:
		glyph, c = look.HeadX, p.Warm
	case MarkPlayed:
		glyph = look.HeadDiamond
	case MarkSkipped:
		glyph, c, dy, space = look.RestEighth, p.Soft, -0.1*space, 0.75*space
	}
	s.text(glyph, x, y+dy, mid, look.Notes, 4*space, c)
}
