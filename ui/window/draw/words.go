package draw

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Status is two lines: how the climb stands, and what comes next or came
// before.
type Status struct {
	canvasWidget
	main           string
	next, back     Choice
	onNext, onBack func()
}

var _ fyne.Tappable = (*Status)(nil)

// NewStatus makes the lines; onNext and onBack are told when what comes next or
// came before is tapped.
func NewStatus(onNext, onBack func()) *Status {
	w := &Status{onNext: onNext, onBack: onBack}
	w.init(w, w.draw)
	return w
}

// Set shows the lines. next and back may be empty; where both are there and
// room is short, back is its key alone.
func (w *Status) Set(main string, next, back Choice) {
	w.main, w.next, w.back = main, next, back
	w.redraw()
}

// Tapped is for Fyne.
func (w *Status) Tapped(e *fyne.PointEvent) {
	switch w.sc.at(e.Position) {
	case "next":
		w.onNext()
	case "back":
		w.onBack()
	}
}

func (w *Status) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := w.px
	small := w.font(21, 16)
	y := w.climb(s, size, p, size.Height-small*1.7) + small*1.4
	y = max(y, size.Height*0.6+small*0.8)
	top := y - small
	gap := px(26)
	choice := func(c Choice, x, room float32) float32 {
		at := x
		if c.Key != "" {
			at += s.keycap(c.Key, at, y-small*0.33, small*0.85, p.Soft, p.Hair) + px(8)
		}
		text, font := squeeze(c.Label, x+room-at, look.Regular, small, 0.8)
		return at + s.text(text, at, y, left, look.Regular, font, p.Soft)
	}
	wide := func(c Choice) float32 {
		return keyWidth(c.Key, small*0.85) + px(8) + textWidth(c.Label, look.Regular, small)
	}
	x, next, back := float32(0), w.next, w.back
	if next.Label != "" && back.Label != "" {
		if wide(next)+gap+wide(back) > size.Width {
			back.Label = "back"
		}
		if wide(next)*0.8+gap+wide(back) > size.Width {
			back = Choice{} // what may help now goes before
		}
	}
	if next.Label != "" {
		room := size.Width
		if back.Label != "" {
			room -= gap + wide(back)
		}
		x = choice(next, 0, room) + gap
		s.hit("next", 0, top, x-gap/2, size.Height-top)
	}
	if back.Label != "" {
		s.hit("back", x-gap/2, top, choice(back, x, size.Width-x)-x+gap, size.Height-top)
	}
}

// climb tells how the climb stands, within the height, to be read from behind the
// stand: what comes before a dash is small over what matters, and the rest is as
// large as there is room for. It returns the last base line.
func (w *Status) climb(s *scene, size fyne.Size, p *look.Palette, height float32) float32 {
	const least = 20
	big, lead := w.font(34, look.FarSize), w.font(21, 16)
	before, main, cut := strings.Cut(w.main, " — ")
	y := float32(0)
	if cut {
		y += lead * 0.95
		s.text(fit(before, size.Width, look.Medium, lead), 0, y, left, look.Medium, lead, p.Soft)
		y += lead * 0.2
	} else {
		main = w.main
	}
	for _, lines := range []float32{1, 2} {
		font := min(big, (height-y)/(0.95+1.1*(lines-1)))
		for font > least && cutOff(main, size.Width, int(lines), font) {
			font -= 0.5
		}
		if lines == 1 && (font < 0.75*big || cutOff(main, size.Width, 1, font)) && !cut {
			continue
		}
		y += font * 0.95
		for i, line := range wrap(main, size.Width, int(lines), look.Medium, font) {
			if i > 0 {
				y += font * 1.1
			}
			s.text(line, 0, y, left, look.Medium, font, p.Ink)
		}
		break
	}
	return y
}

// cutOff reports whether so many lines are too few for the text.
func cutOff(text string, width float32, lines int, font float32) bool {
	got := wrap(text, width, lines, look.Medium, font)
	return len(got) > 0 && strings.HasSuffix(got[len(got)-1], "…")
}

// Pencil is the player's own note on what is practised.
type Pencil struct {
	canvasWidget
	text    string
	key     string
	writing bool
	cut     bool // the words do not all fit
	onEdit  func()
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

// SetWriting leaves the words out, for the entry that lies over them.
func (w *Pencil) SetWriting(on bool) {
	w.writing = on
	w.redraw()
}

// Cut reports whether the note has more words than there is room for.
func (w *Pencil) Cut() bool { return w.cut }

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
	if w.writing {
		return
	}
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
	room := size.Width - px(PencilInset+24) - kw
	lines := wrap(text, room, int((size.Height-px(8))/(font*1.25)), look.Regular, font)
	w.cut = len(lines) > 0 && strings.HasSuffix(lines[len(lines)-1], "…")
	y := my + font*look.CapHeight/2 - font*1.25*float32(len(lines)-1)/2
	for _, line := range lines {
		s.text(line, px(PencilInset), y, left, look.Regular, font, c)
		y += font * 1.25
	}
}

// Choice is something that the player may do about a notice.
type Choice struct{ ID, Label, Key string }

// NoticeModel is one line for what the player should know but need not act on
// now: a missing device, a save that failed, a rest that is due.
type NoticeModel struct {
	Text    string
	Warm    bool // it went wrong, or needs care
	Choices []Choice
}

// Notice shows a line and never stands in the way.
type Notice struct {
	canvasWidget
	model    NoticeModel
	onChoice func(id string)
}

var _ fyne.Tappable = (*Notice)(nil)

// NewNotice makes the line; onChoice is told which choice was tapped, or the
// empty string for a tap on the line itself.
func NewNotice(onChoice func(id string)) *Notice {
	w := &Notice{onChoice: onChoice}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Notice) Set(m NoticeModel) {
	w.model = m
	w.redraw()
}

// Tapped is for Fyne.
func (w *Notice) Tapped(e *fyne.PointEvent) {
	if w.model.Text == "" {
		return
	}
	id, _ := w.sc.at(e.Position).(string)
	w.onChoice(id)
}

func (w *Notice) draw(s *scene, size fyne.Size, p *look.Palette) {
	m := w.model
	if m.Text == "" {
		return
	}
	px := w.px
	font := w.font(19, 15)
	small := font * 0.85
	c := p.Soft
	if m.Warm {
		c = p.Warm
	}
	y := size.Height/2 + font*look.CapHeight/2
	d := max(px(8), 6)
	s.box(box{x: 0, y: size.Height/2 - d/2, w: d, h: d, fill: c, radius: d / 2})
	room := size.Width - d - px(8)
	for _, ch := range m.Choices {
		room -= keyWidth(ch.Key, small) + px(6) + textWidth(ch.Label, look.Bold, font) + px(22)
	}
	x := d + px(8)
	lines, words := noticeLines(m.Text, room, font)
	wide := float32(0)
	above := float32(len(lines) - 1) // a little higher than the middle, for the letters that hang below
	top := size.Height/2 + words*look.CapHeight/2 - above*words*(noticeLeading/2+0.15)
	for i, line := range lines {
		wide = max(wide, s.text(line, x, top+words*noticeLeading*float32(i), left, look.Medium, words, c))
	}
	x += wide + px(22)
	for _, ch := range m.Choices {
		from := x
		x += s.keycap(ch.Key, x, size.Height/2, small, p.Accent, p.Accent) + px(6)
		x += s.text(ch.Label, x, y, left, look.Bold, font, p.Accent)
		s.hit(ch.ID, from, 0, x-from, size.Height)
		x += px(22)
	}
}

// noticeLeading is how far the lines of a notice lie apart, in font sizes: two small
// ones are as high as the row that the window has for a notice.
const noticeLeading = 1.15

// noticeLines brings a text into the room: a little smaller first, then on two lines,
// then without its last sentences, or what follows a semicolon, and cut only at the
// end.
func noticeLines(text string, room, font float32) ([]string, float32) {
	const least = 0.85
	for _, size := range []float32{font, font * least} {
		if textWidth(text, look.Medium, size) <= room {
			return []string{text}, size
		}
	}
	font *= least
	for {
		lines := wrap(text, room, 2, look.Medium, font)
		sentences := strings.TrimRight(text, ".")
		i := max(strings.LastIndex(sentences, ". "), strings.LastIndex(sentences, "; ")-1)
		if i < 0 || strings.HasSuffix(text, lines[len(lines)-1]) {
			return lines, font
		}
		text = text[:i+1]
	}
}
