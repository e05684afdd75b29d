package draw

import (
	"fyne.io/fyne/v2"

	"footing/ui/window/look"
)

// FarModel is the count alone, to be read from across a room.
type FarModel struct {
	Word  string // what is counted now, or "" in silence
	Beat  []string
	Now   int // which of Beat that is, −1 for none
	Kind  SectionKind
	Where string // the bar, the rep
	Tempo string
	Key   string // starts and leads back, told where there is no word; "" while it runs
}

// Far shows the count over all else: the word that is heard, as large as the room
// allows, over the beat that it belongs to.
type Far struct {
	canvasWidget
	onTap func()
	model FarModel
}

var _ fyne.Tappable = (*Far)(nil)

// NewFar makes the count, hidden; a tap on it is told.
func NewFar(onTap func()) *Far {
	w := &Far{onTap: onTap}
	w.init(w, w.draw)
	w.Hide()
	return w
}

// Set shows m.
func (w *Far) Set(m FarModel) {
	w.model = m
	w.redraw()
}

// Tapped is for Fyne.
func (w *Far) Tapped(*fyne.PointEvent) { w.onTap() }

func (w *Far) draw(s *scene, size fyne.Size, p *look.Palette) {
	px, m := w.px, w.model
	s.box(box{w: size.Width, h: size.Height, fill: p.Paper})
	small := w.font(34, look.FarSize)
	margin, top := px(40), px(20)+small
	s.text(m.Where, margin, top, left, look.Regular, small, p.Soft)
	s.text(m.Tempo, size.Width-margin, top, right, look.Bold, small, p.Ink)

	line := w.font(64, 44)
	foot := size.Height - px(44)
	column := min((size.Width-2*margin)/float32(max(len(m.Beat), 1)), px(220))
	x := size.Width/2 - column*float32(len(m.Beat)-1)/2
	for i, word := range m.Beat {
		face, c := look.Regular, p.Soft
		if i == m.Now {
			face, c = look.Bold, p.Accent
		}
		s.text(word, x+column*float32(i), foot, mid, face, line, c)
	}

	room := foot - line - top - px(24)
	c := p.Accent
	if m.Kind == SectionCountIn || m.Kind == SectionBreath {
		c = p.Soft
	}
	big := room / look.CapHeight * 0.8
	if wide := textWidth(m.Word, look.Bold, big); wide > size.Width-2*margin {
		big *= (size.Width - 2*margin) / wide
	}
	s.text(m.Word, size.Width/2, top+px(12)+(room+big*look.CapHeight)/2, mid, look.Bold, big, c)
	if m.Word == "" {
		s.text(m.Key, size.Width/2, top+px(12)+room/2, mid, look.Regular, small, p.Soft)
	}
}
