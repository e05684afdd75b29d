package draw

import (
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Bar is one full bar of the passage.
type Bar struct {
	Number string
	Beats  int
}

// PassageModel is the passage and the chunk that is cut from it. Places are in
// grains from the line of the first full bar; a beat has Grain of them.
type PassageModel struct {
	Title string // "Passage"
	Bars  []Bar
	Grain int
	// Pickup is how many grains come before the first full bar. It has no number.
	Pickup int
	Start  int
	End    int
	// Landing adds a mark after the chunk.
	Landing bool
	// Label names a chunk: "chunk: bar 18, beats 2–3".
	Label func(start, end int) string
	// The keys that move and size the chunk, and the one that changes by how
	// much: earlier, later, shrink, widen, by.
	Keys [5]string
	// Slots are the places of a beat's slots, in grains from the beat.
	Slots []int
	// BySlot lets drags and keys move by slots rather than by beats, and ByName
	// names what they move by.
	BySlot bool
	ByName string
}

// end is the place of the line after the last bar.
func (m PassageModel) end() int {
	n := 0
	for _, b := range m.Bars {
		n += b.Beats
	}
	return n * max(m.Grain, 1)
}

// grains is the length of the passage.
func (m PassageModel) grains() int { return m.Pickup + m.end() }

// snap is the beat, or the slot, nearest to a place; of two as near, the later.
func (m PassageModel) snap(at float64, bySlot bool) int {
	grain := max(m.Grain, 1)
	beat := int(math.Floor(at/float64(grain))) * grain
	stops := []int{0}
	if bySlot && len(m.Slots) > 0 {
		stops = m.Slots
	}
	best := beat + grain
	for _, stop := range slices.Backward(stops) {
		if math.Abs(at-float64(beat+stop)) < math.Abs(at-float64(best)) {
			best = beat + stop
		}
	}
	return best
}

// Passage is a strip of bars and beats with the chunk as a bracket on it. The
// two handles are dragged by beats or by slots, as the model says, and by slots
// while Shift is held; the bracket between them is dragged as a whole.
type Passage struct {
	canvasWidget
	model   PassageModel
	onChunk func(start, end int)

	grip       grip
	start, end int     // while dragged
	offset     float64 // grains from the start of the chunk to where it was taken
	fine       bool
	hover      grip
	x0, x1     float32 // the line, as drawn
}

type grip int

const (
	gripNone grip = iota
	gripStart
	gripEnd
	gripWhole
)

var (
	_ fyne.Tappable      = (*Passage)(nil)
	_ fyne.Draggable     = (*Passage)(nil)
	_ desktop.Mouseable  = (*Passage)(nil)
	_ desktop.Hoverable  = (*Passage)(nil)
	_ desktop.Cursorable = (*Passage)(nil)
)

// NewPassage makes the strip; onChunk is told the chunk that was set by a drag.
func NewPassage(onChunk func(start, end int)) *Passage {
	p := &Passage{onChunk: onChunk}
	p.init(p, p.draw)
	return p
}

// Set shows m.
func (w *Passage) Set(m PassageModel) {
	w.model = m
	w.redraw()
}

// Tapped puts the chunk where the strip was tapped, its length kept.
func (w *Passage) Tapped(e *fyne.PointEvent) {
	if w.over(e.Position) != gripNone || w.x1 <= w.x0 || e.Position.Y < w.px(20) {
		return
	}
	m := w.model
	grain := max(m.Grain, 1)
	start := int(math.Floor(w.grainsAt(e.Position.X)/float64(grain))) * grain
	start = min(max(start, -m.Pickup), m.end()-(m.End-m.Start))
	w.onChunk(start, start+m.End-m.Start)
}

// MouseDown is for Fyne.
func (w *Passage) MouseDown(e *desktop.MouseEvent) { w.fine = e.Modifier&fyne.KeyModifierShift != 0 }

// MouseUp is for Fyne.
func (w *Passage) MouseUp(*desktop.MouseEvent) {}

// MouseIn is for Fyne.
func (w *Passage) MouseIn(e *desktop.MouseEvent) { w.MouseMoved(e) }

// MouseMoved is for Fyne.
func (w *Passage) MouseMoved(e *desktop.MouseEvent) { w.hover = w.over(e.Position) }

// MouseOut is for Fyne.
func (w *Passage) MouseOut() { w.hover = gripNone }

// Cursor is for Fyne.
func (w *Passage) Cursor() desktop.Cursor {
	switch {
	case w.hover == gripWhole:
		return desktop.PointerCursor
	case w.hover != gripNone || w.grip != gripNone:
		return desktop.HResizeCursor
	}
	return desktop.DefaultCursor
}

// Dragged is for Fyne.
func (w *Passage) Dragged(e *fyne.DragEvent) {
	if w.grip == gripNone {
		from := e.Position.SubtractXY(e.Dragged.DX, e.Dragged.DY)
		w.grip = w.over(from)
		if w.grip == gripNone {
			return
		}
		w.start, w.end = w.model.Start, w.model.End
		w.offset = w.grainsAt(from.X) - float64(w.start)
	}
	m := w.model
	snap := func(at float64) int { return m.snap(at, m.BySlot || w.fine) }
	at := w.grainsAt(e.Position.X)
	switch w.grip {
	case gripStart:
		w.start = min(max(snap(at), -m.Pickup), m.End-1)
	case gripEnd:
		w.end = min(max(snap(at), m.Start+1), m.end())
	case gripWhole:
		length := m.End - m.Start
		w.start = min(max(snap(at-w.offset), -m.Pickup), m.end()-length)
		w.end = w.start + length
	}
	w.redraw()
}

// DragEnd is for Fyne.
func (w *Passage) DragEnd() {
	if w.grip == gripNone {
		return
	}
	w.grip = gripNone
	if w.start != w.model.Start || w.end != w.model.End {
		w.onChunk(w.start, w.end)
	}
	w.redraw()
}

// over is what lies under pos.
func (w *Passage) over(pos fyne.Position) grip {
	m := w.model
	if m.grains() == 0 || w.x1 <= w.x0 {
		return gripNone
	}
	a, b := w.x(float64(m.Start)), w.x(float64(m.End))
	reach := max(w.px(14), 12)
	ds, de := abs(pos.X-a), abs(pos.X-b)
	switch {
	case min(ds, de) > reach && pos.X > a && pos.X < b:
		return gripWhole
	case ds <= de && ds <= reach:
		return gripStart
	case de <= reach:
		return gripEnd
	}
	return gripNone
}

func (w *Passage) x(grains float64) float32 {
	m := w.model
	return w.x0 + (w.x1-w.x0)*float32((grains+float64(m.Pickup))/float64(m.grains()))
}

func (w *Passage) grainsAt(x float32) float64 {
	m := w.model
	return float64((x-w.x0)/(w.x1-w.x0))*float64(m.grains()) - float64(m.Pickup)
}

func (w *Passage) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	font := w.font(18, 15)
	titleY, lineY := px(22), px(46)
	end := px(4) + textWidth(m.Title, look.Regular, font)
	w.x0, w.x1 = px(2), size.Width-px(2)
	if m.grains() == 0 || m.Label == nil {
		s.text(m.Title, 0, titleY, left, look.Regular, font, p.Soft)
		return
	}
	keys := w.keys(s, p, size.Width, titleY, font)

	start, stop := m.Start, m.End
	if w.grip != gripNone {
		start, stop = w.start, w.end
	}
	a, b := w.x(float64(start)), w.x(float64(stop))
	w.ruler(s, p, lineY)

	s.box(box{x: a, y: lineY - px(9), w: b - a, h: px(18), fill: p.Wash, stroke: p.Accent, width: max(px(2.5), 2), radius: px(4)})
	for _, hx := range []float32{a, b} {
		hw := max(px(7), 5)
		s.box(box{x: hx - hw/2, y: lineY - px(20), w: hw, h: px(31), fill: p.Accent, radius: hw / 2})
	}
	if m.Landing && stop < m.end() {
		d := max(px(10), 8)
		lx := min(w.x(float64(stop))+px(14), w.x1-d/2)
		s.box(box{x: lx - d/2, y: lineY - d/2, w: d, h: d, fill: p.Paper, stroke: p.Accent, width: max(px(2.5), 2), radius: d / 2})
	}
	label := m.Label(start, stop)
	bold := w.font(20, 16)
	if wide, room := textWidth(label, look.Bold, bold), keys-px(12); wide > room {
		bold *= room / wide // the words of a chunk that begins and ends anywhere are many
	}
	half := textWidth(label, look.Bold, bold) / 2
	if keys-px(12)-2*half < end+px(16) {
		end = -px(16) // no room for both: the chunk says more
	} else {
		s.text(m.Title, 0, titleY, left, look.Regular, font, p.Soft)
	}
	lx := max(min(max((a+b)/2, end+px(16)+half), keys-px(12)-half), half)
	s.text(label, lx, titleY, mid, look.Bold, bold, p.Accent)
}

// numberY is the base line of the bars' numbers under the line.
const numberY = 27

// ruler draws the bars, and the beats where there is room for them.
func (w *Passage) ruler(s *scene, p *look.Palette, y float32) {
	px, m := w.px, w.model
	font := w.font(18, 15)
	grain := max(m.Grain, 1)
	perBeat := (w.x1 - w.x0) * float32(grain) / float32(m.grains())
	s.box(box{x: w.x0, y: y - px(1), w: w.x1 - w.x0, h: max(px(2), 1), fill: p.Ink})
	at, each := 0, w.numbered(perBeat, font)
	room := px(numberY) - font*look.CapHeight - px(1.5) // from the line to the numbers
	beat := func(n int) {
		s.box(box{x: w.x(float64(n*grain)) - px(0.75), y: y, w: max(px(1.5), 1), h: min(px(13), room), fill: p.Soft})
	}
	for i := 1; i*grain <= m.Pickup && perBeat >= 6; i++ {
		beat(-i)
	}
	for n, bar := range m.Bars {
		bx := w.x(float64(at * grain))
		wide := perBeat * float32(bar.Beats)
		numbered := n%each == 0
		if wide >= 5 || numbered {
			h := px(28)
			if !numbered && wide < px(40) {
				h = min(px(11), room) // clear of the numbers
			}
			s.box(box{x: bx - px(1.25), y: y, w: max(px(2.5), 1.5), h: h, fill: p.Ink, radius: px(1)})
		}
		if numbered {
			s.text(bar.Number, bx+px(7), y+px(numberY), left, look.Medium, font, p.Ink)
		}
		if perBeat >= 6 {
			for i := 1; i < bar.Beats; i++ {
				beat(at + i)
			}
		}
		at += bar.Beats
	}
	s.box(box{x: w.x1 - px(1.25), y: y, w: max(px(2.5), 1.5), h: px(28), fill: p.Ink, radius: px(1)})
}

// numbered is of how many bars one has room for its number.
func (w *Passage) numbered(perBeat, font float32) int {
	most, wide := float32(0), perBeat
	for i, bar := range w.model.Bars {
		most = max(most, textWidth(bar.Number, look.Medium, font))
		if own := perBeat * float32(bar.Beats); i == 0 || own < wide {
			wide = own // the shortest bar has the least room
		}
	}
	if wide <= 0 {
		return len(w.model.Bars)
	}
	return max(int(math.Ceil(float64((most+w.px(14))/wide))), 1)
}

// keys draws the key hints at the right end and returns where they begin.
func (w *Passage) keys(s *scene, p *look.Palette, edge, y, font float32) float32 {
	px, k := w.px, w.model.Keys
	small := font * 0.85
	x := edge
	for _, part := range []struct{ text, key string }{{"by " + w.model.ByName, k[4]}, {"size", k[3]}, {"", k[2]}, {"move", k[1]}, {"", k[0]}} {
		if part.key == "" {
			continue
		}
		if part.text != "" {
			x -= textWidth(part.text, look.Regular, font)
			s.text(part.text, x, y, left, look.Regular, font, p.Soft)
			x -= px(7)
		}
		x -= keyWidth(part.key, small)
		s.keycap(part.key, x, y-font*0.33, small, p.Soft, p.Hair)
		x -= px(5)
		if part.text == "" || part.key == k[4] {
			x -= px(12)
		}
	}
	return x
}
