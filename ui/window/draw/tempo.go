package draw

import (
	"image/color"

	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// TempoModel is the tempo as it stands in a score, and what sounds because of
// it.
type TempoModel struct {
	Note   string // the shape of the beat unit, see [look.NoteFor]
	Dotted bool
	Number string
	// Typing is set while the player types a tempo; Number is then what has
	// been typed so far.
	Typing bool
	// Hint is a line under the number: the keys that type and tap a tempo, or
	// what is wrong with what was typed. Next is the tempo to come, before it.
	Hint     string
	Next     string
	HintWarm bool
	TypeKey  string
	TapKey   string
	TapLabel string
	// Turns are settings that stand behind the keys, as long as there is room.
	Turns []Turn

	SoundNote   string // the shape of what sounds
	SoundDotted bool
	Sounding    string // "= 152 sounding"
	Pulse       string // "pulse doubled"; empty for a plain beat
	Slots       string // "sixteenths · count 1 e & a"
}

// Turn is a setting that a click turns on, one with the other button back.
type Turn struct {
	ID, Key string
	Does    string
	On      bool
}

// Tempo shows the tempo large, to be read from behind a music stand.
type Tempo struct {
	canvasWidget
	model  TempoModel
	onTap  func()
	onTurn func(id string, by int)
}

var (
	_ fyne.Tappable          = (*Tempo)(nil)
	_ fyne.SecondaryTappable = (*Tempo)(nil)
)

// NewTempo makes the tempo; onType is told when the number is tapped, onTurn which of the
// settings was turned, and by 1 or −1.
func NewTempo(onType func(), onTurn func(id string, by int)) *Tempo {
	t := &Tempo{onTap: onType, onTurn: onTurn}
	t.init(t, t.draw)
	return t
}

// Set shows m.
func (t *Tempo) Set(m TempoModel) {
	t.model = m
	t.redraw()
}

// Tapped is for Fyne.
func (t *Tempo) Tapped(e *fyne.PointEvent) {
	switch at := t.sc.at(e.Position).(type) {
	case turnOf:
		t.onTurn(string(at), 1)
	case string:
		t.onTap()
	}
}

// TappedSecondary is for Fyne.
func (t *Tempo) TappedSecondary(e *fyne.PointEvent) {
	if at, ok := t.sc.at(e.Position).(turnOf); ok {
		t.onTurn(string(at), -1)
	}
}

// turnOf is the place of a setting.
type turnOf string

func (t *Tempo) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := t.px, t.model
	foot := size.Height - max(px(44), 36)
	// In a tall window the number grows, and stands in the middle of its room.
	number := min(max(px(156), foot*0.5/look.CapHeight), (foot-px(4))/look.CapHeight, px(250))
	numberX := px(118)
	room := size.Width*0.52 - numberX
	shown := m.Number
	if shown == "" {
		shown = " "
	}
	if w := textWidth(shown, look.Bold, number); w > room {
		number *= room / w
	}

	base := foot - max(foot-number*look.CapHeight-px(24), 0)/2

	// The note stands on the number's base line.
	s.note(m.Note, m.Dotted, px(46), base-px(6), min(px(15), (base-px(10))/3.6), p.Ink)
	s.text("=", px(80), base-px(10), left, look.Regular, px(46), p.Soft)
	c := p.Ink
	if m.Typing {
		c = p.Accent
	}
	w := s.text(shown, numberX, base, left, look.Bold, number, c)
	if m.Typing {
		s.box(box{x: numberX + w + px(4), y: base - number*look.CapHeight, w: max(px(5), 3), h: number * look.CapHeight, fill: p.Accent, radius: 2})
	}
	edge := numberX + max(w, px(120)) + px(20)

	small := t.font(18, 15)
	hint := p.Soft
	if m.HintWarm {
		hint = p.Warm
	}
	// What sounds stands beside it, and its last line, in a low room, beside the keys.
	font := t.font(27, 19)
	besideX := max(size.Width*0.54, edge)
	line := max(px(42), font*1.4)
	lines := 0
	for _, on := range []bool{m.Sounding != "", m.Pulse != "", m.Slots != ""} {
		if on {
			lines++
		}
	}
	if fits := (size.Height - px(10)) / 3; line > fits { // a low one makes way for notes
		font, line = font*fits/line, fits
	}
	besideY := base - number*look.CapHeight/2 - line*float32(lines-1)/2 + font*look.CapHeight/2
	if last := besideY + line*float32(lines-1); last > size.Height-px(8) {
		besideY -= last - size.Height + px(8)
	}
	if m.Sounding != "" {
		besideY = max(besideY, font*1.45) // the note's stem stays within
	}
	beside := besideY+line*float32(lines-1) > base+max(px(31), 24)-small*1.2
	room = size.Width
	if beside && m.Slots != "" {
		room *= 0.74
	}
	x, y := numberX+px(4), base+max(px(31), 24)
	if m.Hint != "" {
		if m.Next != "" {
			y = base + max(px(34), 30)
			x += s.text(m.Next, x, y, left, look.Bold, t.font(34, look.FarSize), p.Ink) + px(10)
		}
		s.text(fit(m.Hint, size.Width-x, look.Regular, small), x, y, left, look.Regular, small, hint)
	} else {
		for _, h := range []struct{ key, does string }{{m.TypeKey, "type"}, {m.TapKey, m.TapLabel}} {
			if h.key == "" {
				continue
			}
			x += s.keycap(h.key, x, y-small*0.33, small*0.85, p.Soft, p.Hair) + px(7)
			x += s.text(h.does, x, y, left, look.Regular, small, p.Soft) + px(18)
		}
		for _, h := range m.Turns {
			from, c := x, p.Soft
			if h.On {
				c = p.Warm
			}
			x += s.keycap(h.Key, x, y-small*0.33, small*0.85, p.Soft, p.Hair) + px(7)
			x += s.text(fit(h.Does, room-x, look.Regular, small), x, y, left, look.Regular, small, c) + px(18)
			s.hit(turnOf(h.ID), from, y-small*1.3, x-from, small*1.9)
		}
	}
	hinted := x
	s.hit("number", 0, 0, edge, size.Height) // but for what stands under it

	// What sounds, beside it.
	x, y = besideX, besideY
	if beside {
		x = max(x, hinted)
	}
	if m.Sounding != "" {
		at := x
		if m.SoundNote != "" {
			space := font * 0.36
			at += s.note(m.SoundNote, m.SoundDotted, at+space*0.7, y-space*0.4, space, p.Soft) + space*0.8
		}
		s.text(fit(m.Sounding, size.Width-at, look.Regular, font), at, y, left, look.Regular, font, p.Soft)
		y += line
	}
	if m.Pulse != "" {
		s.text(fit(m.Pulse, size.Width-x, look.Medium, font), x, y, left, look.Medium, font, p.Warm)
		y += line
	}
	if m.Slots != "" {
		slots, font := squeeze(m.Slots, size.Width-x, look.Regular, font, 0.75)
		s.text(slots, x, y, left, look.Regular, font, p.Soft)
	}
}

// note draws a note with the middle of its head at x, y, and returns its width.
func (s *scene) note(glyph string, dotted bool, x, y, space float32, c color.NRGBA) float32 {
	w := s.text(glyph, x-0.6*space, y, left, look.Notes, 4*space, c)
	if dotted {
		w = max(w, 1.9*space)
		s.text(look.Dot, x-0.6*space+w+0.2*space, y, left, look.Notes, 4*space, c)
		w += 0.7 * space
	}
	return w
}
