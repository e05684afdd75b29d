package draw

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Lane shows the loop in one row: a stroke a slot, its height the dynamics.
type Lane struct {
	canvasWidget
	model    LaneModel
	onStroke func(section, stroke, turn int)
	hits     []laneHit
	top, end float32
	page     int
	hover    bool
	foot     float32 // of every stroke, at the lane's own scale
	written  float32 // base line of the syllables, at the same
	grow     float32 // of the strokes, where no syllables need the room
	gap      float32 // pixels between the closest strokes
	engraver engraver
}

var (
	_ fyne.Tappable          = (*Lane)(nil)
	_ fyne.SecondaryTappable = (*Lane)(nil)
	_ desktop.Cursorable     = (*Lane)(nil)
	_ desktop.Hoverable      = (*Lane)(nil)
	_ fyne.Scrollable        = (*Lane)(nil)
)

// NewLane makes the lane. onStroke is told which stroke of which section was
// clicked; turn is 1, or −1 with the other mouse button.
func NewLane(onStroke func(section, stroke, turn int)) *Lane {
	l := &Lane{onStroke: onStroke, model: LaneModel{Now: -1, Active: -1, Heard: -1}}
	l.engraver.init(l)
	l.init(l, l.draw)
	return l
}

// Set shows m.
func (l *Lane) Set(m LaneModel) {
	l.model = m
	l.redraw()
}

// Measures at the reference size.
const (
	laneEdge      = 26  // from the frame to the first stroke
	laneLabels    = 27  // base line of the section labels
	laneTop       = 44  // top of an f
	laneFoot      = 122 // foot of every stroke, over the syllables
	laneFootAlone = 158 // the same where there are none
	laneWords     = 156 // base line of the syllables
	leastGap      = 7   // pixels between strokes, below which the lane is paged
)

// laneLevels is the height of a stroke by its dynamics.
var laneLevels = [5]float32{24, 26, 42, 60, 78}

func (l *Lane) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := l.px
	k := min(size.Height/176, 1.3*l.scale) // the lane's own scale is by its height
	// Fyne clips what can be scrolled, and a stroke reaches over the edge: the
	// frame is a larger box under a smaller one.
	s.box(box{w: size.Width, h: size.Height, fill: p.Hair, radius: px(12)})
	s.box(box{x: 1.5, y: 1.5, w: size.Width - 3, h: size.Height - 3, fill: p.Card, radius: px(11)})
	l.hits = l.hits[:0]
	l.foot, l.written, l.grow = laneFoot, laneWords, 1
	if !l.worded() {
		l.foot, l.grow = laneFootAlone, (laneFootAlone-laneTop)/(laneFoot-laneTop)
	}
	l.top = laneLabels * k
	notes := l.staff(size)
	if notes != nil {
		k = l.scale
		l.foot, l.written, l.grow = notes.foot, notes.foot+laneWords-laneFoot, staffStrokes
		l.top = notes.bottom
	}
	l.end = l.foot*k + 4
	parts, pages := l.stretches(size, notes)
	if len(parts) == 0 {
		return
	}

	lead := min(px(14), l.gap*0.55) // of a section before its first stroke
	labelled := float32(0)          // up to where there are labels
	var lit *Stroke
	var litX float32
	var litKind SectionKind
	var words []laneWord
	for _, part := range parts {
		start, index := 0.0, 0
		for i, sec := range l.model.Sections {
			end := start + sec.Beats
			active := i == l.model.Active
			if end > part.from && start < part.to {
				labelled = l.ground(s, p, sec, active, part.at(max(start, part.from))-lead, part.at(min(end, part.to))-lead, labelled, size, k)
			}
			for j := range sec.Strokes {
				st := &sec.Strokes[j]
				if st.At >= part.from && st.At < part.to {
					sx := part.at(st.At)
					l.stroke(s, sx, st, sec.Kind, p, k)
					if st.Editable {
						l.hits = append(l.hits, laneHit{sx, i, j})
					}
					if st.Syllable != "" {
						words = append(words, laneWord{sx, st.Syllable, st.Beat, sec.Kind})
					}
					if index == l.model.Now {
						lit, litX, litKind = st, sx, sec.Kind
					}
				}
				index++
			}
			start = end
		}
	}
	if notes != nil {
		l.shaft(s, p, lit, litX, litKind, notes, k)
		l.engraver.show(s, p, notes, parts)
	}

	under := l.words(s, p, words, l.under(lit, litX, k), litKind == SectionLanding, k)
	if pages > 1 {
		l.pages(s, p, size, pages)
	}
	l.light(s, p, lit, litX, litKind, under, notes, k)
}

// ground draws what lies under a section, and its label, unless one reaches
// there already. It returns up to where there are labels now. The landing's
// label goes before the breath's, which moves along.
func (l *Lane) ground(s *scene, p *look.Palette, sec Section, active bool, x1, x2, labelled float32, size fyne.Size, k float32) float32 {
	px := l.px
	if sec.Kind == SectionChunk {
		s.box(box{x: x1, y: (laneTop - 10) * k, w: x2 - x1 - px(2), h: size.Height - (laneTop-4)*k, fill: p.Wash, radius: px(8)})
	}
	face, c := look.Regular, p.Soft
	if active || sec.Kind == SectionChunk {
		face = look.Bold
	}
	if sec.Kind == SectionChunk {
		c = p.Accent
	} else if active {
		c = p.Ink
	}
	font := l.font(19, 15)
	text, room := sec.Label, x2-x1-px(8)
	if sec.Short != "" && textWidth(text, face, font) > room {
		text = sec.Short
	}
	at, wide := x1+px(6), textWidth(text, face, font)
	switch sec.Kind {
	case SectionLanding: // mostly one narrow beat, with room after it
		at = min(at, size.Width-px(8)-wide)
	case SectionBreath:
		if at < labelled && labelled+wide <= x2 {
			at = labelled
		}
	}
	if at < labelled || wide > room && sec.Kind != SectionChunk && sec.Kind != SectionLanding {
		return labelled
	}
	return at + s.text(text, at, laneLabels*k, left, face, font, c) + px(8)
}

func (l *Lane) stroke(s *scene, x float32, st *Stroke, kind SectionKind, p *look.Palette, k float32) {
	px, c := l.px, p.Soft
	if !st.Faint && (kind == SectionChunk || kind == SectionLanding) {
		c = p.Ink
	}
	if st.Strand {
		c = p.Accent
	}
	if st.Chosen {
		w := max(l.columnWidth(k), 12)
		s.box(box{x: x - w/2, y: l.foot*k - (laneLevels[4]*l.grow+6)*k, w: w, h: (laneLevels[4]*l.grow + 10) * k, stroke: p.Accent, width: max(px(2.5), 2), radius: px(6)})
	}
	s.box(l.strokeBox(x, st, c, k))
}

func (l *Lane) strokeBox(x float32, st *Stroke, c color.NRGBA, k float32) box {
	w, h := min(max(9*k, 4), max(l.gap*0.55, 2)), laneLevels[min(max(st.Level, 0), 4)]*k*l.grow
	b := box{x: x - w/2, y: l.foot*k - h, w: w, h: h, fill: c, radius: w / 3}
	if st.Level <= 0 {
		b.fill, b.stroke, b.width = clear, c, max(1.5*k, 1)
	}
	return b
}

func abs(v float32) float32 {
	if v < 0 {
		return -v
	}
	return v
}
