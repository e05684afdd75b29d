package draw

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Status is two lines: how the climb stands, and what comes next.
type Status struct {
	canvasWidget
	main, next string
	key        string
	onNext     func()
}

var _ fyne.Tappable = (*Status)(nil)

// NewStatus makes the lines; onNext is told when the second is tapped.
func NewStatus(onNext func()) *Status {
	w := &Status{onNext: onNext}
	w.init(w, w.draw)
	return w
}

// Set shows the lines; key is the key that goes on to what comes next.
func (w *Status) Set(main, next, key string) {
	w.main, w.next, w.key = main, next, key
	w.redraw()
}

// Tapped is for Fyne.
func (w *Status) Tapped(e *fyne.PointEvent) {
	if e.Position.Y > w.Size().Height*0.55 && w.next != "" {
		w.onNext()
	}
}

func (w *Status) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := w.px
	big, small := w.font(27, 20), w.font(21, 16)
	lines := wrap(w.main, size.Width, 2, look.Medium, big)
	y := big * 0.95
	for _, line := range lines {
		s.text(line, 0, y, left, look.Medium, big, p.Ink)
		y += big * 1.2
	}
	y = max(y, size.Height*0.5+small*0.8)
	x := float32(0)
	if w.key != "" && w.next != "" {
		x = s.keycap(w.key, 0, y-small*0.33, small*0.85, p.Soft, p.Hair) + px(8)
	}
	s.text(fit(w.next, size.Width-x, look.Regular, small), x, y, left, look.Regular, small, p.Soft)
}

// Pencil is the player's own note on what is practised.
type Pencil struct {
	canvasWidget
	text   string
	key    string
	onEdit func()
}

var (
	_ fyne.Tappable      = (*Pencil)(nil)
	_ desktop.Cursorable = (*Pencil)(nil)
)

// NewPencil makes the note; onEdit is told when it is tapped.
func NewPencil(onEdit func()) *Pencil {
	w := &Pencil{onEdit: onEdit}
	w.init(w, w.draw)
	return w
}

// Set shows the note; key is the key that edits it.
func (w *Pencil) Set(text, key string) {
	w.text, w.key = text, key
	w.redraw()
}

// Tapped is for Fyne.
func (w *Pencil) Tapped(*fyne.PointEvent) { w.onEdit() }

// Cursor is for Fyne.
func (w *Pencil) Cursor() desktop.Cursor { return desktop.TextCursor }

// PencilInset is where the words of the note begin, at the reference size.
const PencilInset = 44

func (w *Pencil) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := w.px
	s.box(box{w: size.Width, h: size.Height, fill: clear, stroke: p.Hair, width: 1.5, radius: px(10)})
	my := size.Height / 2
	s.line(px(16), my+px(18), px(28), my-px(18), max(px(4), 3), p.Warm)
	font := w.font(20, 15)
	small := font * 0.8
	kw := keyWidth(w.key, small)
	if w.key != "" {
		s.keycap(w.key, size.Width-kw-px(12), size.Height-px(12)-small*0.7, small, p.Soft, p.Hair)
	}
	text, c := w.text, p.Ink
	if text == "" {
		text, c = "pencil a note here", p.Soft
	}
	lines := wrap(text, size.Width-px(PencilInset+24)-kw, 2, look.Regular, font)
	y := my + font*look.CapHeight/2 - font*1.25*float32(len(lines)-1)/2
	for _, line := range lines {
		s.text(line, px(PencilInset), y, left, look.Regular, font, c)
		y += font * 1.25
	}
}

// Notice is one line for what the player should know but need not act on now:
// a missing device, a save that failed, a rest that is due.
type Notice struct {
	canvasWidget
	text  string
	warm  bool
	onTap func()
}

var _ fyne.Tappable = (*Notice)(nil)

// NewNotice makes the line; onTap is told when it is tapped.
func NewNotice(onTap func()) *Notice {
	w := &Notice{onTap: onTap}
	w.init(w, w.draw)
	return w
}

// Set shows text; warm is for what went wrong or needs care.
func (w *Notice) Set(text string, warm bool) {
	w.text, w.warm = text, warm
	w.redraw()
}

// Tapped is for Fyne.
func (w *Notice) Tapped(*fyne.PointEvent) {
	if w.text != "" {
		w.onTap()
	}
}

func (w *Notice) draw(s *scene, size fyne.Size, p *look.Palette) {
	if w.text == "" {
		return
	}
	px := w.px
	font := w.font(19, 15)
	c := p.Soft
	if w.warm {
		c = p.Warm
	}
	y := size.Height/2 + font*look.CapHeight/2
	d := max(px(8), 6)
	s.box(box{x: 0, y: size.Height/2 - d/2, w: d, h: d, fill: c, radius: d / 2})
	s.text(fit(w.text, size.Width-d-px(8), look.Medium, font), d+px(8), y, left, look.Medium, font, c)
}
