package draw

import (
	"image/color"
	"sort"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// SectionKind is a part of what is looped.
type SectionKind int

// The parts of the loop.
const (
	SectionCountIn SectionKind = iota
	SectionChunk
	SectionLanding
	SectionBreath
)

// Stroke is one slot of the lane.
type Stroke struct {
	At       float64 // beats from the start of the lane
	Level    int     // dynamics from 0, silent, to 4, f
	Syllable string
	Beat     bool // the first slot of a beat
	Faint    bool // it only fills up the time
	Strand   bool // it is of the strand that lies against the beat's
	Editable bool // a click changes its dynamics
	Chosen   bool // keys change its dynamics
}

// Section is a run of strokes under one label.
type Section struct {
	Kind    SectionKind
	Label   string
	Short   string // in place of Label where there is no room for it
	Beats   float64
	Strokes []Stroke
}

// LaneModel is the loop in time. Now is the stroke that is heard, counted over
// all sections, or −1.
type LaneModel struct {
	Sections []Section
	Now      int
	// Active is the section that is heard, or −1.
	Active int
	// Heard is the stroke that is heard, or −1, also where no light follows it:
	// notes turn their pages by it.
	Heard int
	// Staff makes room for notes, which may still have to be found.
	Staff bool
	Notes *LaneNotes
}

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

type laneHit struct {
	x               float32
	section, stroke int
}

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

// Tapped is for Fyne.
func (l *Lane) Tapped(e *fyne.PointEvent) { l.tapped(e.Position, 1) }

// TappedSecondary is for Fyne.
func (l *Lane) TappedSecondary(e *fyne.PointEvent) { l.tapped(e.Position, -1) }

func (l *Lane) tapped(pos fyne.Position, turn int) {
	if i := l.hit(pos); i >= 0 {
		l.onStroke(l.hits[i].section, l.hits[i].stroke, turn)
	}
}

// hit is the editable stroke nearest to pos, or −1.
func (l *Lane) hit(pos fyne.Position) int {
	if len(l.hits) == 0 || pos.Y < l.top || pos.Y > l.end {
		return -1
	}
	best, at := l.px(16), -1
	for i, h := range l.hits {
		if d := abs(h.x - pos.X); d < best {
			best, at = d, i
		}
	}
	return at
}

// MouseIn is for Fyne.
func (l *Lane) MouseIn(e *desktop.MouseEvent) { l.MouseMoved(e) }

// MouseMoved is for Fyne.
func (l *Lane) MouseMoved(e *desktop.MouseEvent) { l.hover = l.hit(e.Position) >= 0 }

// MouseOut is for Fyne.
func (l *Lane) MouseOut() { l.hover = false }

// Cursor is for Fyne.
func (l *Lane) Cursor() desktop.Cursor {
	if l.hover {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// Scrolled turns the page of a lane that is too long for one.
func (l *Lane) Scrolled(e *fyne.ScrollEvent) {
	switch d := e.Scrolled.DX + e.Scrolled.DY; {
	case d < 0:
		l.page++
	case d > 0 && l.page > 0:
		l.page--
	}
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

// span is what the lane shows: beats from, to, and pixels a beat.
type span struct{ from, to, scale float64 }

// stretch is a run of beats on the lane: from lies at x.
type stretch struct {
	from, to float64
	x, beat  float64
}

func (t stretch) at(beat float64) float32 { return float32(t.x + (beat-t.from)*t.beat) }

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

// stretches are what the lane shows, from left to right, and of how many pages:
// without notes all of it, or the page on which the heard stroke lies.
func (l *Lane) stretches(size fyne.Size, notes *staff) ([]stretch, int) {
	edge := l.px(laneEdge)
	if notes != nil {
		l.gap = float32(l.closest() * float64(notes.beat))
		return l.turned(notes)
	}
	v, pages := l.view(float64(size.Width - 2*edge))
	if v.to <= v.from {
		return nil, 0
	}
	return []stretch{{v.from, v.to, float64(edge), v.scale}}, pages
}

// laneWord is a syllable and where it stands.
type laneWord struct {
	x    float32
	s    string
	beat bool
	kind SectionKind
}

// words writes the syllables: somewhat smaller where they would touch, and
// where that does not help only as many as stay clear of those on the beat.
// Those that the light's foot would cut into wait under it; but a foot that rests
// makes way for them. It returns where the foot is.
func (l *Lane) words(s *scene, p *look.Palette, words []laneWord, under [2]float32, rests bool, k float32) [2]float32 {
	sort.SliceStable(words, func(a, b int) bool { return words[a].beat && !words[b].beat })
	style := func(w laneWord, share float32) (look.Face, float32, color.NRGBA) {
		switch {
		case w.kind != SectionChunk && w.kind != SectionLanding:
			return look.Regular, max(24*k*share, 14), p.Soft
		case w.beat:
			return look.Bold, max(28*k*share, 15), p.Ink
		}
		return look.Regular, max(24*k*share, 14), p.Ink
	}
	place := func(share float32) (kept []laneWord) {
		var taken [][2]float32
		for _, w := range words {
			face, font, _ := style(w, share)
			half := textWidth(w.s, face, font)/2 + max(2*k, 2)
			if !touches(taken, w.x-half, w.x+half) {
				taken = append(taken, [2]float32{w.x - half, w.x + half})
				kept = append(kept, w)
			}
		}
		return kept
	}
	share := float32(1)
	kept := place(share)
	for _, smaller := range []float32{0.86, 0.74} {
		if len(kept) == len(words) {
			break
		}
		if all := place(smaller); len(all) == len(words) {
			share, kept = smaller, all
		}
	}
	edges := func(w laneWord) (from, to float32) {
		face, font, _ := style(w, share)
		half := textWidth(w.s, face, font) / 2
		return w.x - half, w.x + half
	}
	if rests {
		for _, w := range kept {
			if from, to := edges(w); from < under[0] && to > under[0] {
				under[0], under[1] = to+k, under[1]+to+k-under[0]
			}
		}
	}
	for _, w := range kept {
		face, font, c := style(w, share)
		from, to := edges(w)
		if cut := to > under[0] && from < under[1] && (from < under[0] || to > under[1]); cut {
			s.withhold()
			continue
		}
		s.text(w.s, w.x, l.written*k, mid, face, font, c)
	}
	return under
}

// worded reports whether any stroke has a syllable.
func (l *Lane) worded() bool {
	for _, sec := range l.model.Sections {
		for _, st := range sec.Strokes {
			if st.Syllable != "" {
				return true
			}
		}
	}
	return false
}

// view is the part of the lane that is shown: all of it, or the page on which
// the heard stroke lies.
func (l *Lane) view(width float64) (v span, pages int) {
	total, gap := l.total(), l.closest()
	defer func() { l.gap = float32(gap * v.scale) }()
	now := l.strokeAt(l.model.Now)
	if total == 0 {
		return span{}, 0
	}
	if width*gap/total >= leastGap {
		return span{0, total, width / total}, 1
	}
	beats := max(float64(int(width*gap/leastGap)), 1)
	pages = int((total + beats - 1e-9) / beats)
	if float64(pages)*beats < total {
		pages++
	}
	if now >= 0 {
		l.page = int(now / beats)
	}
	l.page = min(max(l.page, 0), pages-1)
	from := float64(l.page) * beats
	return span{from, min(from+beats, total), width / beats}, pages
}

// total is how long the lane is, in beats.
func (l *Lane) total() (beats float64) {
	for _, sec := range l.model.Sections {
		beats += sec.Beats
	}
	return beats
}

// closest is the least time between two strokes, a beat where there are none.
func (l *Lane) closest() float64 {
	gap, last := 0.0, -1.0
	for _, sec := range l.model.Sections {
		for _, st := range sec.Strokes {
			if d := st.At - last; last >= 0 && d > 0 && (gap == 0 || d < gap) {
				gap = d
			}
			last = st.At
		}
	}
	if gap == 0 {
		return 1
	}
	return gap
}

// strokeAt is where a stroke lies that is counted over all sections, −1 for none.
func (l *Lane) strokeAt(index int) float64 {
	for _, sec := range l.model.Sections {
		if index >= 0 && index < len(sec.Strokes) {
			return sec.Strokes[index].At
		}
		index -= len(sec.Strokes)
	}
	return -1
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

// pages shows which page of a long lane this is.
func (l *Lane) pages(s *scene, p *look.Palette, size fyne.Size, pages int) {
	d := max(l.px(7), 5)
	x := size.Width - l.px(16) - float32(min(pages, 24))*d*1.7
	for i := range min(pages, 24) {
		c := p.Rung
		if i == l.page {
			c = p.Accent
		}
		s.box(box{x: x + float32(i)*d*1.7, y: l.px(16), w: d, h: d, fill: c, radius: d / 2})
	}
}

func touches(taken [][2]float32, from, to float32) bool {
	for _, t := range taken {
		if from < t[1] && to > t[0] {
			return true
		}
	}
	return false
}

func abs(v float32) float32 {
	if v < 0 {
		return -v
	}
	return v
}
