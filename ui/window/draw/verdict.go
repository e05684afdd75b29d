package draw

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// VerdictModel is the bar at the foot of the Stand.
type VerdictModel struct {
	Running bool
	// The keys beside what they do.
	RoughKey, SkipKey, StartKey, CleanKey string
}

// VerdictButton is one of its buttons.
type VerdictButton int

// The buttons, from left to right.
const (
	pressNothing VerdictButton = iota - 1
	PressRough
	PressSkip
	PressStart
	PressClean
)

// Verdict is the bar of buttons that are also keys and pedals.
type Verdict struct {
	canvasWidget
	model   VerdictModel
	onPress func(VerdictButton)
	over    VerdictButton // pressNothing for none
}

var (
	_ fyne.Tappable      = (*Verdict)(nil)
	_ desktop.Hoverable  = (*Verdict)(nil)
	_ desktop.Cursorable = (*Verdict)(nil)
)

// NewVerdict makes the bar; onPress is told which button was pressed.
func NewVerdict(onPress func(VerdictButton)) *Verdict {
	v := &Verdict{onPress: onPress, over: pressNothing}
	v.init(v, v.draw)
	return v
}

// Set shows m.
func (v *Verdict) Set(m VerdictModel) {
	v.model = m
	v.redraw()
}

// Tapped is for Fyne.
func (v *Verdict) Tapped(e *fyne.PointEvent) {
	if b := v.at(e.Position); b != pressNothing {
		v.onPress(b)
	}
}

func (v *Verdict) at(pos fyne.Position) VerdictButton {
	if b, ok := v.sc.at(pos).(VerdictButton); ok {
		return b
	}
	return pressNothing
}

// MouseIn is for Fyne.
func (v *Verdict) MouseIn(e *desktop.MouseEvent) { v.MouseMoved(e) }

// MouseMoved is for Fyne.
func (v *Verdict) MouseMoved(e *desktop.MouseEvent) {
	if b := v.at(e.Position); b != v.over {
		v.over = b
		v.redraw()
	}
}

// MouseOut is for Fyne.
func (v *Verdict) MouseOut() {
	v.over = pressNothing
	v.redraw()
}

// Cursor is for Fyne.
func (v *Verdict) Cursor() desktop.Cursor {
	if v.over != pressNothing {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

func (v *Verdict) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := v.px, v.model
	s.box(box{w: size.Width, h: size.Height, fill: p.Card})
	s.box(box{w: size.Width, h: 1, fill: p.Hair})
	edge, gap := px(28), px(18)
	room := size.Width - 2*edge - 3*gap
	widths := [4]float32{room * 0.27, room * 0.15, room * 0.31, room * 0.27}
	start := "Start"
	if m.Running {
		start = "Stop"
	}
	// The one thing to do next is filled: start, and once the click runs, clean.
	buttons := [4]struct {
		label, key string
		c          color.NRGBA
		filled     bool
	}{
		{"Rough", m.RoughKey, p.Warm, false},
		{"Skip", m.SkipKey, p.Soft, false},
		{start, m.StartKey, p.Ink, !m.Running},
		{"Clean", m.CleanKey, p.Accent, m.Running},
	}
	x := edge
	y, h := size.Height*0.15, size.Height*0.70
	for i, b := range buttons {
		w := widths[i]
		s.hit(VerdictButton(i), x, 0, w, size.Height)
		c, fill, frame := b.c, p.Card, b.c
		if v.over == VerdictButton(i) {
			fill = p.Wash
		}
		if b.filled {
			c, fill, frame = p.On, p.Accent, p.Accent
		}
		s.box(box{x: x, y: y, w: w, h: h, fill: fill, stroke: frame, width: max(px(2.5), 2), radius: px(14)})
		font := v.font(35, look.FarSize)
		key := max(px(21), 16)
		kw := keyWidth(b.key, key)
		lw := textWidth(b.label, look.Bold, font)
		// The label stands in the middle unless the key would touch it.
		lx := min(x+w/2, x+w-px(16)-kw-px(10)-lw/2)
		s.text(b.label, lx, y+h/2+font*look.CapHeight/2, mid, look.Bold, font, c)
		s.keycap(b.key, x+w-px(16)-kw, y+h/2, key, c, clear)
		x += w + gap
	}
}
