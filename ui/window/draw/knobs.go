package draw

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Knob is one setting of the loop: what it is, how it stands, and its key.
type Knob struct {
	ID    string
	Label string
	Value string
	Key   string
	Warm  bool // it stands at something unusual
}

// Knobs is a row of settings. A click turns a knob on, a click with the other
// button or the wheel turns it back.
type Knobs struct {
	canvasWidget
	knobs  []Knob
	onTurn func(id string, by int)
	over   int // −1 for none
}

var (
	_ fyne.Tappable          = (*Knobs)(nil)
	_ fyne.SecondaryTappable = (*Knobs)(nil)
	_ fyne.Scrollable        = (*Knobs)(nil)
	_ desktop.Hoverable      = (*Knobs)(nil)
	_ desktop.Cursorable     = (*Knobs)(nil)
)

// NewKnobs makes the row; onTurn is told which knob was turned, and by 1 or −1.
func NewKnobs(onTurn func(id string, by int)) *Knobs {
	k := &Knobs{onTurn: onTurn, over: -1}
	k.init(k, k.draw)
	return k
}

// Set shows the knobs.
func (k *Knobs) Set(knobs []Knob) {
	k.knobs = knobs
	k.redraw()
}

// Tapped is for Fyne.
func (k *Knobs) Tapped(e *fyne.PointEvent) { k.turn(e.Position, 1) }

// TappedSecondary is for Fyne.
func (k *Knobs) TappedSecondary(e *fyne.PointEvent) { k.turn(e.Position, -1) }

// Scrolled is for Fyne.
func (k *Knobs) Scrolled(e *fyne.ScrollEvent) {
	by := 1
	if e.Scrolled.DY < 0 {
		by = -1
	}
	k.turn(e.Position, by)
}

func (k *Knobs) turn(pos fyne.Position, by int) {
	if i := k.at(pos); i >= 0 {
		k.onTurn(k.knobs[i].ID, by)
	}
}

func (k *Knobs) at(pos fyne.Position) int {
	if i, ok := k.sc.at(pos).(int); ok && i < len(k.knobs) {
		return i
	}
	return -1
}

// MouseIn is for Fyne.
func (k *Knobs) MouseIn(e *desktop.MouseEvent) { k.MouseMoved(e) }

// MouseMoved is for Fyne.
func (k *Knobs) MouseMoved(e *desktop.MouseEvent) {
	if i := k.at(e.Position); i != k.over {
		k.over = i
		k.redraw()
	}
}

// MouseOut is for Fyne.
func (k *Knobs) MouseOut() {
	k.over = -1
	k.redraw()
}

// Cursor is for Fyne.
func (k *Knobs) Cursor() desktop.Cursor { return desktop.PointerCursor }

func (k *Knobs) draw(s *scene, size fyne.Size, p *look.Palette) {
	if len(k.knobs) == 0 {
		return
	}
	px := k.px
	gap := px(18)
	small, big := k.font(16, 13), k.font(21, 16)
	widths := make([]float32, len(k.knobs))
	spare := size.Width - gap*float32(len(k.knobs)-1)
	for _, shrink := range []float32{1, 0.94, 0.88, 0.82} {
		spare = size.Width - gap*float32(len(k.knobs)-1)
		for i, knob := range k.knobs {
			widths[i] = max(textWidth(knob.Label, look.Regular, small*shrink)+px(7)+textWidth(knob.Key, look.Bold, small*shrink),
				textWidth(knob.Value, look.Medium, big*shrink))
			spare -= widths[i]
		}
		if spare >= 0 {
			small, big = small*shrink, big*shrink
			break
		}
	}
	each := spare / float32(len(k.knobs))
	labelY, valueY := size.Height*0.38, size.Height*0.86
	from := make([]float32, len(k.knobs))
	x := float32(0)
	for i := range k.knobs {
		widths[i] += each
		from[i] = x
		s.hit(i, x, 0, widths[i]+gap, size.Height)
		x += widths[i] + gap
	}
	ground := box{}
	if k.over >= 0 && k.over < len(k.knobs) {
		ground = box{x: from[k.over] - px(8), w: widths[k.over] + px(14), h: size.Height, fill: p.Wash, radius: px(8)}
	}
	s.box(ground)
	for i, knob := range k.knobs {
		x := from[i]
		if i > 0 {
			s.box(box{x: x - gap/2 - px(1), y: px(6), w: 1, h: size.Height - px(12), fill: p.Hair})
		}
		w := s.text(knob.Label, x, labelY, left, look.Regular, small, p.Soft)
		s.text(knob.Key, x+w+px(7), labelY, left, look.Bold, small, p.Accent)
		c := p.Ink
		if knob.Warm {
			c = p.Warm
		}
		s.text(fit(knob.Value, widths[i]+gap-px(6), look.Medium, big), x, valueY, left, look.Medium, big, c)
	}
}
