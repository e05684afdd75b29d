package draw

import (
	"image/color"

	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// FingerWay is what a finger does in a change.
type FingerWay int

// The ways.
const (
	FingerUp    FingerWay = iota // it stays up
	FingerDown                   // it stays down
	FingerPress                  // it goes down
	FingerLift                   // it comes up
	FingerSlide                  // it goes from key to key
	FingerRoll                   // it adds or drops a key without leaving the other
	FingerIdle                   // it has no keys, and is not drawn
)

// FingerModel is one finger: what it does, and the keys that it held and holds.
type FingerModel struct {
	Way     FingerWay
	Was, Is string
}

// HandsModel is both hands in a change, or on a single note.
type HandsModel struct {
	Lead string // "B4 to C#5"; empty for nothing to show
	Text string // what makes the change hard
	Care string // a caution
	// Fingers are those of the left hand and then the right, each from the thumb to the
	// little finger.
	Fingers [10]FingerModel
}

// Hands shows both hands as the player sees their backs: every finger is a bar from
// the knuckles down. A full bar that reaches the line is down, a hollow one that ends
// above it is up; an arrow shows which way a finger moves, and under the line stand
// the keys.
type Hands struct {
	canvasWidget
	model HandsModel
}

// NewHands makes the picture.
func NewHands() *Hands {
	w := &Hands{}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Hands) Set(m HandsModel) {
	w.model = m
	w.redraw()
}

// Model is what is shown.
func (w *Hands) Model() HandsModel { return w.model }

// fingerPlace is a finger's bar in a picture of a hand.
type fingerPlace struct {
	finger int     // its index in the model
	x      float32 // its middle, in lanes from the left edge of both hands
	knee   float32 // where it begins, as a share of the height over the line, from the top
}

// handPlaces are the ten bars: the left little finger first, the thumbs inside and
// lower, as hands lie side by side. All of it is measured in lanes, [handLanes] wide.
func handPlaces() [10]fingerPlace {
	knees := [5]float32{0.42, 0.10, 0, 0.08, 0.22} // thumb, first to little finger
	var out [10]fingerPlace
	for digit, knee := range knees {
		out[digit] = fingerPlace{digit, 4.5 - float32(digit), knee}
		out[5+digit] = fingerPlace{5 + digit, handLanes - 4.5 + float32(digit), knee}
	}
	return out
}

// handLanes is how many lanes both hands take: five each, and one between.
const handLanes = 11

func (w *Hands) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	s.box(box{w: size.Width, h: size.Height, fill: p.Card})
	s.box(box{w: size.Width, h: 1, fill: p.Hair})
	if m.Lead == "" {
		return
	}
	edge := px(28)
	lane := min(px(56), (size.Width*0.58-edge)/handLanes)
	x0 := size.Width - edge - lane*handLanes
	w.words(s, edge, x0-px(24)-edge, size, p)
	label := w.font(17, 13)
	top, line := size.Height*0.08, size.Height-label*1.9
	for _, hand := range []float32{0, handLanes - 5} { // the keys, and the knuckles
		s.box(box{x: x0 + hand*lane, y: line, w: 5 * lane, h: max(px(2), 1.5), fill: p.Rung})
	}
	for _, at := range handPlaces() {
		w.finger(s, m.Fingers[at.finger], x0+at.x*lane, lane, top+at.knee*(line-top), line, label, p)
	}
}

// words are left of the hands.
func (w *Hands) words(s *scene, x, room float32, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	lead, text, care := w.font(26, 19), w.font(19, 15), w.font(15, 12)
	y := px(12) + lead
	s.text(fit(m.Lead, room, look.Bold, lead), x, y, left, look.Bold, lead, p.Ink)
	cares := wrap(m.Care, room, 2, look.Regular, care)
	lines := int((size.Height - y - px(10) - float32(len(cares))*care*1.3) / (text * 1.25))
	for _, line := range wrap(m.Text, room, max(lines, 1), look.Regular, text) {
		y += text * 1.3
		s.text(line, x, y, left, look.Regular, text, p.Ink)
	}
	y = size.Height - px(10) - float32(len(cares)-1)*care*1.3
	for _, line := range cares {
		s.text(line, x, y, left, look.Regular, care, p.Soft)
		y += care * 1.3
	}
}

// finger is a bar with what it does.
func (w *Hands) finger(s *scene, f FingerModel, x, lane, from, line, label float32, p *look.Palette) {
	if f.Way == FingerIdle {
		return
	}
	px := w.px
	wide := lane * 0.52
	gap := max(px(15), 11) // from the tip of a finger that is up to the line
	down := f.Way != FingerUp && f.Way != FingerLift
	bar := box{x: x - wide/2, y: from, w: wide, h: line - from - gap, stroke: p.Rung, width: max(px(2), 1.5), radius: wide / 2}
	stroke := max(px(3.5), 2.5)
	var moving color.NRGBA
	switch f.Way {
	case FingerDown:
		bar.fill, bar.stroke = p.Soft, p.Soft
	case FingerPress, FingerSlide, FingerRoll:
		moving = p.Accent
		bar.fill, bar.stroke = p.Accent, p.Accent
	case FingerLift:
		moving = p.Warm
		bar.stroke, bar.width = p.Warm, stroke
	}
	if down {
		bar.h = line - from
	}
	s.box(bar)
	switch mid := from + (line-gap-from)*0.55; f.Way {
	case FingerPress:
		w.arrow(s, x, mid, wide, 0, 1, stroke, p.On)
	case FingerLift:
		w.arrow(s, x, mid, wide, 0, -1, stroke, moving)
	case FingerSlide:
		w.arrow(s, x, mid, wide, 1, 0, stroke, p.On)
	case FingerRoll:
		s.box(box{x: x - wide*0.22, y: mid - wide*0.22, w: wide * 0.44, h: wide * 0.44, stroke: p.On, width: stroke, radius: wide * 0.22})
	}
	text, c := f.Is, p.Ink
	switch f.Way {
	case FingerLift:
		text, c = f.Was, p.Warm
	case FingerSlide, FingerRoll:
		text, c = f.Was+"›"+f.Is, p.Accent
	case FingerPress:
		c = p.Accent
	}
	face := look.Regular
	if moving.A > 0 {
		face = look.Bold
	}
	text, size := squeeze(text, lane*1.25, face, label, 0.6)
	s.text(text, x, line+label*1.25, mid, face, size, c)
}

// arrow is a point that shows up, down or to the right, about as wide as a bar.
func (w *Hands) arrow(s *scene, x, y, wide, dx, dy, stroke float32, c color.NRGBA) {
	r := wide * 0.3
	if dy != 0 {
		s.line(x-r, y-dy*r/2, x, y+dy*r/2, stroke, c)
		s.line(x+r, y-dy*r/2, x, y+dy*r/2, stroke, c)
		return
	}
	s.line(x-dx*r/2, y-r, x+dx*r/2, y, stroke, c)
	s.line(x-dx*r/2, y+r, x+dx*r/2, y, stroke, c)
}
