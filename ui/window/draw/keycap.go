package draw

import (
	"image/color"

	"footing/ui/window/look"
)

// Key names that are drawn as arrows, since no text font here has them.
const (
	ArrowLeft  = "←"
	ArrowRight = "→"
	ArrowUp    = "↑"
	ArrowDown  = "↓"
)

// keycap draws the name of a key, framed, with its left edge at x and its middle
// at y, and returns its width. size is the font size.
func (s *scene) keycap(name string, x, y, size float32, c, frame color.NRGBA) float32 {
	if name == "" {
		return 0
	}
	h := size * 1.45
	w := max(keyWidth(name, size), h)
	s.box(box{x: x, y: y - h/2, w: w, h: h, fill: clear, stroke: frame, width: 1, radius: size * 0.3})
	if isArrow(name) {
		s.arrow(name, x+w/2, y, size*0.62, max(1.5, size*0.1), c)
		return w
	}
	s.text(name, x+w/2, y+size*look.CapHeight/2, mid, look.Regular, size, c)
	return w
}

// keyWidth is the width of the framed key name.
func keyWidth(name string, size float32) float32 {
	if isArrow(name) {
		return size * 1.45
	}
	return max(textWidth(name, look.Regular, size)+size*0.7, size*1.45)
}

func isArrow(name string) bool {
	switch name {
	case ArrowLeft, ArrowRight, ArrowUp, ArrowDown:
		return true
	}
	return false
}

// arrow draws an arrow of the length around its middle.
func (s *scene) arrow(name string, x, y, length, width float32, c color.NRGBA) {
	dx, dy := float32(1), float32(0)
	switch name {
	case ArrowLeft:
		dx = -1
	case ArrowUp:
		dx, dy = 0, -1
	case ArrowDown:
		dx, dy = 0, 1
	}
	half, wing := length/2, length*0.36
	tipX, tipY := x+dx*half, y+dy*half
	s.line(x-dx*half, y-dy*half, tipX, tipY, width, c)
	for _, side := range []float32{-1, 1} {
		s.line(tipX, tipY, tipX-dx*wing+side*dy*wing, tipY-dy*wing+side*dx*wing, width, c)
	}
}
