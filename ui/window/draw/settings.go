package draw

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// Setting is a line of [Settings]: what it is, how it stands, and a word on it.
type Setting struct {
	ID, Label, Value, Says string
	Warm                   bool // the word is about something that went wrong
	Fixed                  bool // it can only be read
}

// SettingsPage is a page of [Settings], to which a click on its name leads.
type SettingsPage struct{ ID, Name string }

// SettingsModel is settings, one a line, and two strokes of which the heard one
// is lit.
type SettingsModel struct {
	Pages  []SettingsPage
	Page   int    // the one that is shown
	Hint   string // on keys, beside the pages
	Rows   []Setting
	Chosen string // the one that the keys turn
	Stroke int    // the lit stroke, 0 or 1; −1 for none
	Under  string // what is said under the strokes; empty where there are none
}

// Settings is a page of settings. A click on a line chooses it; a click on its
// half of arrows, or the wheel, turns it.
type Settings struct {
	canvasWidget
	model  SettingsModel
	onTurn func(id string, by int)
	over   settingHit
}

type settingHit struct {
	id string
	by int // 0 where the line is only chosen
}

var (
	_ fyne.Tappable      = (*Settings)(nil)
	_ fyne.Scrollable    = (*Settings)(nil)
	_ desktop.Hoverable  = (*Settings)(nil)
	_ desktop.Cursorable = (*Settings)(nil)
)

// NewSettings makes the page; onTurn is told which line is chosen, and whether it
// is turned by 1 or −1.
func NewSettings(onTurn func(id string, by int)) *Settings {
	w := &Settings{onTurn: onTurn}
	w.init(w, w.draw)
	return w
}

// Set shows m.
func (w *Settings) Set(m SettingsModel) {
	w.model = m
	w.redraw()
}

// ArrowAt is a place on the arrow of a line that turns it by by.
func (w *Settings) ArrowAt(id string, by int) fyne.Position { return w.sc.middle(settingHit{id, by}) }

// Tapped is for Fyne.
func (w *Settings) Tapped(e *fyne.PointEvent) {
	if hit, ok := w.sc.at(e.Position).(settingHit); ok {
		w.onTurn(hit.id, hit.by)
	}
}

// Scrolled is for Fyne.
func (w *Settings) Scrolled(e *fyne.ScrollEvent) {
	by := 1
	if e.Scrolled.DY < 0 {
		by = -1
	}
	if hit, ok := w.sc.at(e.Position).(settingHit); ok {
		w.onTurn(hit.id, by)
	}
}

// MouseIn is for Fyne.
func (w *Settings) MouseIn(e *desktop.MouseEvent) { w.MouseMoved(e) }

// MouseMoved is for Fyne.
func (w *Settings) MouseMoved(e *desktop.MouseEvent) {
	hit, _ := w.sc.at(e.Position).(settingHit)
	w.hover(hit)
}

// MouseOut is for Fyne.
func (w *Settings) MouseOut() { w.hover(settingHit{}) }

func (w *Settings) hover(hit settingHit) {
	if hit != w.over {
		w.over = hit
		w.redraw()
	}
}

// Cursor is for Fyne.
func (w *Settings) Cursor() desktop.Cursor {
	if w.over.id != "" {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

func (w *Settings) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := w.px
	edge := px(36)
	strokes := float32(0)
	if w.model.Under != "" {
		strokes = px(250)
	}
	wide := min(size.Width-2*edge-strokes, px(900))
	y := px(12) + w.pages(s, p, edge, px(12), size.Width-2*edge)
	line := min((size.Height-y-px(12))/float32(max(len(w.model.Rows), 1)), px(96))
	for _, r := range w.model.Rows {
		w.row(s, p, r, edge, y, wide, line)
		y += line
	}
	if w.model.Under != "" {
		w.strokes(s, p, edge+wide+px(40), px(76), strokes-px(40), size.Height-px(112))
	}
}

// pages draws the names of the pages in a line, with the hint at its end, and returns
// how high it is.
func (w *Settings) pages(s *scene, p *look.Palette, x, y, wide float32) float32 {
	px := w.px
	font, hint := w.font(20, 15), w.font(17, 13)
	high := max(px(40), font*1.8)
	base := y + high*0.62
	s.text(w.model.Hint, x+wide, base, right, look.Regular, hint, p.Soft)
	for i, page := range w.model.Pages {
		c, face := p.Soft, look.Regular
		if i == w.model.Page {
			c, face = p.Ink, look.Bold
		}
		if w.over.id == page.ID {
			c = p.Accent
		}
		width := s.text(page.Name, x, base, left, face, font, c)
		under := box{}
		if i == w.model.Page {
			under = box{x: x, y: base + font*0.35, w: width, h: max(px(3), 2), fill: p.Accent}
		}
		s.box(under)
		s.hit(settingHit{id: page.ID}, x-px(8), y, width+px(16), high)
		x += width + px(36)
	}
	return high
}

// row draws a line: its label over what is said of it, and the value between
// arrows.
func (w *Settings) row(s *scene, p *look.Palette, r Setting, x, y, wide, high float32) {
	px := w.px
	label, value, words := w.font(22, 17), w.font(26, 19), w.font(17, 13)
	chosen := r.ID == w.model.Chosen
	ground := box{}
	if chosen || r.ID == w.over.id && !r.Fixed {
		ground = box{x: x - px(10), y: y, w: wide + px(20), h: high - px(8), fill: p.Wash, radius: px(8)}
	}
	s.box(ground)
	c, face := p.Ink, look.Regular
	if chosen {
		c, face = p.Accent, look.Bold
	}
	first, second := y+high*0.40, y+high*0.74
	s.text(r.Label, x, first, left, face, label, c)
	said := p.Soft
	if r.Warm {
		said = p.Warm
	}
	text, font := squeeze(r.Says, wide, look.Regular, words, 0.85)
	s.text(text, x, second, left, look.Regular, font, said)
	at, room := x+px(250), wide-px(250)
	if r.Fixed {
		s.text(fit(r.Value, room, look.Medium, value), x+wide, first, right, look.Medium, value, p.Ink)
		return
	}
	arrow := px(30)
	my := first - value*look.CapHeight/2
	for _, a := range []struct {
		name string
		by   int
		x    float32
	}{{"←", -1, at}, {"→", 1, x + wide - arrow}} {
		s.hit(settingHit{r.ID, a.by}, a.x-px(10), y, arrow+px(20), high-px(8))
		col := p.Soft
		if w.over == (settingHit{r.ID, a.by}) || chosen {
			col = p.Accent
		}
		s.keycap(a.name, a.x, my, words, col, clear)
	}
	s.hit(settingHit{r.ID, 0}, x-px(10), y, wide+px(20), high-px(8))
	text, font = squeeze(r.Value, room-2*arrow-px(20), look.Medium, value, 0.7)
	s.text(text, (at+x+wide)/2, first, mid, look.Medium, font, p.Ink)
}

// strokes draws two columns. The one that is lit changes with each beat that is
// heard, at once and wholly, so that the eye has something to set against the ear.
func (w *Settings) strokes(s *scene, p *look.Palette, x, y, wide, high float32) {
	px := w.px
	words := w.font(17, 13)
	foot := y + high - words*2.4
	each := min(wide*0.34, px(70))
	for i := range 2 {
		at := x + wide*(0.27+0.46*float32(i)) - each/2
		b := box{x: at, y: y, w: each, h: foot - y, fill: p.Card, stroke: p.Rung, width: max(px(2), 1.5), radius: px(10)}
		if w.model.Stroke == i {
			b.fill, b.stroke = p.Accent, p.Accent
		}
		s.box(b)
	}
	text, font := squeeze(w.model.Under, wide+px(20), look.Regular, words, 0.7)
	s.text(text, x+wide/2, y+high-words*0.4, mid, look.Regular, font, p.Soft)
}
