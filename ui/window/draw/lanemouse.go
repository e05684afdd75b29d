package draw

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

type laneHit struct {
	x               float32
	section, stroke int
}

// Tapped is for Fyne.
func (l *Lane) Tapped(e *fyne.PointEvent) { l.tapped(e.Position, 1) }

// TappedSecondary is for Fyne.
func (l *Lane) TappedSecondary(e *fyne.PointEvent) { l.tapped(e.Position, -1) }

func (l *Lane) tapped(pos fyne.Position, turn int) {
	if i := l.hit(pos); i >= 0 {
		l.onStroke(l.hits[i].section, l.hits[i].stroke, turn)
	}
}

// hit is the editable stroke nearest to pos, or −1.
func (l *Lane) hit(pos fyne.Position) int {
	if len(l.hits) == 0 || pos.Y < l.top || pos.Y > l.end {
		return -1
	}
	best, at := l.px(16), -1
	for i, h := range l.hits {
		if d := abs(h.x - pos.X); d < best {
			best, at = d, i
		}
	}
	return at
}

// MouseIn is for Fyne.
func (l *Lane) MouseIn(e *desktop.MouseEvent) { l.MouseMoved(e) }

// MouseMoved is for Fyne.
func (l *Lane) MouseMoved(e *desktop.MouseEvent) { l.hover = l.hit(e.Position) >= 0 }

// MouseOut is for Fyne.
func (l *Lane) MouseOut() { l.hover = false }

// Cursor is for Fyne.
func (l *Lane) Cursor() desktop.Cursor {
	if l.hover {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// Scrolled turns the page of a lane that is too long for one.
func (l *Lane) Scrolled(e *fyne.ScrollEvent) {
	switch d := e.Scrolled.DX + e.Scrolled.DY; {
	case d < 0:
		l.page++
	case d > 0 && l.page > 0:
		l.page--
	}
	l.redraw()
}
