package draw

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"footing/ui/window/look"
)

// HelpRow is an action: what it does and the keys that do it; without any it is a
// word on those above.
type HelpRow struct {
	ID, Does string
	Keys     []string
}

// HelpGroup is some actions under a heading.
type HelpGroup struct {
	Title string
	Rows  []HelpRow
}

// HelpModel is every key beside what it does, what the noteheads mean, and the
// cautions.
type HelpModel struct {
	Groups  []HelpGroup
	Waiting string // the action whose next key is awaited, or empty
	Chosen  string // the action or the setting that the keys have chosen, or empty
	Note    string // one line on changing keys
	// Settings are shown as a row under the keys.
	Settings []Knob
	Cautions []string
}

// Help is the page of keys.
type Help struct {
	canvasWidget
	model HelpModel
	onRow func(id string)
	onSet func(id string)
	over  string
}

// helpHit is what lies under the pointer: an action, or a setting.
type helpHit struct {
	id      string
	setting bool
}

var (
	_ fyne.Tappable      = (*Help)(nil)
	_ desktop.Hoverable  = (*Help)(nil)
	_ desktop.Cursorable = (*Help)(nil)
)

// NewHelp makes the page; onRow is told which action was tapped, and onSet
// which setting.
func NewHelp(onRow, onSet func(id string)) *Help {
	h := &Help{onRow: onRow, onSet: onSet}
	h.init(h, h.draw)
	return h
}

// Set shows m.
func (h *Help) Set(m HelpModel) {
	h.model = m
	h.redraw()
}

// Tapped is for Fyne.
func (h *Help) Tapped(e *fyne.PointEvent) {
	if hit, ok := h.sc.at(e.Position).(helpHit); ok {
		if hit.setting {
			h.onSet(hit.id)
		} else {
			h.onRow(hit.id)
		}
	}
}

// MouseIn is for Fyne.
func (h *Help) MouseIn(e *desktop.MouseEvent) { h.MouseMoved(e) }

// MouseMoved is for Fyne.
func (h *Help) MouseMoved(e *desktop.MouseEvent) {
	hit, _ := h.sc.at(e.Position).(helpHit)
	if hit.id != h.over {
		h.over = hit.id
		h.redraw()
	}
}

// MouseOut is for Fyne.
func (h *Help) MouseOut() {
	h.over = ""
	h.redraw()
}

// Cursor is for Fyne.
func (h *Help) Cursor() desktop.Cursor {
	if h.over != "" {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

const helpColumns = 3

func (h *Help) draw(s *scene, size fyne.Size, p *look.Palette) {
	px := h.px
	edge := px(36)
	font := h.font(19, 14)
	head := h.font(20, 15)
	caution := h.font(19, 14)

	foot := float32(len(h.model.Cautions))*caution*1.5 + px(30)
	settings := px(56)
	legend := px(40)
	top := px(20)
	bottom := size.Height - foot - settings - legend - px(34)
	column := (size.Width - 2*edge - px(36)*(helpColumns-1)) / helpColumns

	rows := 0
	for _, g := range h.model.Groups {
		rows += len(g.Rows) + 2
	}
	each := rows/helpColumns + 1
	line := min((bottom-top)/float32(each), px(37))
	x, used := edge, 0
	y := top
	for _, g := range h.model.Groups {
		if used > 0 && used+len(g.Rows)+1 > each+1 {
			x += column + px(36)
			y, used = top, 0
		}
		s.text(g.Title, x, y+line*0.7, left, look.Bold, head, p.Accent)
		y += line
		used++
		for _, r := range g.Rows {
			h.row(s, p, r, x, y, column, line, font)
			y += line
			used++
		}
		y += line * 0.55
		used++
	}

	y = bottom + px(6)
	s.text(fit(h.model.Note, size.Width-2*edge, look.Regular, font), edge, y+font, left, look.Regular, font, p.Soft)
	y += px(34)
	h.legend(s, p, edge, y+legend/2, font)
	y += legend
	h.settings(s, p, edge, y, size.Width-2*edge, settings)
	y += settings + px(10)
	s.box(box{x: edge, y: y, w: size.Width - 2*edge, h: 1, fill: p.Hair})
	y += px(8) + caution
	for _, c := range h.model.Cautions {
		word, rest, ok := strings.Cut(c, ": ")
		at := edge
		if ok && len(word) < 12 {
			at += s.text(word, at, y, left, look.Bold, caution, p.Warm) + px(8)
			c = rest
		}
		s.text(fit(c, size.Width-edge-at, look.Regular, caution), at, y, left, look.Regular, caution, p.Ink)
		y += caution * 1.5
	}
}

func (h *Help) row(s *scene, p *look.Palette, r HelpRow, x, y, w, line, font float32) {
	px := h.px
	waiting := r.ID != "" && r.ID == h.model.Waiting
	if r.ID != "" {
		s.hit(helpHit{id: r.ID}, x-px(8), y, w+px(16), line)
	}
	ground := box{}
	if waiting || r.ID != "" && (r.ID == h.over || r.ID == h.model.Chosen) {
		ground = box{x: x - px(8), y: y, w: w + px(16), h: line - 1, fill: p.Wash, radius: px(6)}
	}
	s.box(ground)
	my := y + line/2
	cap := min(font*0.85, line*0.56)
	at := x
	if waiting {
		at += s.text("press a key", x, my+font*look.CapHeight/2, left, look.Bold, font, p.Accent)
	}
	for _, k := range r.Keys {
		if waiting {
			break
		}
		at += s.keycap(k, at, my, cap, p.Ink, p.Rung) + px(5)
	}
	if len(r.Keys) > 0 {
		at = max(at+px(8), x+px(104))
	}
	s.text(fit(r.Does, x+w-at, look.Regular, font), at, my+font*look.CapHeight/2, left, look.Regular, font, p.Ink)
}

// legend says what the noteheads on the ladder mean.
func (h *Help) legend(s *scene, p *look.Palette, x, y, font float32) {
	px := h.px
	x += s.text("Reps", x, y+font*look.CapHeight/2, left, look.Bold, font, p.Accent) + px(24)
	for _, m := range []struct {
		mark Mark
		word string
	}{{MarkClean, "clean"}, {MarkRough, "rough"}, {MarkToCome, "to come"}, {MarkPlayed, "no verdict"}, {MarkSkipped, "does not count"}} {
		s.notehead(m.mark, x, y, px(13), p)
		x += px(15)
		x += s.text(m.word, x, y+font*look.CapHeight/2, left, look.Regular, font, p.Soft) + px(30)
	}
}

func (h *Help) settings(s *scene, p *look.Palette, x, y, w, height float32) {
	px := h.px
	label, value := h.font(16, 13), h.font(20, 15)
	each := w / float32(max(len(h.model.Settings), 1))
	for _, k := range h.model.Settings {
		s.hit(helpHit{k.ID, true}, x-px(8), y, each-px(8), height)
		ground := box{}
		if h.over == k.ID || h.model.Chosen == k.ID {
			ground = box{x: x - px(8), y: y, w: each - px(8), h: height, fill: p.Wash, radius: px(6)}
		}
		s.box(ground)
		lw := s.text(k.Label, x, y+height*0.38, left, look.Regular, label, p.Soft)
		s.text(k.Key, x+lw+px(7), y+height*0.38, left, look.Bold, label, p.Accent)
		c := p.Ink
		if k.Warm {
			c = p.Warm
		}
		s.text(fit(k.Value, each-px(20), look.Medium, value), x, y+height*0.84, left, look.Medium, value, c)
		x += each
	}
}
